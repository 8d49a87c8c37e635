//! A plan as it is handed on: plantings, wishes, places, and the proof.

use super::half_months::HalfMonths;
use super::solve::Effort;
use crate::assess::{Assessment, Verdict};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId};
use crate::records::{Method, Place};
use crate::season::Date;
use crate::units::{Kilograms, SquareMetres};

/// Where a planting of a plan comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Planned {
    /// The search chose it.
    Chosen,
    /// The grower had decided it.
    Kept,
}

/// One planting of a plan.
#[derive(Clone, Debug)]
pub struct PlannedPlanting {
    /// Bed and section.
    pub place: Place,
    /// Crop.
    pub crop: CropId,
    /// Day of sowing or setting out.
    pub planted: Date,
    /// Day by which the place is free again.
    pub cleared: Date,
    /// Sown or set out.
    pub method: Method,
    /// First and last day of the harvest; `None` for covers and where it cannot be told.
    pub harvest: Option<(Date, Date)>,
    /// Area.
    pub area: SquareMetres,
    /// Harvest to expect, fed as `feed` says; `None` for covers and without a yield figure.
    pub mass: Option<Estimate>,
    /// Nitrogen to put on, g/m2, where the bed falls short.
    pub feed: Option<Estimate>,
    /// The judgment after all that stands before it in the plan.
    pub assessment: Assessment,
    /// Yield to expect if fed, a fraction of the same crop on a clean, rotated bed.
    pub fed_yield: Estimate,
    /// Chosen or kept.
    pub planned: Planned,
}

/// What stands when the plan begins.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// Bed and section.
    pub place: Place,
    /// Crop.
    pub crop: CropId,
    /// Since when.
    pub planted: Date,
    /// Day by which it is taken to be cleared; `None` if it stays beyond the plan.
    pub free: Option<Date>,
    /// First and last day of what is still to be picked; `None` for what bears year after year.
    pub harvest: Option<(Date, Date)>,
    /// Area.
    pub area: SquareMetres,
}

/// What a wish is counted in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WishBy {
    /// Mass picked within the time.
    Mass(Kilograms),
    /// Area planted within the time.
    Area(SquareMetres),
}

/// Why a wish is not met.
#[derive(Clone, Debug, PartialEq)]
pub enum Unmet {
    /// No typical yield is known, so the mass cannot be turned into an area.
    NoYield,
    /// Nothing started here at any time of the year is ready then.
    NoWindow,
    /// It would have had to be started before the plan begins.
    TooLate {
        /// The last start that would have been in time.
        last: Option<Date>,
    },
    /// Every place that is free in time must wait.
    EveryPlaceWaits {
        /// The first day on which one of them need not wait; `None` if waiting clears none.
        until: Option<Date>,
        /// How many places.
        places: usize,
        /// The disease that most of them have.
        disease: Option<PathogenId>,
    },
    /// No place is free in time.
    NoPlaceFree,
    /// There were places, but other wishes are worth more there.
    NotEnoughArea {
        /// What it would still need, full crops.
        short: SquareMetres,
    },
}

/// A wish with what came of it.
#[derive(Clone, Debug)]
pub struct PlannedWish {
    /// The wish's place in the garden's records.
    pub wish: usize,
    /// The crop.
    pub crop: CropId,
    /// First day of its time.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// Wished.
    pub by: WishBy,
    /// Of it from what stands already.
    pub standing: f64,
    /// Planned, in the unit of the wish: likely.
    pub planned: f64,
    /// Why it is not met, if it falls short by more than a twentieth.
    pub unmet: Option<Unmet>,
}

impl PlannedWish {
    /// What was wished for, in its unit.
    #[must_use]
    pub fn wanted(&self) -> f64 {
        match self.by {
            WishBy::Mass(mass) => mass.0,
            WishBy::Area(area) => area.0,
        }
    }

    /// Share of the wish that is met, 1 at most.
    #[must_use]
    pub fn met(&self) -> f64 {
        ((self.standing + self.planned) / self.wanted()).clamp(0.0, 1.0)
    }
}

/// What the plan leaves in the soil of a place.
#[derive(Clone, Debug)]
pub struct Left {
    /// Bed and section.
    pub place: Place,
    /// Share of a susceptible crop that each disease seen here would still cost, with the same at
    /// the beginning of the plan.
    pub diseases: Vec<(PathogenId, Estimate, Estimate)>,
    /// N, P and K free for a crop at the end, g/m2; `None` without books.
    pub nutrients: Option<[Estimate; 3]>,
}

/// A plan of the garden.
#[derive(Clone, Debug)]
pub struct GardenPlan {
    /// Its half-months.
    pub half_months: HalfMonths,
    /// The plantings, by place, then by day.
    pub plantings: Vec<PlannedPlanting>,
    /// What stands at the beginning.
    pub standing: Vec<Standing>,
    /// The wishes, in the order of their times.
    pub wishes: Vec<PlannedWish>,
    /// Crops wished away.
    pub unwanted: Vec<CropId>,
    /// What is left in the soil.
    pub left: Vec<Left>,
    /// Places planned, with their areas.
    pub places: Vec<(Place, SquareMetres)>,
    /// Share of the planted area-time under legumes.
    pub legume_share: f64,
    /// Share of the area-time under any crop, what stands included.
    pub covered_share: f64,
    /// Value, m2 of full crops.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// The gap between them, a share of the value.
    pub gap: f64,
    /// The seed.
    pub seed: u64,
    /// The work that was allowed.
    pub effort: Effort,
}

impl GardenPlan {
    /// How many plantings have a verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        let plantings = self.plantings.iter();
        plantings.filter(|planting| planting.assessment.verdict == verdict).count()
    }
}
