//! An examination of the garden file, going out.

use serde::Serialize;

use super::FORMAT;
use crate::records::{CheckResult, Checkup};

/// One check.
#[derive(Clone, Debug, Serialize)]
pub struct FileCheckJson {
    /// What: `size`, `pages`, `references`, `seals`, `records`.
    pub check: &'static str,
    /// `sound`, `not_checked` or `damaged`.
    pub result: &'static str,
    /// What is wrong, or why it was not checked.
    pub found: Vec<String>,
}

/// An examination.
#[derive(Clone, Debug, Serialize)]
pub struct CheckupJson {
    /// Format number of this document.
    pub format: u32,
    /// The file.
    pub path: String,
    /// Whether no check failed.
    pub sound: bool,
    /// Its size in bytes.
    pub bytes: u64,
    /// Format of the file.
    pub file_format: i64,
    /// Newest format of this version.
    pub newest_file_format: i64,
    /// How many imports it holds.
    pub imports: usize,
    /// Versions of the program that wrote them.
    pub written_by: Vec<String>,
    /// Records by kind, superseded and withdrawn ones included.
    pub records: Vec<(&'static str, usize)>,
    /// Whether a journal had been left behind.
    pub journal: bool,
    /// Copies beside it.
    pub backups: Vec<String>,
    /// The checks.
    pub checks: Vec<FileCheckJson>,
    /// What to do.
    pub advice: Vec<String>,
}

/// An examination for going out.
#[must_use]
pub fn checkup(checkup: &Checkup) -> CheckupJson {
    CheckupJson {
        format: FORMAT,
        path: checkup.path.display().to_string(),
        sound: checkup.is_sound(),
        bytes: checkup.bytes,
        file_format: checkup.format,
        newest_file_format: checkup.newest_format,
        imports: checkup.imports,
        written_by: checkup.written_by.clone(),
        records: checkup.records.iter().map(|(kind, rows)| (kind.word(), *rows)).collect(),
        journal: checkup.journal,
        backups: checkup.backups.iter().map(|path| path.display().to_string()).collect(),
        checks: checkup
            .checks
            .iter()
            .map(|(check, result)| {
                let (result, found) = match result {
                    CheckResult::Passed => ("sound", Vec::new()),
                    CheckResult::Skipped(why) => ("not_checked", vec![(*why).to_owned()]),
                    CheckResult::Failed(found) => ("damaged", found.clone()),
                };
                FileCheckJson { check: check.word(), result, found }
            })
            .collect(),
        advice: super::super::checkup::advice(checkup),
    }
}
