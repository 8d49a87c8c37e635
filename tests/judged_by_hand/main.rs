//! Small records reckoned by hand from the printed figures and the policy's: each number of a fold is
//! held, not only that there is one.

mod beds;
mod before;
mod books;
mod doses;
mod manure;
mod needs;
mod ripening;
mod runs;
mod steady_seasons;
#[path = "../support/mod.rs"]
mod support;
mod water;

use breakcrop::estimate::Estimate;
use support::tables::{day, knowledge};

fn near(found: f64, by_hand: f64, what: &str) {
    assert!((found - by_hand).abs() < 1e-9, "{what}: {found}, by hand {by_hand}");
}

fn like(found: Estimate, by_hand: Estimate, what: &str) {
    near(found.low, by_hand.low, &format!("{what}, low"));
    near(found.likely, by_hand.likely, &format!("{what}, likely"));
    near(found.high, by_hand.high, &format!("{what}, high"));
}
