//! Reading the records as they stand now.

use std::collections::BTreeMap;
use std::sync::Arc;

use rusqlite::{Connection, Rows};

use super::lean::{LEAN, Lean};
use super::rows::{Reading, read};
use super::terms::TermTexts;
use super::{Store, StoreError};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Garden, Record, RecordKind};

/// What turns rows into records: what their ids stand for.
pub(super) struct Texts<'k> {
    pub(super) knowledge: &'k Knowledge,
    pub(super) terms: TermTexts,
    files: BTreeMap<i64, Box<str>>,
}

/// The file of the last row: rows of one file share a copy of its name.
pub(super) type LastFile = Option<(i64, Arc<str>)>;

impl<'k> Texts<'k> {
    pub(super) fn load(
        connection: &Connection,
        knowledge: &'k Knowledge,
    ) -> rusqlite::Result<Self> {
        let terms = TermTexts::load(connection, knowledge)?;
        let mut statement = connection.prepare("SELECT id, name FROM files")?;
        let files = statement
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<rusqlite::Result<_>>()?;
        Ok(Self { knowledge, terms, files })
    }

    /// The record of a row of [`Lean::sql`].
    pub(super) fn record(
        &self,
        kind: RecordKind,
        row: &rusqlite::Row<'_>,
        last: &mut LastFile,
    ) -> rusqlite::Result<Record> {
        let reading = Reading { row, from: LEAN, knowledge: self.knowledge, terms: &self.terms };
        let id: i64 = row.get(1)?;
        let (_, file) = match last {
            Some(same) if same.0 == id => same,
            other => other.insert((id, self.files.get(&id).map_or("", |name| name).into())),
        };
        let origin = Origin { file: Arc::clone(file), line: row.get(2)? };
        read(kind, &reading, origin)
    }

    /// Reads rows of [`Lean::sql`] into a garden.
    pub(super) fn join(
        &self,
        kind: RecordKind,
        mut rows: Rows<'_>,
        garden: &mut Garden,
    ) -> rusqlite::Result<()> {
        let mut file = None;
        while let Some(row) = rows.next()? {
            self.record(kind, row, &mut file)?.join(garden);
        }
        Ok(())
    }

    /// Reads all current records of some kinds into a garden.
    pub(super) fn join_all(
        &self,
        connection: &Connection,
        kinds: impl IntoIterator<Item = RecordKind>,
        garden: &mut Garden,
    ) -> rusqlite::Result<()> {
        for kind in kinds {
            let sql = Lean::of(connection, kind)?.sql("true", "record.id");
            self.join(kind, connection.prepare(&sql)?.query([])?, garden)?;
        }
        Ok(())
    }
}

impl Store {
    /// The garden: every record as it stands now, sorted.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn garden(&self, knowledge: &Knowledge) -> Result<Garden, StoreError> {
        let read = || -> rusqlite::Result<Garden> {
            // One view of the file, so that an import beside it gives all of its records or none.
            let view = self.connection.unchecked_transaction()?;
            let texts = Texts::load(&view, knowledge)?;
            let mut garden = Garden::default();
            texts.join_all(&view, RecordKind::ALL, &mut garden)?;
            garden.sort();
            Ok(garden)
        };
        read().map_err(|error| self.failed(error))
    }
}
