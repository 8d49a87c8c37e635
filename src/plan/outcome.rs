//! A plan as it is handed on: plantings, wishes, places, and the proof.

use super::half_months::HalfMonths;
use super::solve::Effort;
use crate::advise::cover::CoverCandidate;
use crate::assess::{Assessment, Verdict};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, LabourTask, PathogenId};
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
    /// First and last day of what is still to be picked, of each season; none for what bears year
    /// after year.
    pub harvests: Vec<(Date, Date)>,
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
    NoWindow {
        /// Months of the year, 1 to 12, in which one start or another is picked here; none if the
        /// season lets it be started at no time.
        ready: Vec<u32>,
    },
    /// It would have had to be started before the plan begins.
    TooLate {
        /// The last start that would have been in time.
        last: Option<Date>,
    },
    /// Every place that is free in time must wait.
    EveryPlaceWaits {
        /// The first day on which one of them need not wait; `None` if waiting clears none.
        until: Option<Date>,
        /// Each of them.
        places: Vec<Waiting>,
    },
    /// No place is free in time.
    NoPlaceFree {
        /// The last start within the plan that would be in time.
        last: Date,
        /// The place that is free first, with the day and what stands there until then.
        first: Option<(Place, Date, Option<CropId>)>,
    },
    /// There were places, but something else is worth more there, or what they bear is too little.
    NotEnoughArea {
        /// What it would still need, full crops.
        short: SquareMetres,
        /// What the whole wish needs, full crops.
        needs: SquareMetres,
        /// Places that could bear it in time, with their areas.
        could: Vec<(Place, SquareMetres)>,
        /// What the plan has there instead.
        instead: Vec<CropId>,
    },
}

/// A place in which a wished crop waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// The place.
    pub place: Place,
    /// Until when; `None` if waiting does not clear it.
    pub until: Option<Date>,
    /// The disease, or `None` for the return of a relative.
    pub disease: Option<PathogenId>,
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

/// Work of one task on one planting within a half-month.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkPart {
    /// What is done.
    pub task: LabourTask,
    /// Where.
    pub place: Place,
    /// On what.
    pub crop: CropId,
    /// Hours within the half-month.
    pub hours: Estimate,
}

/// The work of a half-month.
#[derive(Clone, Debug, PartialEq)]
pub struct HalfMonthWork {
    /// Its first day.
    pub from: Date,
    /// The day after its last.
    pub to: Date,
    /// Hours in all.
    pub hours: Estimate,
    /// What they are made of, most work first.
    pub parts: Vec<WorkPart>,
}

/// A legume between what stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Company {
    /// Bed and section.
    pub place: Place,
    /// What stands there.
    pub with: CropId,
    /// The legume.
    pub crop: CropId,
    /// Day of sowing.
    pub sown: Date,
    /// Day it is cut at the ground.
    pub cut: Date,
    /// Ground it takes.
    pub area: SquareMetres,
    /// Seed, g, where the stems' places are known.
    pub grams: Option<Estimate>,
    /// Nitrogen to the crop, g; below nil it ties up.
    pub nitrogen_g: Option<Estimate>,
    /// Change of the crop's yield, as a fraction.
    pub yield_change: Estimate,
    /// Diseases that both carry and that are not on record here.
    pub shared_elsewhere: usize,
    /// Whether the grower had decided it.
    pub kept: bool,
}

/// Why what stands stays alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhyAlone {
    /// No legume may stand there: sources advise against it, the season is over, or it would feed a
    /// disease of the bed.
    NoneMayStand,
    /// None has the days to grow before it must be cut.
    NoTime,
    /// Nothing tells where the stems stand: plants and spacing are not on record.
    SpacingUnknown,
    /// The stems leave too little ground free.
    NoRoom,
    /// All would cost the crop too much.
    CostsYield,
    /// All carry a disease on record here that the crop carries too.
    Shares(Vec<PathogenId>),
}

/// What stands alone, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoCompany {
    /// Bed and section.
    pub place: Place,
    /// What stands there.
    pub with: CropId,
    /// Why no legume is sown between.
    pub why: WhyAlone,
}

/// What a cover of the plan is for and what it does in its gap.
#[derive(Clone, Debug)]
pub struct PlannedCover {
    /// Bed and section.
    pub place: Place,
    /// The cover.
    pub crop: CropId,
    /// Day of sowing.
    pub sown: Date,
    /// What it does in its gap: seed, growth, nitrogen, the bed's diseases; `None` if the gap leaves
    /// it no time to close.
    pub candidate: Option<CoverCandidate>,
    /// The crop after it, with its day.
    pub next: Option<(CropId, Date)>,
    /// Its place among the covers for this gap, from 1; `None` if it is none of them.
    pub rank: Option<usize>,
    /// The cover that serves this gap best, if it is another that does clearly more; with the share
    /// of that which this one does.
    pub best: Option<(CropId, f64)>,
}

impl PlannedCover {
    /// Day by which it is cut: as its stage and the wait of the next crop ask, and no later than its
    /// place is cleared; `None` where its gap leaves it no time to close.
    #[must_use]
    pub fn cut(&self, plan: &GardenPlan) -> Option<Date> {
        let killed = self.candidate.as_ref()?.killed;
        let is_it = |planting: &&PlannedPlanting| {
            planting.place == self.place && planting.planted == self.sown
        };
        let cleared = plan.plantings.iter().find(is_it).map(|planting| planting.cleared);
        // What the end of the plan cuts off stands on.
        let within = cleared.filter(|cleared| *cleared < plan.half_months.end());
        Some(within.map_or(killed, |cleared| cleared.min(killed)))
    }
}

/// What a goal counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoalKind {
    /// Ground under any crop.
    Covered,
    /// Ground under legumes.
    Legumes,
}

/// A goal for the ground of the whole garden over the time of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goal {
    /// What it counts.
    pub kind: GoalKind,
    /// Share of all ground and time, 0 to 1.
    pub share: f64,
}

/// A wish whose time the plan does not reach to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WishBeyond {
    /// The crop.
    pub crop: CropId,
    /// First day of its time.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
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
    /// Legumes between what stands at the beginning.
    pub company: Vec<Company>,
    /// What stands alone, and why.
    pub alone: Vec<NoCompany>,
    /// What the covers do, in the order of the plantings.
    pub covers: Vec<PlannedCover>,
    /// Hours of work, half-month by half-month.
    pub work: Vec<HalfMonthWork>,
    /// Hours a week that were not to be passed, if a limit was asked for.
    pub hours_a_week: Option<f64>,
    /// Wishes whose time ends after the plan.
    pub beyond: Vec<WishBeyond>,
    /// Goals asked for.
    pub goals: Vec<Goal>,
    /// Share of the planted area-time under legumes.
    pub legume_share: f64,
    /// Share of all area-time under legumes, what stands included.
    pub legumes_of_all: f64,
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
