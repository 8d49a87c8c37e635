//! Errors at the edge: what happened, why, and what to type next.

use super::Outcome;
use crate::import::{ForeignError, ImportError};
use crate::records::RecordKind;
use crate::store::StoreError;
use crate::tabular::RowProblem;

/// An error on its way to the terminal.
#[derive(Debug)]
pub(super) struct CliError {
    text: String,
    outcome: Outcome,
    causes: Vec<String>,
    hints: Vec<String>,
    problems: Vec<RowProblem>,
}

impl std::fmt::Display for CliError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.text)
    }
}

impl CliError {
    /// An error of what was asked for.
    pub(super) fn input(text: impl Into<String>) -> Self {
        Self {
            text: text.into(),
            outcome: Outcome::BadInput,
            causes: vec![],
            hints: vec![],
            problems: vec![],
        }
    }

    /// An error of files and disks.
    pub(super) fn environment(error: &dyn std::error::Error) -> Self {
        Self {
            text: error.to_string(),
            outcome: Outcome::Environment,
            causes: causes(error),
            hints: vec![],
            problems: vec![],
        }
    }

    /// Faults of the grower's own tables.
    pub(super) fn own_tables(problems: Vec<RowProblem>) -> Self {
        let count = crate::view::words::count(problems.len(), "problem");
        Self { problems, ..Self::input(format!("{count} in your own tables; nothing was done")) }
            .hint("all of them: `breakcrop reference lint`")
    }

    /// Faults of the grower's own choices.
    pub(super) fn own_policy(problems: Vec<RowProblem>) -> Self {
        let count = crate::view::words::count(problems.len(), "problem");
        Self { problems, ..Self::input(format!("{count} in your own choices; nothing was done")) }
            .hint("every choice with our value and reason: `breakcrop policy`, without --tables")
    }

    /// Rows of a plan's file that cannot be read.
    pub(super) fn plan_file(problems: Vec<RowProblem>) -> Self {
        let count = crate::view::words::count(problems.len(), "problem");
        Self { problems, ..Self::input(format!("{count} in the plan's file; nothing was planned")) }
    }

    /// Adds what to do.
    pub(super) fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Adds a cause.
    pub(super) fn because(mut self, cause: impl Into<String>) -> Self {
        self.causes.push(cause.into());
        self
    }

    pub(super) fn outcome(&self) -> Outcome {
        self.outcome
    }

    pub(super) fn causes(&self) -> &[String] {
        &self.causes
    }

    /// Problems of rows, to be shown before the error itself.
    pub(super) fn problems(&self) -> &[RowProblem] {
        &self.problems
    }

    pub(super) fn hints(&self) -> &[String] {
        &self.hints
    }
}

fn causes(error: &dyn std::error::Error) -> Vec<String> {
    std::iter::successors(error.source(), |error| error.source()).map(ToString::to_string).collect()
}

impl From<StoreError> for CliError {
    fn from(error: StoreError) -> Self {
        let cli = Self::environment(&error);
        match error {
            StoreError::Missing { .. } => {
                cli.hint("make one: `breakcrop import FOLDER`, or name it with --garden FILE")
            }
            StoreError::NotOurs { .. } => {
                cli.hint("name the garden file with --garden FILE; record files go to `import`")
            }
            StoreError::Newer { .. } => cli.hint("the file is untouched; use the newer version"),
            StoreError::Older { .. } => cli.hint("copy it to a folder where you may write"),
            StoreError::CannotMake { .. } => {
                cli.hint("is the folder there, and may you write to it?")
            }
            StoreError::ReadOnly { .. } => {
                cli.hint("nothing was written; copy it to a folder where you may write")
            }
            StoreError::Damaged { .. } => cli
                .hint("nothing was written; `breakcrop doctor` says what is damaged")
                .hint("import your record files into a new garden file, or go back to a copy"),
            StoreError::Backup { .. } => {
                cli.hint("nothing was changed; make room beside it, or copy it elsewhere")
            }
            StoreError::Busy { .. } => cli.hint("close the other program and try again"),
            StoreError::Full { .. } => cli.hint("nothing was written; make room and try again"),
            StoreError::Sqlite { .. } => {
                cli.hint("never delete a file named like it that ends in -journal")
            }
        }
    }
}

impl From<ImportError> for CliError {
    fn from(error: ImportError) -> Self {
        match error {
            ImportError::Store(error) => error.into(),
            ImportError::NoRecordFile { ref wanted, .. } => {
                let hint = format!("record files are: {}", wanted.join(", "));
                Self::input(error.to_string())
                    .hint(hint)
                    .hint("`breakcrop new FOLDER` writes templates")
            }
            ImportError::Problems(problems) => Self {
                problems: problems.clone(),
                ..Self::input(format!(
                    "{}; nothing was imported",
                    crate::view::words::count(problems.len(), "problem")
                ))
            },
            ImportError::Unreadable { .. } => Self::environment(&error),
            ImportError::Sheet { .. } => Self::input(error.to_string())
                .hint("save the sheets as CSV, each under the name of its record file"),
            ImportError::Foreign(ref fault) => {
                let hint = match fault {
                    ForeignError::NotAPair(_) => {
                        "write --columns \"theirs=ours,theirs=ours\"; `theirs=` leaves a column out"
                            .to_owned()
                    }
                    ForeignError::NoSuchFile(_) | ForeignError::NowhereWritten(_) => {
                        let kinds = RecordKind::ALL.map(RecordKind::word);
                        format!("record files are: {}", kinds.join(", "))
                    }
                    ForeignError::NoSuchColumn { file, .. } => {
                        let kind = RecordKind::of_file(file);
                        let columns = kind.map_or(&[][..], RecordKind::columns);
                        let names: Vec<&str> = columns.iter().map(|column| column.name).collect();
                        format!("columns of {file}: {}", names.join(", "))
                    }
                };
                Self::input(error.to_string()).hint(hint)
            }
        }
    }
}

impl From<std::io::Error> for CliError {
    fn from(error: std::io::Error) -> Self {
        Self::environment(&error)
    }
}
