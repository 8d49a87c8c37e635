//! The file of records: one SQLite file a garden. Append-only; reads give back the records as they
//! stand now. Nothing is judged here.

mod backup;
mod batch;
mod beds;
mod digest;
mod doctor;
mod error;
mod export;
mod lean;
mod migrate;
mod read;
mod rows;
mod terms;
mod write;

pub use beds::{OneBed, StoredBeds};
pub use doctor::examine;
pub use error::StoreError;
pub use export::ExportedFile;
pub use write::{Importing, Written};

use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, TransactionBehavior};

/// An open garden file.
#[derive(Debug)]
pub struct Store {
    connection: Connection,
    path: PathBuf,
}

/// What a garden file is opened for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Purpose {
    Read,
    Write,
}

impl Store {
    /// Opens a garden file to write, making it if there is none.
    pub fn create(path: &Path) -> Result<Self, StoreError> {
        let may_make = !path.exists();
        let opened = Self::open_with(
            path,
            OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE,
        );
        match opened {
            Err(StoreError::Missing { path }) if may_make => Err(StoreError::CannotMake { path }),
            opened => opened?.brought_up(Purpose::Write),
        }
    }

    /// Opens a garden file that exists, to read. A file of an older format is brought to the
    /// newest one first, after a copy of it was made beside it.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        let store = Self::open_as_it_is(path)?;
        if store.format()? == migrate::FORMAT {
            return store.brought_up(Purpose::Read);
        }
        // An empty file is no garden yet; only an import fills it.
        if store.is_empty()? {
            return Err(StoreError::NotOurs { path: path.to_path_buf() });
        }
        drop(store);
        Self::open_with(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?.brought_up(Purpose::Write)
    }

    /// Opens a file to read, whatever its format.
    fn open_as_it_is(path: &Path) -> Result<Self, StoreError> {
        if !path.exists() {
            return Err(StoreError::Missing { path: path.to_path_buf() });
        }
        // A journal left behind by a program that was killed must be rolled back first, which a
        // read-only connection may not do.
        let flags = if journal_of(path).exists() {
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
        let store = Self { connection, path };
        store.configure()?;
        store.brought_up(Purpose::Write)
    }

    fn open_with(path: &Path, flags: OpenFlags) -> Result<Self, StoreError> {
        if path.is_dir() {
            return Err(StoreError::NotOurs { path: path.to_path_buf() });
        }
        // SQLite takes a path that begins with `file:` for a URI, so every path is made absolute.
        let full = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let connection =
            Connection::open_with_flags(&full, flags | OpenFlags::SQLITE_OPEN_NO_MUTEX)
                .map_err(|error| StoreError::of(path, error))?;
        let store = Self { connection, path: path.to_path_buf() };
        store.configure()?;
        store.identify()?;
        Ok(store)
    }

    fn configure(&self) -> Result<(), StoreError> {
        use rusqlite::config::DbConfig;
        let failed = |error| self.failed(error);
        let connection = &self.connection;
        connection.busy_timeout(Duration::from_secs(5)).map_err(failed)?;
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true).map_err(failed)?;
        // A statement for one bed after the other is planned once, and not again for each bed's id.
        connection.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_QPSG, true).map_err(failed)?;
        connection
            .set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)
            .map_err(failed)?;
        connection.pragma_update(None, "foreign_keys", true).map_err(failed)?;
        connection.pragma_update(None, "temp_store", "MEMORY").map_err(failed)
    }

    /// Refuses what is not ours, what a newer version wrote, and a file that was cut short.
    fn identify(&self) -> Result<(), StoreError> {
        let mark = self.number("application_id")?;
        let path = || self.path.clone();
        if mark != migrate::APPLICATION_ID && !self.is_empty()? {
            return Err(StoreError::NotOurs { path: path() });
        }
        let format = self.format()?;
        if format > migrate::FORMAT {
            return Err(StoreError::Newer { path: path(), found: format, known: migrate::FORMAT });
        }
        // SQLite itself lets a last page pass that is cut short.
        let wanted = self.number("page_count")? * self.number("page_size")?;
        let found = std::fs::metadata(&self.path).map_or(0, |file| file.len());
        let found = i64::try_from(found).unwrap_or(i64::MAX);
        if found < wanted {
            let what = format!("{} bytes of {wanted} are missing at its end", wanted - found);
            return Err(StoreError::Damaged { path: path(), what });
        }
        Ok(())
    }

    /// Brings the file to the newest format if it is older and may be written.
    fn brought_up(mut self, purpose: Purpose) -> Result<Self, StoreError> {
        let format = self.format()?;
        if format == migrate::FORMAT || purpose == Purpose::Read {
            return Ok(self);
        }
        if format > 0 {
            self.must_be_sound()?;
            if self.connection.is_readonly("main").map_err(|error| self.failed(error))? {
                return Err(StoreError::Older {
                    path: self.path.clone(),
                    found: format,
                    known: migrate::FORMAT,
                });
            }
            let full = std::fs::canonicalize(&self.path).unwrap_or_else(|_| self.path.clone());
            backup::backup(&self.connection, &full, format)?;
        }
        self.migrate()?;
        Ok(self)
    }

    fn migrate(&mut self) -> Result<(), StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(failed)?;
        // Another run may have done it in the meantime.
        let format: i64 = transaction
            .pragma_query_value(None, "user_version", |row| row.get(0))
            .map_err(failed)?;
        if format < migrate::FORMAT {
            migrate::migrate(&transaction, format).map_err(failed)?;
            if let Some(what) = doctor::orphans(&transaction).map_err(failed)?.first() {
                return Err(StoreError::Damaged { path, what: what.clone() });
            }
            transaction.commit().map_err(failed)?;
        }
        Ok(())
    }

    /// Refuses to write into a damaged file: what is written on top cannot be told from the damage.
    fn must_be_sound(&self) -> Result<(), StoreError> {
        let found = doctor::pages(&self.connection, "quick_check");
        match found.map_err(|error| self.failed(error))?.into_iter().next() {
            None => Ok(()),
            Some(what) => Err(StoreError::Damaged { path: self.path.clone(), what }),
        }
    }

    fn number(&self, pragma: &str) -> Result<i64, StoreError> {
        self.connection
            .pragma_query_value(None, pragma, |row| row.get(0))
            .map_err(|error| self.failed(error))
    }

    fn format(&self) -> Result<i64, StoreError> {
        self.number("user_version")
    }

    fn is_empty(&self) -> Result<bool, StoreError> {
        let tables: i64 = self
            .connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(|error| self.failed(error))?;
        Ok(tables == 0 && self.number("application_id")? == 0)
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

/// Where SQLite keeps the journal of a file: beside the file itself, not beside a link to it.
fn journal_of(path: &Path) -> PathBuf {
    let full = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_path_buf());
    let mut name = full.into_os_string();
    name.push("-journal");
    PathBuf::from(name)
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
    fn a_disk_that_fills_up_leaves_the_old_state() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("g.breakcrop");
        let mut store = Store::create(&path).expect("a store");
        let before = std::fs::read(&path).expect("reads");
        let pages = store.number("page_count").expect("pages");
        store.connection.pragma_update(None, "max_page_count", pages).expect("is set");
        let today = crate::season::iso_day("2026-10-12").expect("a day");
        let mut importing = store.begin_import(today, "folder").expect("begins");
        let long = "x".repeat(9000);
        let error = importing
            .begin_file(crate::records::RecordKind::Beds, "beds.csv", &long)
            .expect_err("there is no room");
        assert!(matches!(error, StoreError::Full { .. }), "{error}");
        drop(importing);
        drop(store);
        assert_eq!(std::fs::read(&path).expect("reads"), before);
        assert!(examine(&path).expect("is ours").is_sound());
    }

    #[test]
    fn what_may_only_be_read_is_read_and_not_written() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("g.breakcrop");
        drop(Store::create(&path).expect("a store"));
        let mut store = Store::open(&path).expect("opens");
        let today = crate::season::iso_day("2026-10-12").expect("a day");
        let error = store.begin_import(today, "folder").err().expect("is refused");
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
        // An older format on such a medium is told, not changed.
        drop(store);
        let connection = Connection::open(&path).expect("opens");
        connection.pragma_update(None, "user_version", 1).expect("is set");
        drop(connection);
        let store = Store::open_with(&path, OpenFlags::SQLITE_OPEN_READ_ONLY).expect("opens");
        let error = store.brought_up(Purpose::Write).expect_err("is refused");
        assert!(matches!(error, StoreError::Older { found: 1, .. }), "{error}");
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
