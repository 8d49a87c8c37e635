//! Rankings of crops, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{AssessmentJson, assessment};
use crate::advise::{Follows, SeasonFit};
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
