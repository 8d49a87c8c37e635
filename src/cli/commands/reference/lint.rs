//! `reference lint`: whether the tables agree with one another.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::lint;
use crate::view::{json, lint_page};

pub(super) fn run(session: &Session) -> Result<Outcome, CliError> {
    let report = lint(session.tables());
    session.print(
        || lint_page(&report, session.most_problems),
        || serde_json::json!(json::reference::lint(&report)),
    )?;
    Ok(if report.faults.is_empty() { Outcome::Done } else { Outcome::Findings })
}
