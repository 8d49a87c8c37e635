//! `cover`: what covers a gap?

use crate::advise::cover::{Asked, Goal, Question, cover, find_gap};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge};
use crate::records::{Garden, Place};
use crate::season::Date;
use crate::view::{Phrases, cover_page, cover_tree_page, json};

/// Rank covers for the gap between two crops
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  \
    breakcrop cover M3 --from 2026-10-15 --to 2027-02-15 --next potato\n  \
    breakcrop cover M3 --next potato --goal nitrogen\n  \
    breakcrop cover M3 --next potato --why \"bell bean\"")]
pub(in crate::cli) struct CoverArgs {
    /// Bed, or bed/section
    bed: String,
    /// First free day [default: today, or when what stands is done]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    from: Option<Date>,
    /// Day of the next crop [default: the next planting on record, else the next crop's season]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    to: Option<Date>,
    /// The next crop
    #[arg(long, value_name = "CROP")]
    next: Option<String>,
    /// What the cover is for [default: what the bed needs most]
    #[arg(long, value_name = "GOAL", value_parser = parse_goal)]
    goal: Option<Goal>,
    /// Show everything one cover's answer rests on
    #[arg(long, value_name = "COVER")]
    why: Option<String>,
    /// How many covers in the list
    #[arg(long, value_name = "N", default_value_t = 12)]
    most: usize,
    /// How many of them in full
    #[arg(long, value_name = "N", default_value_t = 2)]
    full: usize,
}

fn parse_goal(text: &str) -> Result<Goal, String> {
    let wanted = text.to_lowercase().replace([' ', '_'], "-");
    Goal::ALL.into_iter().find(|goal| goal.word() == wanted).ok_or_else(|| {
        let words: Vec<&str> = Goal::ALL.iter().map(|goal| goal.word()).collect();
        format!("goals are {}", words.join(", "))
    })
}

/// Why nothing tells when a gap ends, and what to say.
fn no_end(knowledge: &Knowledge, garden: &Garden, place: &Place, next: Option<CropId>) -> CliError {
    let text = format!("nothing tells when the gap in {place} ends");
    let Some(next) = next.map(|crop| &knowledge.crops[crop].name) else {
        return CliError::input(text)
            .hint("say --to DAY, or --next CROP for the first good day of that crop");
    };
    if Climate::of(garden).is_none() {
        return CliError::input(text)
            .hint(format!(
                "the first good day for {next} is not known without the site's climate: \
                 `breakcrop new climate` shows the columns of climate.csv"
            ))
            .hint("or say the day yourself: --to DAY");
    }
    CliError::input(format!("{text}: no day to come is good for {next} here"))
        .hint(format!("why: `breakcrop season \"{next}\"`"))
        .hint("say the day yourself: --to DAY")
}

pub(in crate::cli) fn run(session: &Session, args: &CoverArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let next = args.next.as_deref().map(|name| session.crop(name)).transpose()?;
    let knowledge = session.knowledge();
    let asked = Asked { from: args.from, to: args.to, next };
    let found = find_gap(knowledge, &session.policy, &garden, &place, session.today, asked)
        .ok_or_else(|| no_end(knowledge, &garden, &place, next))?;
    if found.gap.to <= found.gap.from {
        return Err(CliError::input(format!(
            "the gap ends on {} before it begins on {}",
            found.gap.to, found.gap.from
        ))
        .hint("--from DAY --to LATER-DAY"));
    }
    let question =
        Question { gap: found.gap, next: found.next, next_method: None, goal: args.goal };
    let why = args.why.as_deref().map(|name| session.crop(name)).transpose()?;
    let covers = cover(knowledge, &session.policy, &garden, &place, question);
    let phrases = Phrases::new(knowledge);
    if let Some(crop) = why {
        let option = covers
            .ranked
            .iter()
            .find(|option| option.parts.len() == 1 && option.parts[0].crop == crop)
            .ok_or_else(|| {
                CliError::input(format!(
                    "{} is not in the tables as a cover",
                    knowledge.crops[crop].name
                ))
                .hint("the list: the same command without --why, with --most 60")
            })?;
        return session.print(
            || cover_tree_page(session.phrases(), &covers, option),
            || serde_json::json!(json::covers(phrases, &covers)),
        );
    }
    session.print(
        || cover_page(session.phrases(), found, &covers, args.most, args.full),
        || serde_json::json!(json::covers(phrases, &covers)),
    )
}
