//! `replay`: was the advice any good?

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::replay::replay;
use crate::view::{Phrases, ReplayShown, json, replay_page};

/// Play the past again: judge each planting from earlier records only, and score it
///
/// The chance that a disease of the bed is named on a planting is held against what was then
/// written: Brier score and skill against the base rate, a calibration table, the worst misses
/// with their reasons. What nobody looked at is not scored. A few dozen plantings allow wide
/// statements only; they are printed as such.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop replay\n  breakcrop replay --worst 10 --all")]
pub(in crate::cli) struct ReplayArgs {
    /// How many of the worst misses
    #[arg(long, value_name = "N", default_value_t = 3)]
    worst: usize,
    /// List every planting with its chance and what came
    #[arg(long)]
    all: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &ReplayArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let played = replay(session.knowledge(), &session.policy, &garden, session.today);
    let phrases = Phrases::new(session.knowledge());
    let shown = ReplayShown { worst: args.worst, all: args.all };
    session.print(
        || replay_page(phrases, &played, shown),
        || serde_json::json!(json::replay(phrases, &played, args.worst)),
    )
}
