//! An import and its problems, going out.

use serde::Serialize;

use super::FORMAT;
use crate::records::Tally;
use crate::tabular::RowProblem;

/// A problem of a row.
#[derive(Clone, Debug, Serialize)]
pub struct ProblemJson {
    /// File.
    pub file: String,
    /// Line.
    pub line: u32,
    /// Character column, 0 for the row.
    pub column: u32,
    /// Column name.
    pub field: Option<String>,
    /// As written.
    pub value: String,
    /// The problem's word.
    pub problem: &'static str,
    /// In words.
    pub text: String,
    /// What to type.
    pub hint: Option<String>,
}

/// An import.
#[derive(Clone, Debug, Serialize)]
pub struct ImportJson {
    /// Format number.
    pub format: u32,
    /// Rows by file.
    pub files: Vec<(String, usize)>,
    /// New records.
    pub added: usize,
    /// Records superseded.
    pub corrected: usize,
    /// Records already there.
    pub unchanged: usize,
    /// Records no longer in their files.
    pub missing: Vec<(String, i64)>,
    /// Whether those were withdrawn.
    pub withdrawn: bool,
    /// Problems; if any, nothing was written.
    pub problems: Vec<ProblemJson>,
}

/// An import for going out.
#[must_use]
pub fn import(files: &[(String, usize)], tally: &Tally, problems: &[RowProblem]) -> ImportJson {
    ImportJson {
        format: FORMAT,
        files: files.to_vec(),
        added: tally.added,
        corrected: tally.corrected,
        unchanged: tally.unchanged,
        missing: tally.missing.clone(),
        withdrawn: tally.withdrawn,
        problems: problems.iter().map(problem).collect(),
    }
}

/// A problem for going out.
pub(super) fn problem(problem: &RowProblem) -> ProblemJson {
    ProblemJson {
        file: problem.file.to_string(),
        line: problem.line,
        column: problem.column,
        field: problem.field.clone(),
        value: problem.value.clone(),
        problem: problem.problem.word(),
        text: super::super::problems::problem_text(problem),
        hint: problem.hint.clone(),
    }
}
