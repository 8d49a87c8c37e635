//! What a stand leaves: nitrogen of sods, what winter rain takes, what comes free.

use chrono::Datelike;

use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::season::{Date, add_days};

use super::super::nutrients::temperature_factor;

/// Nitrogen that roots and crowns of a perennial legume give in the season after it is turned under,
/// g/m2: nothing of annuals and of stands younger than a sod.
#[must_use]
pub fn sod_gives(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    stood_days: f64,
) -> Estimate {
    let is_perennial = knowledge.sequences.is_member(&knowledge.crops, "perennial_legume", crop);
    if !is_perennial || stood_days < policy.sod_days {
        return Estimate::ZERO;
    }
    policy.sod_nitrogen * policy.sod_released
}

/// Share of what a residue frees that rain washes out before the next crop meets it, worst to best:
/// it comes free by warmth, and each spell's surplus of rain takes its share of what lies free.
/// `surplus_mm` is that of a month; frozen ground lets nothing through.
#[must_use]
pub fn washed_out(
    policy: &Policy,
    climate: &Climate<'_>,
    (killed, next): (Date, Date),
    surplus_mm: impl Fn(u32) -> Option<f64>,
) -> Estimate {
    /// By when most of it is free at the reference temperature (`timing`,
    /// `cover_nitrogen_mostly_released_by`: four to six weeks).
    const FREE_BY_DAYS: f64 = 42.0;
    /// A next crop set out within three weeks meets it.
    const MEETS_DAYS: f64 = 21.0;
    const STEP_DAYS: f64 = 10.0;
    const MONTH_DAYS: f64 = 30.4;
    let until = add_days(next, -MEETS_DAYS);
    let held = policy.water_held_mm_per_dm.map(|mm| mm * policy.root_zone_dm);
    let lost = |held: f64, unknown: f64| {
        let (mut freed, mut lies, mut gone) = (0.0_f64, 0.0_f64, 0.0_f64);
        let mut day = killed;
        while day < until {
            let mean = climate.mean_c(day);
            let factor = temperature_factor(policy, mean);
            let now = (freed + STEP_DAYS * factor / FREE_BY_DAYS).min(1.0);
            lies += now - freed;
            freed = now;
            let share = match surplus_mm(day.month()) {
                _ if mean <= 0.0 => 0.0,
                Some(surplus) => 1.0 - (-surplus * STEP_DAYS / MONTH_DAYS / held).exp(),
                None => 1.0 - (1.0 - unknown).powf(STEP_DAYS / MONTH_DAYS),
            };
            gone += lies * share;
            lies *= 1.0 - share;
            day = add_days(day, STEP_DAYS);
        }
        gone
    };
    let unknown = policy.leached_unknown_winter;
    Estimate::new(
        lost(held.high, unknown.low),
        lost(held.likely, unknown.likely),
        lost(held.low, unknown.high),
    )
}

/// Dry matter and nitrogen percent of a stand that finds no more than so much nitrogen in the soil:
/// it thins its nitrogen down to the least published, then stops growing.
pub(super) fn within(
    mass: Estimate,
    percent: Estimate,
    soil: Estimate,
) -> (Estimate, Estimate, bool) {
    let one = |mass: f64, percent: f64, soil: f64| {
        let wanted = mass * percent / 100.0;
        if wanted <= soil || mass <= 0.0 {
            return (mass, percent);
        }
        let thinnest = percent_least(percent);
        let mass = mass.min(soil * 100.0 / thinnest);
        (mass, (soil * 100.0 / mass.max(1e-9)).min(percent))
    };
    let (low, likely, high) = (
        one(mass.low, percent.low, soil.low),
        one(mass.likely, percent.likely, soil.likely),
        one(mass.high, percent.high, soil.high),
    );
    let is_starved = likely.0 < mass.likely - 1e-9 || likely.1 < percent.likely - 1e-9;
    (Estimate::new(low.0, likely.0, high.0), Estimate::new(low.1, likely.1, high.1), is_starved)
}

/// Nitrogen percent below which a hungry stand does not thin: three fifths of the usual, about the
/// lower quartile beside the median of rye at any one mass (`pan_model`, `rye_n_dilution`).
pub(super) fn percent_least(percent: f64) -> f64 {
    percent * 0.6
}

/// Plant-available nitrogen of a residue, g/m2, by the published line over its range of percents.
#[must_use]
pub fn available(knowledge: &Knowledge, dry_matter: Estimate, percent: Estimate) -> Estimate {
    let line = knowledge.nutrients().pan_line();
    let pan = |percent| crate::state::nutrients::plant_available(line, percent);
    let (low, likely, high) =
        (pan(percent.low).low, pan(percent.likely).likely, pan(percent.high).high);
    // Kilograms a tonne are grams a kilogram. A heavy stand of poor stuff ties up most.
    let kilograms = dry_matter.map(|grams| grams / 1000.0);
    Estimate::new(
        if low < 0.0 { low * kilograms.high } else { low * kilograms.low },
        likely * kilograms.likely,
        if high < 0.0 { high * kilograms.low } else { high * kilograms.high },
    )
}
