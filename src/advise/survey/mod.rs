//! Everything the report asks of a garden on a day: every place ranked, every wished crop judged
//! for its own next start, and what a month's round of the beds has to see to.

mod month;
mod wished;

pub use month::Task;
pub use wished::{WishStart, wish_starts};

use super::follow::{Follows, follow};
use crate::assess::season::{SiteDays, days_from};
use crate::assess::{Assessment, Proposal, assess};
use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;

/// One place of the garden.
#[derive(Debug)]
pub struct PlaceSurvey<'g> {
    /// Every crop ranked from today on, with the state of the place.
    pub follows: Follows<'g>,
    /// Every wished crop judged on its own next start; in the order of [`Survey::wishes`].
    pub wished: Vec<Assessment>,
    /// What this month has to see to, most pressing first.
    pub tasks: Vec<Task<'g>>,
}

/// A garden on a day.
#[derive(Debug)]
pub struct Survey<'g> {
    /// The day.
    pub today: Date,
    /// The crops wished for, each with its next start.
    pub wishes: Vec<WishStart>,
    /// The places, bed by bed.
    pub places: Vec<PlaceSurvey<'g>>,
}

/// What one place is asked with.
pub(super) struct Asked<'a, 'g> {
    pub(super) knowledge: &'g Knowledge,
    pub(super) policy: &'g Policy,
    pub(super) garden: &'g Garden,
    pub(super) climate: Option<&'a Climate<'g>>,
    pub(super) wishes: &'a [WishStart],
    pub(super) today: Date,
}

/// Surveys a garden.
#[must_use]
pub fn survey<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    today: Date,
) -> Survey<'g> {
    let climate = Climate::of(garden);
    let wishes = wish_starts(knowledge, policy, garden, climate.as_ref(), today);
    let asked =
        Asked { knowledge, policy, garden, climate: climate.as_ref(), wishes: &wishes, today };
    let places: Vec<Place> = garden.beds.iter().flat_map(|bed| garden.places(&bed.name)).collect();
    let places = places.iter().map(|place| survey_of(&asked, place)).collect();
    Survey { today, wishes, places }
}

fn survey_of<'g>(asked: &Asked<'_, 'g>, place: &Place) -> PlaceSurvey<'g> {
    let Asked { knowledge, policy, garden, wishes, today, .. } = *asked;
    let follows = follow(knowledge, policy, garden, place, today);
    let wished: Vec<Assessment> = wishes
        .iter()
        .map(|wish| {
            let on = wish.start.unwrap_or(today);
            assess(knowledge, policy, &follows.state, &Proposal::of(wish.crop, on))
        })
        .collect();
    let tasks = month::tasks(asked, &follows, &wished);
    PlaceSurvey { follows, wished, tasks }
}

/// The days of the site from a planting on, for its harvest.
pub(super) fn days_of(asked: &Asked<'_, '_>, planted: Date) -> Option<SiteDays> {
    asked.climate.map(|climate| days_from(climate, asked.policy, planted))
}
