//! Reading the records as they stand now.

use std::sync::Arc;

use rusqlite::Rows;

use super::rows::{Reading, read};
use super::terms::TermTexts;
use super::write::current_sql;
use super::{Store, StoreError};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Garden, RecordKind};

/// Columns of the current records before the typed ones.
const FIXED: usize = 7;

impl Store {
    /// The garden: every record as it stands now, sorted.
    pub fn garden(&self, knowledge: &Knowledge) -> Result<Garden, StoreError> {
        self.read_garden(knowledge).map_err(|error| self.failed(error))
    }

    fn read_garden(&self, knowledge: &Knowledge) -> rusqlite::Result<Garden> {
        let terms = TermTexts::load(&self.connection, knowledge)?;
        let mut garden = Garden::default();
        for kind in RecordKind::ALL {
            let mut statement = self.connection.prepare(&current_sql(kind))?;
            join_rows(kind, statement.query([])?, knowledge, &terms, &mut garden)?;
        }
        garden.sort();
        Ok(garden)
    }
}

/// Reads rows of current records into a garden.
pub(super) fn join_rows(
    kind: RecordKind,
    mut rows: Rows<'_>,
    knowledge: &Knowledge,
    terms: &TermTexts,
    garden: &mut Garden,
) -> rusqlite::Result<()> {
    let mut file: Arc<str> = Arc::from("");
    while let Some(row) = rows.next()? {
        let name = row.get_ref(3)?.as_str()?;
        if *file != *name {
            file = Arc::from(name);
        }
        let origin = Origin { file: Arc::clone(&file), line: row.get(5)? };
        let reading = Reading { row, from: FIXED, knowledge, terms };
        read(kind, &reading, origin)?.join(garden);
    }
    Ok(())
}
