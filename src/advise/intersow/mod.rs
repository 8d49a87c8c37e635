//! A legume, or another cover, between standing plants: where the ground is free and the seed goes,
//! when it may come without costing the crop, when it is cut, what nitrogen it leaves, which
//! diseases the two share in this bed, and whether the crop lives through the winter at all.
//!
//! No trial of beans between overwintering peppers exists: where only parts are known the answer is
//! built from them, and says so.

mod calendar;
mod candidates;
mod company;
mod geometry;
mod option;
mod standing;

pub use calendar::{Calendar, Regrowth};
pub use candidates::{CompanyCandidate, candidates};
pub use company::{
    Canopy, Restraint, Rival, Timing, WeedFree, canopy, crop_days, rival, timing, weed_free,
    yield_change,
};
pub use geometry::{Areas, Ground, Layout, SeedLine, Sowing, Spot};
pub use option::{Backing, CompanyOption};
pub use standing::{Crop, Health, Survival};

use chrono::Datelike;

use option::{option, order};
use standing::{done, health, standing, survival};

use super::cover::seed_rate;
use crate::assess::{Evidence, MissingNote};
use crate::climate::Climate;
use crate::climate::frost::Frost;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::{Date, add_days};
use crate::state::BedState;
use crate::state::stand::Days;

/// What is asked; what is left out is taken from the records.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// What stands.
    pub crop: Option<CropId>,
    /// Day it was planted.
    pub planted: Option<Date>,
    /// Number of plants.
    pub plants: Option<usize>,
    /// Between rows, cm.
    pub row_spacing_cm: Option<f64>,
    /// Between plants in the row, cm.
    pub plant_spacing_cm: Option<f64>,
    /// Only this cover; any cover, not only a legume.
    pub cover: Option<CropId>,
}

/// The answer.
#[derive(Debug)]
pub struct Intersow<'g> {
    /// The state of the place.
    pub state: BedState<'g>,
    /// Day asked for.
    pub on: Date,
    /// What stands.
    pub standing: Crop,
    /// Rows by which sources advise against any company; the answer is no where there are any.
    pub refused: Vec<Evidence>,
    /// What was last seen of the crop since it was planted, by day.
    pub health: Option<Health>,
    /// The crop's critical weed-free weeks.
    pub weed_free: WeedFree,
    /// Whether it lives through the winter.
    pub survival: Survival,
    /// When it grows again, if it stays.
    pub regrowth: Regrowth,
    /// Months between sowing and cutting in which rain does not make up for what a bed loses;
    /// `None` without rain on record.
    pub dry_months: Option<Vec<u32>>,
    /// Whether the site's light and warmth are known, without which no day of cutting is.
    pub climate_is_known: bool,
    /// Covers, best first.
    pub covers: Vec<CompanyOption>,
}

/// Covers for the ground between what stands in a place; `None` if nothing is known to stand there.
#[must_use]
pub fn intersow<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    place: &Place,
    on: Date,
    asked: Asked,
) -> Option<Intersow<'g>> {
    let state = BedState::at(garden, knowledge, policy, place, on);
    let standing = standing(knowledge, garden, &state, asked)?;
    let climate = Climate::of(garden);
    let weed_free = weed_free(knowledge, policy, standing.crop);
    let health = health(&state, &standing);
    let done = done(knowledge, policy, garden, place, &standing, on);
    let survival = survival(knowledge, policy, climate.as_ref(), standing.crop, done, on);
    let regrowth =
        calendar::regrowth(knowledge, policy, climate.as_ref(), &standing, &survival, on);
    let refused: Vec<Evidence> = company::advised_against(knowledge, standing.crop, None)
        .map(|row| company::fact(knowledge, row))
        .collect();
    let days = climate
        .as_ref()
        .map(|climate| Days::new(climate, policy, on, policy.intersow_window_days + 400))
        .filter(Days::light_is_known);
    let frost = climate.as_ref().map(|climate| Frost::at(climate, policy));
    let setting = Setting {
        knowledge,
        policy,
        state: &state,
        climate: climate.as_ref(),
        frost: frost.as_ref(),
        days: days.as_ref(),
        standing: &standing,
        weed_free: &weed_free,
        regrowth,
        on,
    };
    let mut covers: Vec<CompanyOption> = knowledge
        .covers()
        .into_iter()
        .filter(|crop| seed_rate(knowledge, *crop).is_some())
        .filter(|crop| match asked.cover {
            Some(cover) => *crop == cover,
            None => knowledge.crops[*crop].is_legume(),
        })
        .map(|crop| option(&setting, crop))
        .collect();
    covers.sort_by(|a, b| order(knowledge, a, b));
    let until = covers.first().and_then(|best| best.calendar.cut);
    let dry_months = dry_months(
        policy,
        &state,
        climate.as_ref(),
        on,
        until.unwrap_or_else(|| add_days(on, 120.0)),
    );
    Some(Intersow {
        state,
        on,
        standing,
        refused,
        health,
        weed_free,
        survival,
        regrowth,
        dry_months,
        climate_is_known: days.is_some(),
        covers,
    })
}

struct Setting<'a, 'g> {
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    state: &'a BedState<'g>,
    climate: Option<&'a Climate<'g>>,
    frost: Option<&'a Frost>,
    days: Option<&'a Days>,
    standing: &'a Crop,
    weed_free: &'a WeedFree,
    regrowth: Regrowth,
    on: Date,
}

/// Months of growth between two days in which a bed loses more than rain brings.
fn dry_months(
    policy: &Policy,
    state: &BedState<'_>,
    climate: Option<&Climate<'_>>,
    from: Date,
    to: Date,
) -> Option<Vec<u32>> {
    let mut dry = Vec::new();
    let mut day = from;
    while day < to {
        let grows = climate.is_none_or(|climate| climate.mean_c(day) >= policy.drinks_from_c);
        let surplus = state.nutrients().surplus_mm(day.month())?;
        if grows && surplus <= 0.0 && !dry.contains(&day.month()) {
            dry.push(day.month());
        }
        day = add_days(day, 15.0);
    }
    Some(dry)
}

impl Intersow<'_> {
    /// Whether sources advise against any company for what stands.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        !self.refused.is_empty()
    }

    /// What is missing from the records for a layout.
    #[must_use]
    pub fn missing(&self) -> Vec<Evidence> {
        let mut missing = Vec::new();
        if self.standing.ground.is_none() {
            missing.push(Evidence::Missing(MissingNote::PlantsAndSpacing));
        }
        if self.dry_months.is_none() {
            missing.push(Evidence::Missing(MissingNote::Rain));
        }
        if !self.climate_is_known {
            missing.push(Evidence::Missing(MissingNote::SiteAndClimate));
        }
        missing
    }
}
