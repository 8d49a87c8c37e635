//! What an examination of a garden file found.

use std::path::PathBuf;

use super::RecordKind;

/// The state of a garden file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checkup {
    /// The file.
    pub path: PathBuf,
    /// Its size.
    pub bytes: u64,
    /// Its format, and the newest format of this version.
    pub format: i64,
    /// The newest format of this version.
    pub newest_format: i64,
    /// Versions of the program that imported into it, oldest first.
    pub written_by: Vec<String>,
    /// How many imports it holds.
    pub imports: usize,
    /// Records of each kind, superseded and withdrawn ones included.
    pub records: Vec<(RecordKind, usize)>,
    /// Whether a run that was ended in the middle of writing had left its journal; the examination
    /// rolled it back.
    pub journal: bool,
    /// Copies made before a change of format.
    pub backups: Vec<PathBuf>,
    /// The checks, in order.
    pub checks: Vec<(Check, CheckResult)>,
}

impl Checkup {
    /// Whether no check failed.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.checks.iter().all(|(_, result)| !matches!(result, CheckResult::Failed(_)))
    }
}

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Check {
    /// The file is as long as its header says.
    Size,
    /// Pages, indexes and constraints, as SQLite sees them.
    Pages,
    /// Every reference leads somewhere.
    References,
    /// The rows are those that were sealed when they were written.
    Seals,
    /// Every record has the values it was written with.
    Records,
}

impl Check {
    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Size => "size",
            Self::Pages => "pages",
            Self::References => "references",
            Self::Seals => "seals",
            Self::Records => "records",
        }
    }
}

/// How a check ended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CheckResult {
    /// As it should be.
    Passed,
    /// Could not be made: why.
    Skipped(&'static str),
    /// What is wrong; the first few and, last, how many more.
    Failed(Vec<String>),
}
