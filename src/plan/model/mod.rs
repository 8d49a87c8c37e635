//! The garden as an instance: places, courses, wishes, choices, and what sequences do to them.

mod choices;
mod courses;
mod places;
mod sequences;
mod wishes;

pub(super) use choices::{Made, Shared, choices, fed_yield};
pub(super) use courses::{CropCourse, courses};
pub(super) use places::{PlanPlace, places};
pub(super) use sequences::{Beds, shortfall};
pub(super) use wishes::{Occurrence, Wished, occurrences};
