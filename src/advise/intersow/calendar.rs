//! When a cover is sown between standing plants and when it is cut.

use crate::climate::Climate;
use crate::climate::soil::soil_mean_c;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::season::{Date, add_days};
use crate::state::stand::{Habit, cover_range};

use super::company::{Timing, timing};
use super::{Crop, Setting, Survival};
use crate::advise::cover::Winter;

/// When the standing crop grows again, if it stays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Regrowth {
    /// Day from which it is too cool to grow, if that comes.
    pub idle_from: Option<Date>,
    /// Day from which it grows again; `None` if it does not live, or never stops.
    pub from: Option<Date>,
}

/// When a cover is sown and cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// The day asked for, or the first day of the window if that is later.
    pub sow: Date,
    /// First day on which it costs the crop nothing.
    pub window_from: Date,
    /// Last day on which it still covers the ground before it is cut.
    pub window_to: Option<Date>,
    /// Whether the day asked for lies before or after the critical weeks.
    pub timing: Timing,
    /// Whether the ground is too cold, or the season wrong, to sow it then.
    pub is_out_of_season: bool,
    /// First bloom.
    pub bloom: Option<Date>,
    /// Day to cut it: first bloom, or before the crop grows again, whichever is first.
    pub cut: Option<Date>,
    /// Whether regrowth, not bloom, sets the day.
    pub cut_for_regrowth: bool,
}

/// When a crop stops and starts to grow: some degrees below the least mean of good growth.
pub(super) fn regrowth(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    standing: &Crop,
    survival: &Survival,
    on: Date,
) -> Regrowth {
    const YEAR: u32 = 365;
    let least = knowledge
        .crop_figures(standing.crop, "growth_min_c")
        .iter()
        .find_map(|figure| figure.range);
    let (Some(climate), Some(least)) = (climate, least) else {
        return Regrowth { idle_from: None, from: None };
    };
    let climate = climate.normals_only();
    let idle_c = least.likely - policy.start_below_growth_c;
    let grows = |day: Date| climate.mean_c(day) >= idle_c;
    let days = || (0..YEAR).map(|step| add_days(on, f64::from(step)));
    let idle_from = days().find(|day| !grows(*day));
    let from = idle_from.and_then(|idle| days().find(|day| *day > idle && grows(*day)));
    let lives = !matches!(survival.winter, Winter::Dies(_)) && survival.done.is_none();
    Regrowth { idle_from, from: from.filter(|_| lives) }
}

pub(super) fn of(setting: &Setting<'_, '_>, crop: CropId, habit: Option<&Habit>) -> Calendar {
    let policy = setting.policy;
    let planted = setting.standing.planted;
    let safe = add_days(planted, setting.weed_free.until_days.high.ceil());
    let window_from = safe.max(planted);
    let sow = setting.on;
    let after = (sow - planted).num_days() as f64;
    let last_day = |sow: Date| last_day_of(setting, habit, sow);
    let (bloom, cut, cut_for_regrowth) = last_day(sow);
    let grows_enough = |sow: Date| {
        last_day(sow).1.is_some_and(|cut| {
            (cut - sow).num_days() as f64 >= policy.cover_days_fewest
                && !is_out_of_season(setting, crop, sow)
        })
    };
    let window_to = (0..policy.intersow_window_days)
        .rev()
        .step_by(3)
        .map(|step| add_days(sow.max(window_from), step as f64))
        .find(|day| grows_enough(*day));
    Calendar {
        sow,
        window_from,
        window_to,
        timing: timing(setting.weed_free, after),
        is_out_of_season: is_out_of_season(setting, crop, sow),
        bloom,
        cut: cut.filter(|cut| (*cut - sow).num_days() as f64 >= policy.cover_days_fewest),
        cut_for_regrowth,
    }
}

/// Bloom, the day to cut and whether regrowth set it, for a day of sowing.
fn last_day_of(
    setting: &Setting<'_, '_>,
    habit: Option<&Habit>,
    sow: Date,
) -> (Option<Date>, Option<Date>, bool) {
    let bloom = habit.zip(setting.days).and_then(|(habit, days)| {
        let [_, likely, _] = habit.bloom(days, setting.policy, sow);
        likely
    });
    let before =
        setting.regrowth.from.map(|from| add_days(from, -setting.policy.cut_before_regrowth_days));
    match (bloom, before) {
        (_, Some(before)) if before <= sow => (bloom, None, true),
        (Some(bloom), Some(before)) if before < bloom => (Some(bloom), Some(before), true),
        (Some(bloom), _) => (Some(bloom), Some(bloom), false),
        (None, before) => (None, before, true),
    }
}

/// Whether the soil is too cold for the seed, or the weeks after too warm or too cool for the cover.
fn is_out_of_season(setting: &Setting<'_, '_>, crop: CropId, sow: Date) -> bool {
    const WEEKS_DAYS: f64 = 40.0;
    let (Some(climate), knowledge, policy) = (setting.climate, setting.knowledge, setting.policy)
    else {
        return false;
    };
    let soil = soil_mean_c(climate, sow) + policy.bare_bed_warmer_c;
    let cold = cover_range(knowledge, crop, "min_germ_c").is_some_and(|least| soil < least.low);
    let mean = f64::midpoint(climate.mean_c(sow), climate.mean_c(add_days(sow, WEEKS_DAYS)));
    let wrong = match knowledge.cover_figures(crop, "season").first().map(|row| &*row.text) {
        Some("warm") => mean < policy.warm_cover_c,
        Some("cool") => mean > policy.cool_cover_c,
        _ => false,
    };
    cold || wrong
}
