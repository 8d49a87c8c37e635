//! Advice made of judgments: what can follow, what covers a gap, what can stand between,
//! and the survey of a whole garden on a day.

mod cover;
mod follow;
mod intersow;
mod season_fit;
mod survey;

pub use cover::{CoverOption, Gap, Winter, cover};
pub use follow::{FollowOn, Follows, follow, is_untested};
pub use intersow::{Intersow, LegumeOption, intersow};
pub use season_fit::{SeasonFit, season_fit};
pub use survey::{PlaceSurvey, Survey, Task, WishStart, survey, wish_starts};
