//! The format of the file: its mark, its number, and the steps from one number to the next.

use std::fmt::Write as _;

use rusqlite::Connection;

use super::digest;
use super::rows::{columns, day_column};
use crate::records::RecordKind;

/// The mark of our files in SQLite's application id: the letters `brkc`.
pub(super) const APPLICATION_ID: i64 = 0x6272_6b63;

/// The newest format. A step to a new one is added to [`step`], with an old file as a fixture.
pub(super) const FORMAT: i64 = 3;

/// Tables that are not records of one kind.
pub(super) const SHARED: [&str; 6] =
    ["imports", "files", "bed_names", "terms", "relocations", "withdrawals"];

/// Brings a file of format `from` to the newest, inside the caller's transaction. An empty file
/// gets the newest format at once, so that old steps need not know of later columns.
pub(super) fn migrate(connection: &Connection, from: i64) -> rusqlite::Result<()> {
    if from == 0 {
        connection.execute_batch(include_str!("schema.sql"))?;
        for kind in RecordKind::ALL {
            connection.execute_batch(&record_table(kind))?;
        }
        append_only(connection, "digests")?;
        for table in RecordKind::ALL.into_iter().map(RecordKind::word).chain(SHARED) {
            append_only(connection, table)?;
        }
    }
    if from > 0 {
        for format in from + 1..=FORMAT {
            step(connection, format)?;
        }
    }
    connection.pragma_update(None, "application_id", APPLICATION_ID)?;
    connection.pragma_update(None, "user_version", FORMAT)
}

fn step(connection: &Connection, to: i64) -> rusqlite::Result<()> {
    if to == 2 {
        // Records are looked up by what makes them the same record, and the content is digested.
        for kind in RecordKind::ALL {
            connection.execute_batch(&identity_index(kind.word()))?;
        }
        let (_, digests) = include_str!("schema.sql").split_once("-- DIGESTS").unwrap_or_default();
        connection.execute_batch(digests)?;
        append_only(connection, "digests")?;
        digest::seal(connection, None, &std::collections::BTreeMap::new())?;
    }
    if to == 3 {
        // What stands in a bed is looked up by bed and day, which has an index already.
        for kind in RecordKind::ALL.into_iter().filter(|kind| day_column(*kind).is_some()) {
            connection.execute_batch(&format!("DROP INDEX {}_by_identity;\n", kind.word()))?;
        }
    }
    Ok(())
}

/// The table of one kind of record: what every record has, then its own columns.
fn record_table(kind: RecordKind) -> String {
    let table = kind.word();
    let own = columns(kind).iter().fold(String::new(), |mut own, (name, sql)| {
        let _ = write!(own, ",\n    {name} {sql}");
        own
    });
    // Most records supersede none: the index holds only those that do.
    let mut sql = format!(
        "CREATE TABLE {table} (\n    id INTEGER PRIMARY KEY,\n    \
         file_id INTEGER NOT NULL REFERENCES files (id),\n    \
         line INTEGER NOT NULL CHECK (line > 0),\n    \
         identity INTEGER NOT NULL,\n    digest INTEGER NOT NULL,\n    \
         supersedes INTEGER REFERENCES {table} (id),\n    \
         as_written TEXT NOT NULL{own}\n) STRICT;\n\
         CREATE UNIQUE INDEX {table}_by_superseded ON {table} (supersedes) \
         WHERE supersedes IS NOT NULL;\n"
    );
    // An index is paid for with every row: one is enough to find a record again.
    match day_column(kind) {
        Some(day) => {
            let _ = writeln!(sql, "CREATE INDEX {table}_by_bed ON {table} (bed_id, {day});");
        }
        None => sql.push_str(&identity_index(table)),
    }
    sql
}

fn identity_index(table: &str) -> String {
    format!("CREATE INDEX {table}_by_identity ON {table} (identity);\n")
}

/// Nothing that was written can be changed or taken away, by us or by anybody with a shell.
fn append_only(connection: &Connection, table: &str) -> rusqlite::Result<()> {
    for verb in ["UPDATE", "DELETE"] {
        let name = verb.to_ascii_lowercase();
        connection.execute_batch(&format!(
            "CREATE TRIGGER {table}_no_{name} BEFORE {verb} ON {table} BEGIN \
             SELECT RAISE(ABORT, 'records are append-only: import a correction instead'); END;"
        ))?;
    }
    Ok(())
}
