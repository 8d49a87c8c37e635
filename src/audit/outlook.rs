//! What the tables and the site say of a crop, asked once: whether a start on a day of a normal year
//! leads to a harvest, and whether its residue ties nitrogen up.

use std::collections::BTreeMap;
use std::sync::{Mutex, OnceLock, PoisonError};

use chrono::Datelike;

use crate::assess::season::{HazardEffect, HazardKind, Kind, SiteDays, normal_year, season};
use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Planting};
use crate::season::Date;
use crate::state::BedState;
use crate::state::nutrients::residue_ties_up;

/// Kind within a crop, way of starting, month and day.
type Start = (u8, u8, u32, u32);

/// The worst that the season does, by start.
type Worst = BTreeMap<Start, Option<(HazardEffect, HazardKind)>>;

/// The site's normal year and the tables, with the answers given so far: to all threads, since beds
/// ask the same again and again.
pub(super) struct Outlook<'a> {
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    days: Option<SiteDays>,
    first: Date,
    /// By crop.
    answers: Vec<Mutex<Worst>>,
    /// By crop.
    ties_up: Vec<OnceLock<bool>>,
}

impl<'a> Outlook<'a> {
    pub(super) fn new(
        knowledge: &'a Knowledge,
        policy: &'a Policy,
        garden: &Garden,
        today: Date,
    ) -> Self {
        // A year that is not a leap year, so that every year's days are found in it.
        let first = Date::from_ymd_opt(2025, 1, 1).unwrap_or(today);
        let days = Climate::of(garden).map(|climate| normal_year(&climate, policy, first));
        let count = knowledge.crops.count();
        let answers = std::iter::repeat_with(Mutex::default).take(count).collect();
        Self { knowledge, policy, days, first, answers, ties_up: vec![OnceLock::new(); count] }
    }

    /// Whether anything that stood or was put on at a place may tie up as much nitrogen as a rule
    /// speaks of.
    pub(super) fn may_tie_up(&self, state: &BedState<'_>) -> bool {
        let ties_up = |planting: &&Planting| {
            *self.ties_up[planting.crop.index()]
                .get_or_init(|| residue_ties_up(self.knowledge, self.policy, planting.crop))
        };
        self.policy.nitrogen_tied_up <= 0.0
            || !state.amendments.is_empty()
            || state.plantings.iter().any(ties_up)
    }

    /// The worst that the season does to a planting, if it forbids or harms it and the climate is
    /// known.
    pub(super) fn worst(&self, planting: &Planting) -> Option<(HazardEffect, HazardKind)> {
        let days = self.days.as_ref()?;
        let crop = &self.knowledge.crops[planting.crop];
        let kind = Kind::of(&crop.key, &planting.variety);
        let day = planting.stood.start;
        let method = planting.method.map_or(u8::MAX, |method| method as u8);
        let start = (kind as u8, method, day.month(), day.day().min(28));
        // Answers go in whole: a thread that panicked left none behind.
        let answers =
            || self.answers[planting.crop.index()].lock().unwrap_or_else(PoisonError::into_inner);
        let given = answers().get(&start).copied();
        // Two threads may work out the same; neither waits for the other.
        given.unwrap_or_else(|| {
            let on = Date::from_ymd_opt(2025, start.2, start.3).unwrap_or(self.first);
            let (knowledge, policy, crop) = (self.knowledge, self.policy, planting.crop);
            let worst = season(knowledge, policy, days, crop, kind, planting.method, on)
                .hazards
                .into_iter()
                .filter(|hazard| hazard.effect != HazardEffect::Tells)
                .find(|hazard| !is_within_error(policy, &hazard.kind))
                .map(|hazard| (hazard.effect, hazard.kind));
            answers().insert(start, worst);
            worst
        })
    }
}

/// Whether a limit of the soil is missed by less than a day may be off its normal.
fn is_within_error(policy: &Policy, kind: &HazardKind) -> bool {
    match *kind {
        HazardKind::SoilTooCold { soil_c, least_c } => least_c - soil_c < policy.soil_day_off_c,
        HazardKind::SoilTooHot { soil_c, most_c } => soil_c - most_c < policy.soil_day_off_c,
        _ => false,
    }
}
