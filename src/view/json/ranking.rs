//! Rankings of crops, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{AssessmentJson, assessment};
use crate::advise::{Ends, Follows, SeasonFit};
use crate::season::Date;

/// A crop in a ranking.
#[derive(Clone, Debug, Serialize)]
pub struct FollowOnJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// Whether it was grown in this garden or is wished for.
    pub own: bool,
    /// fits, `too_cold`, `too_hot`, `wrong_light` or unknown.
    pub season: &'static str,
}

/// A standing crop, and until when it gives.
#[derive(Clone, Debug, Serialize)]
pub struct StandingJson {
    /// Crop key.
    pub crop: String,
    /// First day on which the bed is expected to be free of it.
    pub until: Date,
    /// `usual_days`, heat, cold, cleared or over.
    pub ends: &'static str,
    /// The last picking on record.
    pub last_picked: Option<Date>,
    /// Places of the records it rests on.
    pub records: Vec<String>,
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
    /// What stands there on the day asked.
    pub standing: Vec<StandingJson>,
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
        standing: follows
            .free
            .iter()
            .map(|free| StandingJson {
                crop: phrases.knowledge.crops[free.planting.crop].key.to_string(),
                until: free.from,
                ends: match free.ends {
                    Ends::UsualDays => "usual_days",
                    Ends::Heat => "heat",
                    Ends::Cold => "cold",
                    Ends::Cleared => "cleared",
                    Ends::Over => "over",
                },
                last_picked: free.picked.map(|harvest| harvest.date),
                records: std::iter::once(free.planting.origin.to_string())
                    .chain(free.picked.map(|harvest| harvest.origin.to_string()))
                    .collect(),
            })
            .collect(),
        ranked: follows
            .ranked
            .iter()
            .map(|follow| FollowOnJson {
                assessment: assessment(phrases, place, &follow.assessment, &[]),
                own: follows.own.contains(&follow.crop),
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
