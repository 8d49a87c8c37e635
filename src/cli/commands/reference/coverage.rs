//! `reference coverage`: what became of the reference rows, and what the tables hold.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::coverage;
use crate::view::{coverage_page, json};

pub(super) fn run(session: &Session) -> Result<Outcome, CliError> {
    let record = coverage();
    let holdings = session.knowledge().holdings();
    session.print(
        || coverage_page(&record, &holdings),
        || serde_json::json!(json::reference::coverage(&record, &holdings)),
    )
}
