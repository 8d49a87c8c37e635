//! The state of a bed at a date: what stands, what stood, and what the soil still holds.
//!
//! A pure fold over one garden's records; nothing after the date is looked at, so that the past
//! can be replayed. A [`Chronicle`] gives the state of one place on many days for little more than
//! the price of one.

mod bed_state;
mod causes;
mod chronicle;
mod falling;
mod half_life;
mod inoculum;
pub mod nutrients;
mod occupancy;
pub mod stand;
mod surveys;
mod treated;
mod warmth;

pub use bed_state::BedState;
pub use causes::{Candidate, Check, Episode, checks, diagnose};
pub use chronicle::Chronicle;
pub use falling::Below;
pub use half_life::{HalfLife, half_life};
pub use inoculum::{DoseEvent, DoseStep, Inoculum, Presence, certainty_weight, extent_share};
pub use surveys::{Survey, survey_odds, surveys};
pub use treated::{Lowering, NotLowered, SOIL_TREATMENTS, film_heats, lowering, suppression};
pub use warmth::warmth;

use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;

/// The nutrient books of a place up to a day.
#[must_use]
pub fn ledger(
    garden: &Garden,
    knowledge: &Knowledge,
    policy: &Policy,
    place: &Place,
    date: Date,
) -> nutrients::Ledger {
    Chronicle::of(garden, knowledge, policy, place).ledger(date)
}
