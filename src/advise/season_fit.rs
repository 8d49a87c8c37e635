//! Whether a crop started on a day would come to a harvest: the season engine's answer in the one
//! word that a ranking needs.

use crate::assess::season::{HazardEffect, HazardKind, Kind, SeasonAnswer, SiteDays, season};
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::season::Date;

/// How the weeks and months after planting suit a crop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SeasonFit {
    /// Nothing forbids it.
    Fits,
    /// Cold forbids it.
    TooCold,
    /// Heat forbids it.
    TooHot,
    /// Light or the length of the day forbids it.
    WrongLight,
    /// No climate or no figure to tell by.
    Unknown,
}

/// How a day suits a crop at a site, started as its days to maturity are counted.
#[must_use]
pub fn season_fit(
    knowledge: &Knowledge,
    policy: &Policy,
    days: Option<&SiteDays>,
    crop: CropId,
    on: Date,
) -> SeasonFit {
    let Some(days) = days else {
        return SeasonFit::Unknown;
    };
    of_answer(&season(knowledge, policy, days, crop, Kind::Plain, None, on))
}

/// The one word of an answer: what forbids it first.
fn of_answer(answer: &SeasonAnswer<'_>) -> SeasonFit {
    if answer.needs.growth_least.is_none() && answer.needs.growth_most.is_none() {
        return SeasonFit::Unknown;
    }
    let forbids = answer.hazards.iter().find(|hazard| hazard.effect == HazardEffect::Forbids);
    match forbids.map(|hazard| hazard.kind) {
        None => SeasonFit::Fits,
        Some(
            HazardKind::Killed { .. }
            | HazardKind::HarvestCutShort { .. }
            | HazardKind::SoilTooCold { .. }
            | HazardKind::StartTooCool { .. }
            | HazardKind::TooCool { .. }
            | HazardKind::NeverReady
            | HazardKind::Slow { .. }
            | HazardKind::SlowToEmerge { .. }
            | HazardKind::SetNightsCold { .. }
            | HazardKind::RipeningStops { .. }
            | HazardKind::RipeningSlow { .. }
            | HazardKind::BoltsAfterCold { .. }
            | HazardKind::Buttons { .. },
        ) => SeasonFit::TooCold,
        Some(
            HazardKind::SoilTooHot { .. }
            | HazardKind::TooHot { .. }
            | HazardKind::SetNightsWarm { .. }
            | HazardKind::SetDaysHot { .. }
            | HazardKind::NoRed { .. }
            | HazardKind::LooseHeads { .. },
        ) => SeasonFit::TooHot,
        Some(
            HazardKind::LittleLight { .. }
            | HazardKind::ShortDays { .. }
            | HazardKind::BoltsInLongDays { .. }
            | HazardKind::NeverBulbs { .. }
            | HazardKind::BulbsSmall { .. },
        ) => SeasonFit::WrongLight,
    }
}
