//! `season`: when to start a crop here, when it is ready, what can go wrong.

use crate::assess::season::{Kind, days_from, normal_year, season, windows};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::climate::Climate;
use crate::climate::frost::FREEZING_C;
use crate::records::Method;
use crate::season::Date;
use crate::view::{FrostWords, Phrases, json, season_page};
use chrono::Datelike;

/// Say when to start a crop here, when it is ready, and what can go wrong
///
/// Windows, emergence and harvest are worked out from the site's climate and the crop's sourced
/// limits. With a bed in which the crop stands, its own day, method and variety are taken.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop season tomato --variety cherry --on 2026-10-12\n  \
breakcrop season onion --variety \"long day\"\n  breakcrop season broccoli --bed M3")]
pub(in crate::cli) struct SeasonArgs {
    /// Crop, by any common name
    crop: String,
    /// Bed, or bed/section, in which the crop stands
    #[arg(long, value_name = "BED")]
    bed: Option<String>,
    /// Day of sowing or setting out [default: the standing crop's, else today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// sown or transplanted [default: as its days to maturity are counted]
    #[arg(long, value_parser = ["sown", "transplanted"])]
    method: Option<String>,
    /// Words of the variety: cherry, beefsteak, short day, ...
    #[arg(long, value_name = "WORDS")]
    variety: Option<String>,
}

pub(in crate::cli) fn run(session: &Session, args: &SeasonArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let (knowledge, policy) = (session.knowledge(), &session.policy);
    let crop = session.crop(&args.crop)?;
    let place = args.bed.as_deref().map(|bed| Session::place(&garden, bed)).transpose()?;
    let standing = place.as_ref().and_then(|place| {
        garden.plantings.iter().rev().find(|planting| {
            planting.crop == crop
                && planting.place.bears_on(place)
                && planting.stood.holds(session.today)
        })
    });
    let climate = Climate::of(&garden).ok_or_else(|| {
        CliError::input(
            "the season needs the site's climate, and climate.csv has not all twelve months",
        )
        .hint("write the normals of the nearest station: `breakcrop new climate` shows the columns")
    })?;
    let on =
        args.on.or_else(|| standing.map(|planting| planting.stood.start)).unwrap_or(session.today);
    let method = match args.method.as_deref() {
        Some("sown") => Some(Method::Sown),
        Some(_) => Some(Method::Transplanted),
        None => standing.and_then(|planting| planting.method),
    };
    let words = args
        .variety
        .as_deref()
        .or_else(|| standing.map(|planting| &*planting.variety))
        .unwrap_or_default();
    let kind = Kind::of(&knowledge.crops[crop].key, words);
    let days = days_from(&climate, policy, on);
    let answer = season(knowledge, policy, &days, crop, kind, method, on);
    let new_year = Date::from_ymd_opt(on.year(), 1, 1).unwrap_or(on);
    let year = normal_year(&climate, policy, new_year);
    let found = windows(knowledge, policy, &year, crop, kind, Some(answer.method));
    let frost = days.frost();
    let frosts = FrostWords {
        last: (frost.last(FREEZING_C, 0.5), frost.last_basis),
        first: (frost.first(FREEZING_C, 0.5), frost.first_basis),
        assumed_spread_c: climate.spread_is_assumed().then(|| climate.assumed_spread_c(policy)),
    };
    let phrases = Phrases::new(knowledge);
    session.print(
        || season_page(session.phrases(), &answer, &found, &frosts),
        || serde_json::json!(json::season::season(phrases, &answer, &found, &frosts)),
    )
}
