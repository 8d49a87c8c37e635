//! The file of records: one SQLite file a garden. Append-only; reads give back the records as they
//! stand now. Nothing is judged here.

mod error;
mod export;
mod migrate;
mod read;
mod rows;
mod terms;
mod write;

pub use error::StoreError;
pub use export::ExportedFile;
pub use write::Importing;

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags};

/// An open garden file.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
}

impl Store {
    /// Opens a garden file to write, making it if there is none.
    pub fn create(path: &Path) -> Result<Self, StoreError> {
        Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens a garden file that exists, to read.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        if !path.exists() {
            return Err(StoreError::Missing { path: path.to_path_buf() });
        }
        // A journal left behind by a program that was killed must be rolled back first, which a
        // read-only connection may not do.
        let journal = PathBuf::from(format!("{}-journal", path.display()));
        let flags = if journal.exists() {
            OpenFlags::SQLITE_OPEN_READ_WRITE
        } else {
            OpenFlags::SQLITE_OPEN_READ_ONLY
        };
        Self::open_with(path, flags)
    }

    /// A garden in memory, for trying things.
    pub fn in_memory() -> Result<Self, StoreError> {
        let path = PathBuf::from("memory");
        let connection =
            Connection::open_in_memory().map_err(|error| StoreError::of(&path, error))?;
        Self::prepared(connection, path, true)
    }

    fn open_with(path: &Path, flags: OpenFlags) -> Result<Self, StoreError> {
        // SQLite takes a path that begins with `file:` for a URI, so every path is made absolute.
        let full = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let connection =
            Connection::open_with_flags(&full, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
                .map_err(|error| StoreError::of(path, error))?;
        let may_write = flags.contains(OpenFlags::SQLITE_OPEN_READ_WRITE);
        Self::prepared(connection, path.to_path_buf(), may_write)
    }

    fn prepared(
        connection: Connection,
        path: PathBuf,
        may_write: bool,
    ) -> Result<Self, StoreError> {
        let mut store = Self { connection, path };
        store.prepare(may_write)?;
        Ok(store)
    }

    fn prepare(&mut self, may_write: bool) -> Result<(), StoreError> {
        use rusqlite::config::DbConfig;
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        let connection = &mut self.connection;
        connection.busy_timeout(Duration::from_secs(5)).map_err(failed)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true).map_err(failed)?;
        connection
            .set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)
            .map_err(failed)?;
        let number = |name: &str| -> rusqlite::Result<i64> {
            connection.pragma_query_value(None, name, |row| row.get(0))
        };
        let (mark, format) = (number("application_id"), number("user_version"));
        let (mark, format) = (mark.map_err(failed)?, format.map_err(failed)?);
        let tables: i64 = connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(failed)?;
        let fresh = tables == 0 && mark == 0;
        if !fresh && mark != migrate::APPLICATION_ID {
            return Err(StoreError::NotOurs { path });
        }
        if format > migrate::FORMAT {
            return Err(StoreError::Newer { path, found: format, known: migrate::FORMAT });
        }
        if fresh && !may_write {
            return Err(StoreError::NotOurs { path });
        }
        connection.pragma_update(None, "foreign_keys", true).map_err(failed)?;
        connection.pragma_update(None, "temp_store", "MEMORY").map_err(failed)?;
        if format < migrate::FORMAT && may_write {
            let transaction = connection
                .transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)
                .map_err(failed)?;
            migrate::migrate(&transaction, format).map_err(failed)?;
            transaction.commit().map_err(failed)?;
        }
        Ok(())
    }

    /// Where the file is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    pub(super) fn failed(&self, error: rusqlite::Error) -> StoreError {
        StoreError::of(&self.path, error)
    }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "the tests look at files")]
mod tests {
    use super::*;

    #[test]
    fn records_cannot_be_changed_or_deleted() {
        let store = Store::in_memory().expect("a store");
        let run = |sql: &str| store.connection.execute_batch(sql);
        run("INSERT INTO imports (day, folder, knowledge) VALUES (1, 'f', 'k')").expect("inserts");
        for sql in ["UPDATE imports SET day = 2", "DELETE FROM imports"] {
            let error = run(sql).expect_err("is refused").to_string();
            assert!(error.contains("append-only"), "{error}");
        }
    }

    #[test]
    fn tables_are_strict_and_foreign_keys_hold() {
        let store = Store::in_memory().expect("a store");
        let run = |sql: &str| store.connection.execute_batch(sql);
        assert!(
            run("INSERT INTO imports (day, folder, knowledge) VALUES ('x', 'f', 'k')").is_err()
        );
        assert!(
            run("INSERT INTO files (import_id, name, kind, header) VALUES (7, 'a', 'b', 'c')")
                .is_err()
        );
    }

    #[test]
    fn a_newer_file_is_refused_untouched() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("newer.breakcrop");
        drop(Store::create(&path).expect("a store"));
        let connection = Connection::open(&path).expect("opens");
        connection.pragma_update(None, "user_version", 9999).expect("is set");
        drop(connection);
        let before = std::fs::read(&path).expect("reads");
        let error = Store::open(&path).expect_err("is refused");
        assert!(matches!(error, StoreError::Newer { found: 9999, .. }), "{error}");
        assert_eq!(std::fs::read(&path).expect("reads"), before);
    }

    #[test]
    fn a_stranger_is_refused() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("notes.txt");
        std::fs::write(&path, "onions in bed 3, and a good many other words to fill a page")
            .expect("writes");
        assert!(matches!(Store::open(&path), Err(StoreError::NotOurs { .. })));
        assert!(matches!(
            Store::open(&folder.path().join("none")),
            Err(StoreError::Missing { .. })
        ));
    }
}
