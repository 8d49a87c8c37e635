//! Advice made of judgments: what can follow, what covers a gap, what can stand between,
//! and the survey of a whole garden on a day.

pub mod cover;
mod follow;
mod free;
pub mod intersow;
mod season_fit;
mod survey;

pub use follow::{FollowOn, Follows, follow, follow_when_free, is_untested};
pub use free::{Ends, Free, free};
pub use season_fit::SeasonFit;
pub use survey::{PlaceSurvey, Survey, Task, WishStart, survey, wish_starts};

use crate::records::Garden;
use crate::state::BedState;
use crate::units::SquareMetres;

/// Ground of a place: the area last written of a section, else its part of the bed.
fn ground_of(garden: &Garden, state: &BedState<'_>) -> Option<SquareMetres> {
    let section = state.place.section.as_ref();
    let written = section.and_then(|_| {
        garden
            .plantings
            .iter()
            .rev()
            .filter(|planting| planting.place == state.place)
            .find_map(|planting| planting.area)
    });
    let bed = state.bed.map(crate::records::Bed::area);
    match (written, bed) {
        (Some(written), Some(bed)) if written.0 <= bed.0 => Some(written),
        _ => state.nutrients().ground,
    }
}
