//! `policy`: the choices that are ours.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::view::{choices_page, json};

/// Print the choices that are ours: thresholds and weights, with their reasons
///
/// A `policy.csv` in the folder of --tables lays your own over them: choice,low,likely,high,reason.
/// One figure stands under `likely`, with `low` and `high` blank.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop policy --json")]
pub(in crate::cli) struct PolicyArgs {}

pub(in crate::cli) fn run(session: &Session, _args: &PolicyArgs) -> Result<Outcome, CliError> {
    let own = &session.own_choices;
    session.print(
        || choices_page(&session.policy, own),
        || serde_json::json!(json::choices(&session.policy, own)),
    )
}
