//! Giving back what came in: the same files, the same headers, the same rows.

use std::collections::BTreeMap;

use super::write::current_sql;
use super::{Store, StoreError};
use crate::records::RecordKind;
use crate::tabular::{neutralised, text_fields};

/// A file to write: its name and its text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExportedFile {
    /// File name.
    pub name: String,
    /// CSV text.
    pub text: String,
}

impl Store {
    /// The record files as they stand now. Rows keep the words they were written in, in the order
    /// of their lines. Records kept although the newest file of their name no longer has them, or
    /// has another header, go to a file of their own with `.kept` in its name. Text that a
    /// spreadsheet would take for a formula gets a single quote before it, which an import takes
    /// off again.
    pub fn export(&self) -> Result<Vec<ExportedFile>, StoreError> {
        self.exported(false).map_err(|error| self.failed(error))
    }

    /// The same without the quotes before formulas: as the rows were written.
    pub fn export_raw(&self) -> Result<Vec<ExportedFile>, StoreError> {
        self.exported(true).map_err(|error| self.failed(error))
    }

    fn exported(&self, raw: bool) -> rusqlite::Result<Vec<ExportedFile>> {
        let newest = self.newest_headers()?;
        // Keyed by name and header, so that rows never stand under another file's header.
        let mut files: BTreeMap<(String, String), Vec<(i64, String)>> = BTreeMap::new();
        for ((name, _), header) in &newest {
            files.entry((name.clone(), header.clone())).or_default();
        }
        for kind in RecordKind::ALL {
            let mut statement = self.connection.prepare(&current_sql(kind))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let key = (row.get(3)?, row.get(4)?);
                files.entry(key).or_default().push((row.get(5)?, row.get(6)?));
            }
        }
        let mut exported = Vec::new();
        for ((name, header), mut rows) in files {
            let is_newest = newest.iter().any(|((of, _), newest)| *of == name && *newest == header);
            if rows.is_empty() && !is_newest {
                continue;
            }
            rows.sort();
            let words = RecordKind::of_file(&name)
                .filter(|_| !raw)
                .map(|kind| text_fields(&header, kind.columns()))
                .unwrap_or_default();
            let mut text = header;
            text.push('\n');
            for (_, row) in rows {
                text.push_str(&neutralised(&row, &words));
                text.push('\n');
            }
            let name = if is_newest { name } else { name.replace(".csv", ".kept.csv") };
            exported.push(ExportedFile { name, text });
        }
        Ok(exported)
    }

    fn newest_headers(&self) -> rusqlite::Result<BTreeMap<(String, String), String>> {
        self.connection
            .prepare("SELECT name, kind, header FROM files ORDER BY id")?
            .query_map([], |row| Ok(((row.get(0)?, row.get(1)?), row.get(2)?)))?
            .collect()
    }
}
