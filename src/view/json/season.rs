//! The JSON of a season: frozen structs.

use serde::Serialize;

use super::super::hazard::hazard_words;
use super::super::phrase::Phrases;
use super::super::season::FrostWords;
use super::FORMAT;
use super::judgment::publications;
use crate::assess::season::{HazardEffect, Kind, SeasonAnswer, Window, Windows};
use crate::climate::frost::{FrostBasis, FrostDate};
use crate::climate::heat::Reached;
use crate::estimate::Estimate;
use crate::knowledge::Citation;
use crate::records::Started;
use crate::season::Date;

/// A range of days; null where not reached.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct ReachedJson {
    /// In early years.
    pub early: Option<Date>,
    /// Likely.
    pub likely: Option<Date>,
    /// In late years.
    pub late: Option<Date>,
}

/// How much of good seed grows.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct SeedlingsJson {
    /// Temperature of the bed on the day.
    pub soil_c: f64,
    /// Share that grows into normal seedlings, 0 to 1.
    pub share: f64,
}

/// A planting window.
#[derive(Clone, Debug, Serialize)]
pub struct WindowJson {
    /// First day, of the year asked about.
    pub from: Date,
    /// Last day; earlier than the first where the window runs over New Year.
    pub to: Date,
    /// How many days.
    pub days: usize,
}

/// One thing that can go wrong.
#[derive(Clone, Debug, Serialize)]
pub struct HazardJson {
    /// forbids, harms or tells.
    pub effect: &'static str,
    /// In words.
    pub text: String,
    /// First day.
    pub from: Date,
    /// Last day.
    pub to: Date,
    /// Source keys of the limit; empty where the limit is a choice of policy.
    pub sources: Vec<String>,
    /// What each source is as a document, in the order of the keys.
    pub publications: Vec<&'static str>,
    /// How the limit is known.
    pub how: Option<&'static str>,
}

/// A frost date of the site.
#[derive(Clone, Debug, Serialize)]
pub struct FrostJson {
    /// The date on or after the day asked about; null if frost comes in fewer than half of years.
    pub usual: Option<Date>,
    /// recorded or normals.
    pub basis: &'static str,
}

/// The heat a harvest needs.
#[derive(Clone, Debug, Serialize)]
pub struct HeatJson {
    /// Degree-days.
    pub degree_days: Estimate,
    /// Base.
    pub base_c: f64,
    /// Temperature from which development goes no faster.
    pub optimum_c: f64,
    /// Whether the sum is printed, and not worked out from days to maturity.
    pub printed: bool,
    /// Source keys.
    pub sources: Vec<String>,
}

/// A crop's season.
#[derive(Clone, Debug, Serialize)]
pub struct SeasonJson {
    /// Format number.
    pub format: u32,
    /// Crop key.
    pub crop: String,
    /// plain, `small_fruited`, `large_fruited`, `short_day`, intermediate or `long_day`.
    pub kind: &'static str,
    /// sown or transplanted.
    pub method: &'static str,
    /// Day of the start.
    pub on: Date,
    /// Whether nothing forbids the day.
    pub fits: bool,
    /// How well the temperatures suit it while the harvest forms, 0 to 1.
    pub suitability: Option<f64>,
    /// Days to start on: nearly as good as the best.
    pub good_windows: Vec<WindowJson>,
    /// Days to start on: a harvest is possible.
    pub possible_windows: Vec<WindowJson>,
    /// Emergence of what is sown.
    pub emergence: ReachedJson,
    /// How much of what is sown grows; null where no trial counted.
    pub seedlings: Option<SeedlingsJson>,
    /// First harvest.
    pub first_harvest: ReachedJson,
    /// Last harvest.
    pub last_harvest: Option<Date>,
    /// Whether cold ends the harvest.
    pub ended_by_cold: bool,
    /// Heat needed.
    pub heat: Option<HeatJson>,
    /// Last frost of the site.
    pub last_frost: FrostJson,
    /// First frost of the site.
    pub first_frost: FrostJson,
    /// Spread of single days where it is assumed.
    pub assumed_spread_c: Option<f64>,
    /// What can go wrong, what forbids first.
    pub hazards: Vec<HazardJson>,
}

fn reached(reached: Reached) -> ReachedJson {
    ReachedJson { early: reached.early, likely: reached.likely, late: reached.late }
}

fn window(window: &Window) -> WindowJson {
    WindowJson { from: window.from, to: window.to, days: window.days }
}

fn sources(citation: &Citation) -> Vec<String> {
    citation.keys().map(str::to_owned).collect()
}

fn frost((date, basis): (FrostDate, FrostBasis), near: Date) -> FrostJson {
    FrostJson {
        usual: date.from(near),
        basis: match basis {
            FrostBasis::Recorded => "recorded",
            FrostBasis::Normals => "normals",
        },
    }
}

/// A season for going out.
#[must_use]
pub fn season(
    phrases: Phrases<'_>,
    answer: &SeasonAnswer<'_>,
    windows: &Windows,
    frosts: &FrostWords,
) -> SeasonJson {
    SeasonJson {
        format: FORMAT,
        crop: phrases.knowledge.crops[answer.needs.crop].key.to_string(),
        kind: match answer.needs.kind {
            Kind::Plain => "plain",
            Kind::SmallFruited => "small_fruited",
            Kind::LargeFruited => "large_fruited",
            Kind::ShortDay => "short_day",
            Kind::Intermediate => "intermediate",
            Kind::LongDay => "long_day",
        },
        method: Started::of(phrases.knowledge, answer.needs.crop, answer.method).method().word(),
        on: answer.on,
        fits: answer.fits(),
        suitability: answer.fit,
        good_windows: windows.good.iter().map(window).collect(),
        possible_windows: windows.possible.iter().map(window).collect(),
        emergence: reached(answer.course.emergence),
        seedlings: answer
            .seedlings
            .map(|seedlings| SeedlingsJson { soil_c: seedlings.soil_c, share: seedlings.share }),
        first_harvest: reached(answer.course.first_harvest),
        last_harvest: answer.course.last_harvest,
        ended_by_cold: answer.course.ended_by_cold,
        heat: answer.needs.heat.map(|heat| HeatJson {
            degree_days: heat.degree_days,
            base_c: heat.base_c,
            optimum_c: heat.optimum_c,
            printed: heat.is_printed,
            sources: sources(heat.rests_on),
        }),
        last_frost: frost(frosts.last, answer.on),
        first_frost: frost(frosts.first, answer.on),
        assumed_spread_c: frosts.assumed_spread_c,
        hazards: answer
            .hazards
            .iter()
            .map(|hazard| HazardJson {
                effect: match hazard.effect {
                    HazardEffect::Forbids => "forbids",
                    HazardEffect::Harms => "harms",
                    HazardEffect::Tells => "tells",
                },
                text: hazard_words(phrases.units, &hazard.kind),
                from: hazard.from,
                to: hazard.to,
                sources: hazard.citation.map(sources).unwrap_or_default(),
                publications: hazard
                    .citation
                    .map(|citation| publications(phrases, citation))
                    .unwrap_or_default(),
                how: hazard.citation.map(|citation| citation.how.word()),
            })
            .collect(),
    }
}
