//! Rankings of crops and covers, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{AssessmentJson, assessment};
use crate::advise::{CoverOption, Follows, SeasonFit, Winter};
use crate::assess::Verdict;
use crate::estimate::Estimate;
use crate::records::Place;
use crate::season::Date;

/// A crop in a ranking.
#[derive(Clone, Debug, Serialize)]
pub struct FollowOnJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// fits, `too_cold`, `too_hot`, `wrong_light` or unknown.
    pub season: &'static str,
}

/// A ranking.
#[derive(Clone, Debug, Serialize)]
pub struct FollowsJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First day.
    pub from: Date,
    /// Best first.
    pub ranked: Vec<FollowOnJson>,
}

/// A ranking for going out.
#[must_use]
pub fn follows(phrases: Phrases<'_>, follows: &Follows<'_>) -> FollowsJson {
    let place = &follows.state.place;
    FollowsJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: follows.from,
        ranked: follows
            .ranked
            .iter()
            .map(|follow| FollowOnJson {
                assessment: assessment(phrases, place, &follow.assessment, &[]),
                season: season_word(follow.season),
            })
            .collect(),
    }
}

pub(super) fn season_word(season: SeasonFit) -> &'static str {
    match season {
        SeasonFit::Fits => "fits",
        SeasonFit::TooCold => "too_cold",
        SeasonFit::TooHot => "too_hot",
        SeasonFit::WrongLight => "wrong_light",
        SeasonFit::Unknown => "unknown",
    }
}

/// A cover for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoverJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// Days it needs.
    pub days_needed: Option<Estimate>,
    /// Whether the gap gives them.
    pub fits_days: bool,
    /// Whether it is warm enough to germinate.
    pub germinates: Option<bool>,
    /// lives, dies, `may_die` or unknown.
    pub winter: &'static str,
    /// Seed for the place, grams.
    pub seed_g: Option<[f64; 2]>,
    /// Nitrogen of a full stand, g/m2.
    pub nitrogen_g_m2: Option<[f64; 2]>,
    /// Day to kill it.
    pub kill_by: Date,
    /// Verdict for the next crop after it.
    pub next: Option<Verdict>,
}

/// Covers for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoversJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First free day.
    pub from: Date,
    /// Day of the next crop.
    pub to: Date,
    /// Best first.
    pub covers: Vec<CoverJson>,
}

/// Covers for going out.
#[must_use]
pub fn covers(
    phrases: Phrases<'_>,
    place: &Place,
    gap: crate::advise::Gap,
    options: &[CoverOption],
) -> CoversJson {
    CoversJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: gap.from,
        to: gap.to,
        covers: options
            .iter()
            .map(|option| CoverJson {
                assessment: assessment(phrases, place, &option.assessment, &[]),
                days_needed: option.days_needed,
                fits_days: option.fits_days,
                germinates: option.germinates,
                winter: match option.winter {
                    Winter::Lives(..) => "lives",
                    Winter::Dies(..) => "dies",
                    Winter::MayDie(..) => "may_die",
                    Winter::Unknown => "unknown",
                },
                seed_g: option.seed.map(|(low, high)| [low.0, high.0]),
                nitrogen_g_m2: option.nitrogen.map(|(low, high)| [low, high]),
                kill_by: option.kill_by,
                next: option.next,
            })
            .collect(),
    }
}
