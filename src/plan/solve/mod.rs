//! The optimiser's hard core: places, half-months, choices, wishes. It knows nothing of gardens.
//!
//! Each place is a longest path through its own slots: labels carry the slot, what stood last and
//! when each family was last cleared (`path`). Wishes tie the places together; prices on them take
//! the tie away and leave a bound that no plan can beat (`bound`; Lagrangian relaxation as in
//! Alfandari, Plateau & Schepler 2015 and Santos and others 2010, whose column generation has the
//! same bound). Plans come from best answers of one place to all others, and from tearing a few
//! places up and filling them again (`search`). Everything stops by count, never by the clock, so
//! that the same instance and seed give the same plan.

pub mod bound;
mod export;
mod instance;
pub mod lp;
pub mod path;
mod prove;
mod random;
mod search;
mod solver;
mod threads;
mod value;

pub use export::export_lp;
pub use instance::{
    Choice, Instance, NO_FAMILY, Neighbours, PlaceChoices, Plain, Share, Succession, Wish,
};
pub use random::Random;
pub use solver::{Effort, Progress, Solved, Stage, solve};
pub(in crate::plan) use threads::side_by_side;
pub use value::{Plan, Totals, feasible_path, value_of};
