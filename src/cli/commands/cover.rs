//! `cover`: what covers a gap?

use crate::advise::{Gap, cover};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::season::Date;
use crate::view::{Phrases, cover_page, json};

/// Rank covers for the gap between two crops
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  breakcrop cover M3 --from 2026-10-15 --to 2027-02-15 --next potato"
)]
pub(in crate::cli) struct CoverArgs {
    /// Bed, or bed/section
    bed: String,
    /// First free day [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    from: Option<Date>,
    /// Day of the next crop
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    to: Date,
    /// The next crop
    #[arg(long, value_name = "CROP")]
    next: Option<String>,
    /// How many covers
    #[arg(long, value_name = "N", default_value_t = 10)]
    most: usize,
}

pub(in crate::cli) fn run(session: &Session, args: &CoverArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let gap = Gap { from: args.from.unwrap_or(session.today), to: args.to };
    if gap.to <= gap.from {
        return Err(CliError::input(format!(
            "the gap ends on {} before it begins on {}",
            gap.to, gap.from
        ))
        .hint("--from DAY --to LATER-DAY"));
    }
    let next = args.next.as_deref().map(|name| session.crop(name)).transpose()?;
    let options = cover(session.knowledge(), &session.policy, &garden, &place, gap, next);
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || cover_page(phrases, &place, gap, &options, args.most),
        || serde_json::json!(json::covers(phrases, &place, gap, &options)),
    )
}
