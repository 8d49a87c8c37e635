//! Advice made of judgments: what can follow, what covers a gap, what can stand between.

mod cover;
mod follow;
mod intersow;
mod season_fit;

pub use cover::{CoverOption, Gap, Winter, cover};
pub use follow::{FollowOn, Follows, follow, is_untested};
pub use intersow::{Intersow, LegumeOption, intersow};
pub use season_fit::SeasonFit;
