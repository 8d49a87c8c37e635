//! What can go wrong with the file of records.

use std::path::PathBuf;

/// An error of the store.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// There is no such file.
    #[error("there is no garden file {}", path.display())]
    Missing {
        /// The path asked for.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("{} is not a breakcrop garden file", path.display())]
    NotOurs {
        /// The path asked for.
        path: PathBuf,
    },
    /// The file was written by a newer version.
    #[error("{} has format {found}; this version knows formats up to {known}", path.display())]
    Newer {
        /// The path asked for.
        path: PathBuf,
        /// Format of the file.
        found: i64,
        /// Newest format known.
        known: i64,
    },
    /// The file has an older format and cannot be brought to the newest one where it lies.
    #[error("{} has the older format {found} and may not be written, so it cannot be brought to format {known}", path.display())]
    Older {
        /// The path asked for.
        path: PathBuf,
        /// Format of the file.
        found: i64,
        /// Newest format known.
        known: i64,
    },
    /// No file can be made there.
    #[error("no garden file {} can be made", path.display())]
    CannotMake {
        /// The path asked for.
        path: PathBuf,
    },
    /// The file, or the medium it is on, may only be read.
    #[error("{} may only be read", path.display())]
    ReadOnly {
        /// The path asked for.
        path: PathBuf,
    },
    /// The file is not what was written.
    #[error("the garden file {} is damaged: {what}", path.display())]
    Damaged {
        /// The path asked for.
        path: PathBuf,
        /// What is broken.
        what: String,
    },
    /// The copy that is made before a change of format could not be made; nothing was changed.
    #[error("no copy of {} can be made beside it", path.display())]
    Backup {
        /// The path asked for.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// Somebody else is writing.
    #[error("{} is in use by another program", path.display())]
    Busy {
        /// The path asked for.
        path: PathBuf,
    },
    /// The disk is full.
    #[error("there is no room left on the disk of {}", path.display())]
    Full {
        /// The path asked for.
        path: PathBuf,
    },
    /// Anything else that SQLite says.
    #[error("the garden file {} cannot be read or written", path.display())]
    Sqlite {
        /// The path asked for.
        path: PathBuf,
        /// What SQLite says.
        source: rusqlite::Error,
    },
}

impl StoreError {
    /// Sorts an SQLite error into the kinds that have words of their own.
    pub(super) fn of(path: &std::path::Path, error: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode;
        let path = path.to_path_buf();
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::NotOurs { path },
            Some(ErrorCode::CannotOpen) => Self::Missing { path },
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy { path },
            Some(ErrorCode::DiskFull) => Self::Full { path },
            Some(ErrorCode::ReadOnly) => Self::ReadOnly { path },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, what: error.to_string() },
            _ => Self::Sqlite { path, source: error },
        }
    }
}
