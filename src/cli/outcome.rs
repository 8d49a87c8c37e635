//! How a run ends, as an exit code.

use std::process::{ExitCode, Termination};

/// Exit codes. Documented in the README.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// 0: done.
    Done,
    /// 1: done, and the audit found something severe.
    Findings,
    /// 2: the command line was not understood.
    Usage,
    /// 3: the records, or a name asked for, could not be read.
    BadInput,
    /// 4: a file, the disk, another program.
    Environment,
}

impl Outcome {
    /// The code.
    #[must_use]
    pub fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Findings => 1,
            Self::Usage => 2,
            Self::BadInput => 3,
            Self::Environment => 4,
        }
    }
}

impl Termination for Outcome {
    fn report(self) -> ExitCode {
        ExitCode::from(self.code())
    }
}

/// Prints what clap has to say.
pub(super) fn of_clap(error: &clap::Error) -> Outcome {
    let _ = error.print();
    if error.use_stderr() { Outcome::Usage } else { Outcome::Done }
}
