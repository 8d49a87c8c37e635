//! Season: whether a crop started on a day at a site comes up, ripens and is spared, and when.
//!
//! The engine stands with the judging and not with the advice, because the expected yield needs it
//! as much as the ranking does. `needs` reads the tables for one crop and kind; `days` lays out the
//! site's days; `course` follows the crop through them; `hazards` says what can go wrong, with
//! figures; `windows` asks all that for every day of a year. Windows are derived, never looked up.

mod course;
mod days;
mod hazards;
mod kind;
mod needs;
mod windows;

pub use course::Course;
pub use days::SiteDays;
pub use hazards::{Hazard, HazardEffect, HazardKind};
pub use kind::Kind;
pub use needs::{CropNeeds, HeatNeed, Sourced};
pub use windows::{Shut, Window, Windows, normal_year, windows};

use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::Date;
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
    /// How well the temperatures suit it while what is picked is formed, 0 to 1;
    /// `None` without figures of its growth.
    pub fit: Option<f64>,
    /// What can go wrong, what forbids it first.
    pub hazards: Vec<Hazard<'k>>,
}

impl SeasonAnswer<'_> {
    /// Whether nothing forbids it.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.hazards.iter().all(|hazard| hazard.effect != HazardEffect::Forbids)
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
    let at = days.index(on);
    let steps = year.course(at);
    let mut hazards = year.hazards(at, &steps);
    hazards.sort_by_key(|hazard| hazard.effect);
    let course = steps.dated(days);
    let fit = year.fit(&steps);
    SeasonAnswer { needs, on, method, course, fit, hazards }
}

/// The days of a site for questions about one day: from a little before it, long enough for a crop
/// that overwinters.
#[must_use]
pub fn days_from(climate: &Climate<'_>, policy: &Policy, on: Date) -> SiteDays {
    SiteDays::new(climate, policy, on, days::HORIZON)
}
