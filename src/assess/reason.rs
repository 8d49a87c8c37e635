//! Reasons as data: a claim, what it does to the verdict, and the evidence it rests on. Leaves
//! are records, sourced facts, computed figures or records that are missing. Wording is the
//! business of `view`.

use super::evidence::Evidence;
use super::season::HazardKind;
use super::verdict::{Confidence, Verdict};
use crate::climate::heat::Reached;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, HostStatus, PathogenId};
use crate::season::Date;
use crate::state::Presence;

/// The rule that gave a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum RuleId {
    /// A host, carrier or break after a disease on record.
    HostAfterDisease,
    /// A disease that does not stay with the bed.
    NotOfTheBed,
    /// A disease whose cause is not known.
    UnknownDisease,
    /// The same family or crop too soon.
    ReturnTime,
    /// A predecessor that helps or harms.
    Predecessor,
    /// A residue that is not ready.
    ResidueNotReady,
    /// Raw manure too close to the harvest.
    ManureToHarvest,
    /// A graft where no disease is on record.
    Grafted,
    /// History that is not on record.
    HistoryUnknown,
    /// What the bed feeds the crop.
    NutrientSupply,
    /// Whether the season lets it ripen.
    Season,
}

impl RuleId {
    /// The rule's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::HostAfterDisease => "host_after_disease",
            Self::NotOfTheBed => "not_of_the_bed",
            Self::UnknownDisease => "unknown_disease",
            Self::ReturnTime => "return_time",
            Self::Predecessor => "predecessor",
            Self::ResidueNotReady => "residue_not_ready",
            Self::ManureToHarvest => "manure_to_harvest",
            Self::Grafted => "grafted",
            Self::HistoryUnknown => "history_unknown",
            Self::NutrientSupply => "nutrient_supply",
            Self::Season => "season",
        }
    }
}

/// One reason.
#[derive(Clone, Debug)]
pub struct Reason {
    /// The rule.
    pub rule: RuleId,
    /// What is claimed.
    pub claim: Claim,
    /// What it does to the verdict.
    pub effect: Effect,
    /// Factor on the expected yield.
    pub yield_fraction: Estimate,
    /// How sure it is.
    pub certainty: Confidence,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// What a crop left that is waited for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Left {
    /// Residue that rots.
    Residue,
    /// The wireworms of a sod.
    SodPests,
    /// Something that lasts in the soil for years.
    Soil,
}

/// What a reason does to the verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Bars the crop until a day, or for good.
    Wait {
        /// First day on which it no longer bars; `None` if waiting does not clear it.
        until: Option<Date>,
    },
    /// Allows it with a risk, until a day or for as long as can be seen.
    Care {
        /// Day on which the care ends, if it does.
        until: Option<Date>,
    },
    /// Speaks for going ahead: looked at and found free.
    Allows,
    /// Makes the bed better for the crop.
    Helps,
    /// Bears on the yield to expect, not on whether the crop may stand there.
    YieldOnly,
    /// Does not bear on the bed.
    NoBearing,
    /// Cannot be told.
    Unknown,
}

impl Effect {
    /// The verdict that the reason alone would give.
    #[must_use]
    pub fn verdict(self) -> Verdict {
        match self {
            Self::Wait { .. } => Verdict::Wait,
            Self::Care { .. } => Verdict::Care,
            Self::Allows | Self::Helps | Self::YieldOnly | Self::NoBearing | Self::Unknown => {
                Verdict::Plant
            }
        }
    }

    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Wait { .. } => "wait",
            Self::Care { .. } => "care",
            Self::Allows => "allows",
            Self::Helps => "helps",
            Self::YieldOnly => "yield_only",
            Self::NoBearing => "no_bearing",
            Self::Unknown => "unknown",
        }
    }

    /// The day on which the effect ends, if it has one.
    #[must_use]
    pub fn until(self) -> Option<Date> {
        match self {
            Self::Wait { until } | Self::Care { until } => until,
            Self::Allows | Self::Helps | Self::YieldOnly | Self::NoBearing | Self::Unknown => None,
        }
    }
}

/// What a reason claims.
#[derive(Clone, Debug, PartialEq)]
pub enum Claim {
    /// A disease on record and what the crop is to it.
    Disease {
        /// The pathogen.
        pathogen: PathogenId,
        /// Why it is held to be here.
        presence: Presence,
        /// The crop.
        crop: CropId,
        /// What the crop is to it.
        status: HostStatus,
        /// Years without a host by the proposal's day.
        years: f64,
        /// What resistance or rootstock is claimed against it.
        resisted: bool,
    },
    /// A disease on record that the bed's history does not bear on.
    NotOfTheBed {
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A disease on record whose cause is not known.
    UnknownDisease {
        /// When it was last noted.
        seen: Date,
        /// The crop proposed.
        crop: CropId,
        /// Chance, all causes together, that it is one that bars the crop.
        barred: f64,
    },
    /// The same crop or family stood here.
    Return {
        /// The crop that stood.
        previous: CropId,
        /// Free years by the proposal's day.
        years: f64,
        /// Whether it is the very same crop.
        same_crop: bool,
        /// Whether a disease that takes the crop was named on it.
        named: bool,
    },
    /// The predecessor helps or harms.
    Predecessor {
        /// What stood.
        previous: CropId,
        /// Whether it helps.
        helps: bool,
        /// Why, in the trade's word.
        reason: Box<str>,
    },
    /// A wait after a crop that is not served, for what the crop left.
    ResidueNotReady {
        /// What stood.
        previous: CropId,
        /// Days since it was cleared.
        days: i64,
        /// What is waited for.
        left: Left,
    },
    /// Raw manure too close to the harvest.
    ManureToHarvest {
        /// When it was put on.
        spread: Date,
        /// Days from then to the first harvest.
        days: i64,
    },
    /// The crop is grafted and no disease is on record.
    Grafted {
        /// The rootstock, in the grower's words.
        rootstock: Box<str>,
    },
    /// Nothing is on record before a day.
    HistoryUnknown {
        /// The first day on record.
        from: Option<Date>,
    },
    /// Nitrogen will run short if nothing is put on.
    NitrogenShort {
        /// Nitrogen the crop must find in the soil, g/m2.
        need: Estimate,
        /// What it can reach in time, g/m2.
        within_reach: Estimate,
        /// The difference, g/m2.
        shortfall: Estimate,
    },
    /// Whether a start on the day ripens at the site.
    Season {
        /// The crop.
        crop: CropId,
        /// What is said.
        season: SeasonClaim,
    },
    /// The bed holds the nitrogen that the crop needs.
    NitrogenEnough {
        /// Nitrogen the crop must find in the soil, g/m2.
        need: Estimate,
        /// What it can reach in time, g/m2.
        within_reach: Estimate,
    },
}

/// What the season does to a start.
#[derive(Clone, Debug, PartialEq)]
pub enum SeasonClaim {
    /// Ripens.
    Ripens {
        /// First harvest.
        first: Reached,
        /// Last harvest, if it is known how long it is picked.
        last: Option<Date>,
    },
    /// No harvest is asked for in the first year, and nothing keeps it from taking hold.
    Establishes,
    /// No day of the year suits it here; started now it may give a poor crop.
    Marginal {
        /// What speaks against it.
        by: HazardKind,
        /// First harvest.
        first: Reached,
    },
    /// Comes to no harvest.
    Shut {
        /// What forbids it.
        by: HazardKind,
        /// First later day on which a start may be made; `None` if the year has none.
        opens: Option<Date>,
        /// Whether even that is a day for a poor crop only.
        is_marginal: bool,
    },
    /// Would ripen if started now, but not on the day when the bed is free.
    OverByThen {
        /// When the bed is free.
        free: Date,
        /// First day from then on which nothing forbids it; `None` if the year has none.
        opens: Option<Date>,
    },
    /// The site has no climate on record.
    NoClimate,
    /// The tables have no figures of the crop's growth.
    NoFigures,
}
