//! What a rule found: a value, not an error.

use crate::assess::{Confidence, Evidence};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId, PhosphorusClass};
use crate::records::Place;
use crate::season::Date;
use crate::state::nutrients::Nutrient;

/// How much harm a finding stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth knowing.
    Remark,
    /// Costs yield or soil.
    Warning,
    /// Infests a bed, loses a crop, or touches food safety.
    Severe,
}

impl Severity {
    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Remark => "remark",
            Self::Warning => "warning",
            Self::Severe => "severe",
        }
    }
}

/// One finding.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule.
    pub rule: &'static str,
    /// How much harm.
    pub severity: Severity,
    /// How sure.
    pub confidence: Confidence,
    /// Where; `None` for the garden as a whole.
    pub place: Option<Place>,
    /// When.
    pub date: Date,
    /// What.
    pub claim: FindingClaim,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// What a finding claims.
#[derive(Clone, Debug, PartialEq)]
pub enum FindingClaim {
    /// A host was planted before its wait was over.
    HostAfterConfirmed {
        /// The host.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
        /// Years without a host by then.
        years: f64,
        /// When the wait would have ended.
        until: Option<Date>,
    },
    /// The same family or crop came back too soon.
    FamilyInterval {
        /// The crop.
        crop: CropId,
        /// What stood before.
        previous: CropId,
        /// Free years.
        years: f64,
    },
    /// A volunteer or weed kept a pathogen of the bed alive.
    GreenBridge {
        /// The plant.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// A cover that hosts or carries what the bed has.
    SharedHostCover {
        /// The cover.
        crop: CropId,
        /// The pathogen.
        pathogen: PathogenId,
    },
    /// Planted into residue that was not ready.
    ResidueNotReady {
        /// The crop.
        crop: CropId,
        /// The residue.
        previous: CropId,
        /// Days since it was cleared.
        days: i64,
    },
    /// Harvested too soon after raw manure.
    ManureToHarvest {
        /// The crop.
        crop: CropId,
        /// Days.
        days: i64,
    },
    /// Nothing on the ground for the winter.
    BareWinterSoil {
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
    },
    /// Two whole-bed plantings at once.
    Overlap {
        /// One.
        crop: CropId,
        /// The other.
        other: CropId,
        /// Days both stood.
        days: i64,
    },
    /// A disease of unknown cause that nobody came back to.
    CauseNotFollowedUp {
        /// On which crop.
        crop: Option<CropId>,
    },
    /// Free nitrogen lay in the soil when the winter's rain began.
    NitrogenBeforeWinter {
        /// Free at the start, g/m2.
        free: Estimate,
        /// Washed out over the winter, g/m2.
        leached: Estimate,
    },
    /// More phosphorus is put on than harvests take.
    PhosphorusLoading {
        /// Put on, g/m2.
        added: f64,
        /// Taken by harvests and carried off, g/m2.
        removed: f64,
        /// Over so many years.
        years: f64,
        /// What the last test calls the soil.
        class: Option<PhosphorusClass>,
    },
    /// Rotting residue took nitrogen while the crop was young.
    NitrogenTieUp {
        /// The crop.
        crop: CropId,
        /// How much, g/m2.
        grams: Estimate,
    },
    /// No soil test tells how the bed stands today.
    SoilTestStale {
        /// Day of the last.
        last: Option<Date>,
    },
    /// A soil test found what the books cannot explain.
    SoilTestContradicts {
        /// Which nutrient.
        nutrient: Nutrient,
        /// What the books had, g/m2.
        booked: Estimate,
        /// What the test found, g/m2.
        tested: Estimate,
    },
    /// An exception whose end is past.
    ExceptionExpired {
        /// The rule excepted.
        rule: Box<str>,
    },
    /// An exception that never matched a finding.
    ExceptionUnmatched {
        /// The rule excepted.
        rule: Box<str>,
        /// Whether there is such a rule.
        known: bool,
    },
}
