//! Whether a crop started on a day would come to a harvest: the season engine's answer in the one
//! word that a ranking needs.

use crate::assess::season::HazardKind;
use crate::assess::{Assessment, Claim, SeasonClaim};

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

impl SeasonFit {
    /// The one word of a judgment's season.
    #[must_use]
    pub fn of(assessment: &Assessment) -> Self {
        let season = assessment.reasons.iter().find_map(|reason| match &reason.claim {
            Claim::Season { season, .. } => Some(season),
            _ => None,
        });
        match season {
            None | Some(SeasonClaim::NoClimate | SeasonClaim::NoFigures) => Self::Unknown,
            Some(
                SeasonClaim::Ripens { .. }
                | SeasonClaim::Marginal { .. }
                | SeasonClaim::Establishes
                | SeasonClaim::OverByThen { .. },
            ) => Self::Fits,
            Some(SeasonClaim::Shut { by, .. }) => Self::shut_by(by),
        }
    }

    /// Whether the season bars it.
    #[must_use]
    pub fn is_out(self) -> bool {
        match self {
            Self::TooCold | Self::TooHot | Self::WrongLight => true,
            Self::Fits | Self::Unknown => false,
        }
    }

    fn shut_by(hazard: &HazardKind) -> Self {
        match hazard {
            HazardKind::Killed { .. }
            | HazardKind::ShootsFreeze { .. }
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
            | HazardKind::Buttons { .. } => Self::TooCold,
            HazardKind::SoilTooHot { .. }
            | HazardKind::TooHot { .. }
            | HazardKind::SetNightsWarm { .. }
            | HazardKind::SetDaysHot { .. }
            | HazardKind::NoRed { .. }
            | HazardKind::LooseHeads { .. } => Self::TooHot,
            HazardKind::LittleLight { .. }
            | HazardKind::ShortDays { .. }
            | HazardKind::BoltsInLongDays { .. }
            | HazardKind::NeverBulbs { .. }
            | HazardKind::BulbsSmall { .. } => Self::WrongLight,
        }
    }
}
