//! The whole garden, several seasons ahead, with a proof of how good the plan is.
//!
//! `solve` is the optimiser and knows nothing of gardens; `model` makes its choices from the garden:
//! the half-months of the horizon, the free places, the starts that ripen at the site, what the bed
//! model says of each, the wishes. `garden_plan` joins the two and judges the plan found once more,
//! planting by planting, as `assess` would.
//!
//! What is maximised is counted in square metres of a full crop: a square metre that bears nine
//! tenths of its crop, for a wish not yet met, is worth 0.9; beyond the wish a tenth of that
//! (`plan_beyond`). Soil that is covered and legumes add a little (`plan_cover`, `plan_legume`), what
//! needs care and what must be fed counts for less (`plan_care`, `plan_nitrogen`).

mod answer;
mod error;
mod garden_plan;
mod goals;
mod half_months;
mod hours;
mod kept;
mod model;
mod outcome;
mod planned_covers;
pub mod solve;
mod tasks;
mod unmet;
mod walk;
mod work;

pub use error::PlanError;
pub use garden_plan::{Lost, PlanAsk, Stays, garden_plan};
pub use half_months::HalfMonths;
pub use kept::{Kept, PLAN_FILE};
pub use outcome::{
    Company, GardenPlan, Goal, GoalKind, HalfMonthWork, Left, NoCompany, Planned, PlannedCover,
    PlannedPlanting, PlannedWish, Standing, Unmet, Waiting, WhyAlone, WishBeyond, WishBy, WorkPart,
};
pub use tasks::{StartPlants, Task, TaskKind, tasks};
pub use walk::{LookFor, WalkPlace, walk};
