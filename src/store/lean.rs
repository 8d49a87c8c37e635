//! The current records of a kind without what they looked like when they were written. What is not in
//! the file (moved, corrected, withdrawn records) is not asked for row by row.

use rusqlite::Connection;

use super::write::listed;
use crate::records::RecordKind;

/// Columns of [`Lean::sql`] before the typed ones: id, file, line.
pub(super) const LEAN: usize = 3;

/// How the current records of a kind are told from the others in one file.
pub(super) struct Lean {
    kind: RecordKind,
    was_moved: bool,
    /// What is true of current records alone; `true` where all are.
    pub(super) is_current: String,
}

impl Lean {
    pub(super) fn of(connection: &Connection, kind: RecordKind) -> rusqlite::Result<Self> {
        let table = kind.word();
        let (was_moved, any_withdrawn): (bool, bool) = connection
            .prepare_cached(
                "SELECT EXISTS (SELECT 1 FROM relocations WHERE kind = ?1), \
                 EXISTS (SELECT 1 FROM withdrawals WHERE kind = ?1)",
            )?
            .query_row([table], |row| Ok((row.get(0)?, row.get(1)?)))?;
        let any_corrected: bool = connection.query_row(
            &format!("SELECT EXISTS (SELECT 1 FROM {table} WHERE supersedes IS NOT NULL)"),
            [],
            |row| row.get(0),
        )?;
        let mut is_current = vec!["true".to_owned()];
        if any_corrected {
            is_current.push(format!(
                "NOT EXISTS (SELECT 1 FROM {table} AS later WHERE later.supersedes = record.id)"
            ));
        }
        if any_withdrawn {
            is_current.push(format!(
                "NOT EXISTS (SELECT 1 FROM withdrawals \
                 WHERE kind = '{table}' AND record_id = record.id)"
            ));
        }
        Ok(Self { kind, was_moved, is_current: is_current.join(" AND ") })
    }

    /// Those that meet a condition on `record`, in an order.
    pub(super) fn sql(&self, condition: &str, order: &str) -> String {
        let table = self.kind.word();
        let own = listed(self.kind, ", record.");
        let is_current = &self.is_current;
        let (from, moved) = if self.was_moved {
            (
                "coalesce(moved.file_id, record.file_id), coalesce(moved.line, record.line)",
                format!(
                    " LEFT JOIN relocations AS moved ON moved.id = (SELECT max(id) \
                     FROM relocations WHERE kind = '{table}' AND record_id = record.id)"
                ),
            )
        } else {
            ("record.file_id, record.line", String::new())
        };
        format!(
            "SELECT record.id, {from}{own} FROM {table} AS record{moved} \
             WHERE {condition} AND {is_current} ORDER BY {order}"
        )
    }
}
