//! Why no plan could be made.

use crate::records::Place;
use thiserror::Error;

/// Why no plan could be made.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[non_exhaustive]
pub enum PlanError {
    /// The climate is not written.
    #[error("a plan needs the site's climate, and climate.csv has not all twelve months")]
    NoClimate,
    /// No bed is described.
    #[error("there is no bed to plan")]
    NoBed,
    /// Nothing is wished for.
    #[error("nothing is wished for, so there is nothing to plan")]
    NoWish,
    /// Two plantings that are to be kept stand in the same place at once.
    #[error("two plantings to be kept stand in {0} at the same time")]
    KeptOverlap(Place),
    /// Nothing stands where something is to stay.
    #[error("nothing stands in {0} that could stay")]
    NothingStands(Place),
    /// A place of a planting to be kept is not one of the garden.
    #[error("there is no place {0} to keep a planting in")]
    NoSuchPlace(Place),
}
