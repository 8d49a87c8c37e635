//! The garden as an instance: places, courses, wishes, choices, and what sequences do to them.

mod choices;
mod company;
mod courses;
mod covers;
mod places;
mod sequences;
mod wishes;

pub(super) use choices::{Made, Shared, choices, fed_yield};
pub(super) use company::{kept_company, lay_out_company};
pub(super) use courses::{CropCourse, Start, courses};
pub(super) use covers::lay_out_covers;
pub(super) use places::{PlanPlace, places};
pub(super) use sequences::{Beds, shortfall};
pub(super) use wishes::{Occurrence, Wished, occurrences};
