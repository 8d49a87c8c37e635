//! `doctor`: is the garden file whole?

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::store::examine;
use crate::view::{checkup_page, json};

/// Examine the garden file: pages, references, values, versions, size
///
/// Changes nothing. A value changed on the disk is found by the digests that each import leaves.
/// Ends with code 4 if the file is damaged.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop -g garden.breakcrop doctor")]
pub(in crate::cli) struct DoctorArgs {}

pub(in crate::cli) fn run(session: &Session, _: &DoctorArgs) -> Result<Outcome, CliError> {
    let checkup = examine(&session.garden_path()?)?;
    session.print(|| checkup_page(&checkup), || serde_json::json!(json::checkup(&checkup)))?;
    Ok(if checkup.is_sound() { Outcome::Done } else { Outcome::Environment })
}
