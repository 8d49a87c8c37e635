//! The optimiser's hard core: places, half-months, choices, wishes. It knows nothing of gardens.
//!
//! Each place is a longest path through its own slots: labels carry the slot, what stood last and
//! when each family was last cleared (`path`). Wishes tie the places together; prices on them take
//! the tie away and leave a bound that no plan can beat (`bound`; column generation as in Alfandari,
//! Plateau & Schepler 2015 and Santos and others 2010). It is tightened by what whole plantings can
//! bring to a wish (`faces`). Plans come from deciding the mixture of sequences with that bound
//! place by place (`dive`), from best answers of one place to all others, and from tearing a few
//! places up and filling them again (`search`); where little could still be better, all of it is
//! listed and looked through (`listed`, `prove`). Everything stops by count, never by the clock, so
//! that the same instance and seed give the same plan.

mod bound;
mod dive;
mod export;
mod faces;
mod instance;
mod listed;
pub mod lp;
mod master;
pub mod path;
mod prove;
mod random;
mod search;
mod served;
mod simplex;
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
