//! `intersow`: a legume between standing plants.

use crate::advise::intersow;
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::season::Date;
use crate::view::json;
use crate::view::{Phrases, intersow_page};

/// Find a legume for the ground between standing plants
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop intersow M2 --on 2026-10-20")]
pub(in crate::cli) struct IntersowArgs {
    /// Bed, or bed/section
    bed: String,
    /// Day of sowing [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// How many legumes
    #[arg(long, value_name = "N", default_value_t = 6)]
    most: usize,
}

pub(in crate::cli) fn run(session: &Session, args: &IntersowArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let on = args.on.unwrap_or(session.today);
    let Some(advice) = intersow(session.knowledge(), &session.policy, &garden, &place, on) else {
        return Err(CliError::input(format!("nothing stands in {place} on {on} to sow between"))
            .hint("`breakcrop cover` fills an empty bed"));
    };
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || intersow_page(phrases, &place, &advice, args.most),
        || serde_json::json!(json::intersow(phrases, &place, &advice)),
    )
}
