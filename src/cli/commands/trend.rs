//! `trend`: what do the years show?

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::trend::trend;
use crate::view::{Phrases, json, trend_page};

/// Show what changed over the years, and how plants that stood side by side fared
///
/// How soon families came back to their beds, share of legumes, days of bare soil, balances of N,
/// P and K, doses of disease by year; grafted against ungrafted and variety against variety in the
/// same season and at the same age, with what so few seasons allow to say.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop trend\n  breakcrop trend --all")]
pub(in crate::cli) struct TrendArgs {
    /// List every return of a family with its records
    #[arg(long)]
    all: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &TrendArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let years = trend(session.knowledge(), &session.policy, &garden, session.today);
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || trend_page(session.phrases(), &years, args.all),
        || serde_json::json!(json::trend(phrases, &years)),
    )
}
