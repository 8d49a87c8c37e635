//! The format of the file: its mark, its number, and the steps from one number to the next.

use std::fmt::Write as _;

use rusqlite::Connection;

use super::rows::{columns, day_column};
use crate::records::RecordKind;

/// The mark of our files in SQLite's application id: the letters `brkc`.
pub(super) const APPLICATION_ID: i64 = 0x6272_6b63;

/// The newest format. A step to a new one is added to [`step`], with an old file as a fixture.
pub(super) const FORMAT: i64 = 1;

/// Brings a file of format `from` to the newest, inside the caller's transaction.
pub(super) fn migrate(connection: &Connection, from: i64) -> rusqlite::Result<()> {
    for format in from + 1..=FORMAT {
        step(connection, format)?;
    }
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", FORMAT)
}

fn step(connection: &Connection, to: i64) -> rusqlite::Result<()> {
    match to {
        1 => {
            connection.execute_batch(include_str!("schema.sql"))?;
            for kind in RecordKind::ALL {
                connection.execute_batch(&record_table(kind))?;
            }
            append_only(connection)
        }
        _ => Ok(()),
    }
}

/// The table of one kind of record: what every record has, then its own columns.
fn record_table(kind: RecordKind) -> String {
    let table = kind.word();
    let own = columns(kind).iter().fold(String::new(), |mut own, (name, sql)| {
        let _ = write!(own, ",\n    {name} {sql}");
        own
    });
    let mut sql = format!(
        "CREATE TABLE {table} (\n    id INTEGER PRIMARY KEY,\n    \
         file_id INTEGER NOT NULL REFERENCES files (id),\n    \
         line INTEGER NOT NULL CHECK (line > 0),\n    \
         identity INTEGER NOT NULL,\n    digest INTEGER NOT NULL,\n    \
         supersedes INTEGER UNIQUE REFERENCES {table} (id),\n    \
         as_written TEXT NOT NULL{own}\n) STRICT;\n"
    );
    if let Some(day) = day_column(kind) {
        let _ = writeln!(sql, "CREATE INDEX {table}_by_bed ON {table} (bed_id, {day});");
    }
    sql
}

/// Nothing that was written can be changed or taken away, by us or by anybody with a shell.
fn append_only(connection: &Connection) -> rusqlite::Result<()> {
    let fixed = ["imports", "files", "bed_names", "terms", "relocations", "withdrawals"];
    let tables = RecordKind::ALL.into_iter().map(RecordKind::word).chain(fixed);
    for table in tables {
        for verb in ["UPDATE", "DELETE"] {
            let name = verb.to_ascii_lowercase();
            connection.execute_batch(&format!(
                "CREATE TRIGGER {table}_no_{name} BEFORE {verb} ON {table} BEGIN \
                 SELECT RAISE(ABORT, 'records are append-only: import a correction instead'); END;"
            ))?;
        }
    }
    Ok(())
}
