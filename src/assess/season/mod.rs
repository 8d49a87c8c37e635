//! Season: whether a crop started on a day at a site comes up, ripens and is spared, and when.
//!
//! The engine stands with the judging and not with the advice, because the expected yield needs it
//! as much as the ranking does. `needs` reads the tables for one crop and kind; `days` lays out the
//! site's days; `course` follows the crop through them; `hazards` says what can go wrong, with
//! figures (`limits` over the whole course, `stages` in single ones); `windows` asks all that of
//! every day of a year. Windows are derived, never looked up. `yields` weighs what the season leaves
//! of the yield.

mod course;
mod hazards;
mod kind;
mod limits;
mod needs;
mod stages;
mod windows;
mod yields;

pub use crate::climate::days::SiteDays;
pub use course::Course;
pub use hazards::{Hazard, HazardEffect, HazardKind};
pub use kind::Kind;
pub use needs::{CropNeeds, HeatNeed, Sourced};
pub(crate) use windows::Opening;
pub use windows::{Shut, Window, Windows, normal_year, windows};
pub use yields::SeasonYield;

use crate::climate::Climate;
use crate::climate::days::{HORIZON, normal_place};
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::{Date, add_days};
use course::CropYear;

/// A crop's season at a site.
#[derive(Clone, Debug)]
pub struct SeasonAnswer<'k> {
    /// What the crop needs, with sources.
    pub needs: CropNeeds<'k>,
    /// Day of sowing or setting out.
    pub on: Date,
    /// Sown or set out.
    pub method: Method,
    /// How it goes.
    pub course: Course,
    /// How much of what is sown grows; `None` for what is set out and where no trial counted.
    pub seedlings: Option<Seedlings>,
    /// How well the temperatures suit it while what is picked is formed, 0 to 1;
    /// `None` without figures of its growth.
    pub fit: Option<f64>,
    /// What can go wrong, what forbids it first.
    pub hazards: Vec<Hazard<'k>>,
    /// What the season leaves of the yield.
    pub leaves: SeasonYield,
}

/// How much of good seed grows in the soil of the day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seedlings {
    /// Mean temperature of the bed on the day of sowing.
    pub soil_c: f64,
    /// Share that grows into normal seedlings, 0 to 1.
    pub share: f64,
}

impl SeasonAnswer<'_> {
    /// Whether nothing forbids it.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.hazards.iter().all(|hazard| hazard.effect != HazardEffect::Forbids)
    }
}

impl SeasonAnswer<'_> {
    /// Place among the days by which, from a day on, cold has killed it in every other year; `None`
    /// if not within the days laid out, or no temperature is known to kill it.
    #[must_use]
    pub fn killed_by(&self, policy: &Policy, days: &SiteDays, from: Date) -> Option<usize> {
        let living = days.living(course::kill_at_screen(policy, &self.needs)?);
        let at = days.index(from);
        let floor = living.get(at)? + 0.5_f64.ln();
        let step = living.partition_point(|sum| *sum > floor).max(at + 1);
        (step < living.len()).then(|| step - 1)
    }
}

/// How a crop started on a day would fare. `days` must begin no later than the day; what lies
/// beyond their end is not seen.
#[must_use]
pub fn season<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    days: &SiteDays,
    crop: CropId,
    kind: Kind,
    method: Option<Method>,
    on: Date,
) -> SeasonAnswer<'k> {
    let needs = CropNeeds::of(knowledge, policy, crop, kind, days.latitude);
    let method = needs.method(method);
    let year = CropYear::new(knowledge, policy, days, &needs, method);
    asked(&year, on)
}

/// The answer of a crop's year about one day; its needs are a copy.
fn asked<'k>(year: &CropYear<'_, 'k>, on: Date) -> SeasonAnswer<'k> {
    let at = year.days.index(on);
    let steps = year.course(at);
    let mut hazards = year.hazards(at, &steps);
    hazards.sort_by_key(|hazard| hazard.effect);
    SeasonAnswer {
        needs: year.needs.clone(),
        on,
        method: year.method,
        course: steps.dated(year.days),
        seedlings: year.seedlings(at),
        fit: year.fit(&steps),
        leaves: yields::season_yield(year, &steps, &hazards),
        hazards,
    }
}

/// The season of a start, and when it may be made if not then.
#[derive(Clone, Debug)]
pub(crate) struct Outlook<'k> {
    /// The season of a start on the day itself.
    pub(crate) answer: SeasonAnswer<'k>,
    /// The later day that was asked too.
    pub(crate) asked_again: Option<Date>,
    /// First day, not before the one asked last, on which a start may be made; `None` if the year
    /// has none.
    pub(crate) opens: Option<Opening<Date>>,
}

/// A start that is asked about.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Start {
    pub(crate) crop: CropId,
    pub(crate) kind: Kind,
    pub(crate) method: Option<Method>,
    pub(crate) on: Date,
}

/// How a start would fare, and the first day from then on, and not before another, on which
/// nothing forbids it. `days` must be the site's normal days about the day.
pub(crate) fn outlook<'k>(
    knowledge: &'k Knowledge,
    policy: &Policy,
    days: &SiteDays,
    start: Start,
    not_before: Option<Date>,
) -> Outlook<'k> {
    let needs = CropNeeds::of(knowledge, policy, start.crop, start.kind, days.latitude);
    let method = needs.method(start.method);
    let year = CropYear::new(knowledge, policy, days, &needs, method);
    let on = start.on;
    let answer = asked(&year, on);
    let asked_again = not_before.filter(|later| *later > on);
    let first = asked_again.unwrap_or(on);
    let opens = if asked_again.is_none() && answer.fits() {
        Some(Opening { first: on, is_marginal: false })
    } else {
        windows::opens_from(&year, normal_place(first)).map(|opening| Opening {
            first: add_days(first, opening.first as f64),
            is_marginal: opening.is_marginal,
        })
    };
    Outlook { answer, asked_again, opens }
}

/// The days of a site for questions about one day: from a little before it, long enough for a crop
/// that overwinters.
#[must_use]
pub fn days_from(climate: &Climate<'_>, policy: &Policy, on: Date) -> SiteDays {
    SiteDays::new(climate, policy, on, HORIZON)
}
