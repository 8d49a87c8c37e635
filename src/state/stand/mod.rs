//! How a cover stands on a day: ground covered, dry matter, nitrogen, by heat and light.
//!
//! A day's growth is the light that falls on leaves times what the plant makes of it (Monteith
//! 1977): light for growth x share intercepted x light use x a ramp of temperature. The share
//! intercepted rises along an S in degree-days from sowing. What the plant makes of light is
//! published for cereals, grain legumes and crucifers (`cover_classes`, `cover_figures`:
//! `light_use_g_mj`); how fast it closes is policy, set so that the published points of growth come
//! out (`published_covers` prints each). A non-legume takes no more nitrogen than the soil holds.
//!
//! Knows nothing of drought, slugs and thin sowing: the low end is a poor stand, not a failed one.

mod days;
mod habit;
mod nitrogen;

pub use days::Days;
pub use habit::{BloomNeed, Habit, Pace, cover_figure, cover_range};
pub use nitrogen::{available, sod_gives, washed_out};

use days::Day;
use nitrogen::within;

use crate::estimate::Estimate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::season::Date;

/// Grams a square metre in a tonne a hectare.
const G_M2_PER_T_HA: f64 = 100.0;

/// How far a stand has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// Leaves only.
    Leafy,
    /// Jointing, or buds forming.
    Bud,
    /// In bloom, or headed.
    Bloom,
    /// Past bloom: seed sets.
    Seed,
}

/// A stand on the day it is killed.
#[derive(Clone, Debug)]
pub struct Stand {
    /// Day sown.
    pub sown: Date,
    /// Day killed, by hand or by frost.
    pub ended: Date,
    /// Degree-days it had.
    pub degree_days: Estimate,
    /// Light that fell on its leaves, MJ/m2.
    pub light_mj: Estimate,
    /// Share of the ground covered on the last day.
    pub ground_cover: Estimate,
    /// Days on which more than half of the ground was covered.
    pub covered_days: Estimate,
    /// Share of the way to first bloom.
    pub grown: Estimate,
    /// Stage by the likely heat.
    pub stage: Stage,
    /// Dry matter of tops, g/m2.
    pub dry_matter: Estimate,
    /// Nitrogen in it, percent.
    pub nitrogen_percent: Estimate,
    /// Nitrogen in tops, g/m2.
    pub nitrogen: Estimate,
    /// Of that, from the air, g/m2.
    pub fixed: Estimate,
    /// Of that, taken from the soil and given back, g/m2.
    pub recycled: Estimate,
    /// Nitrogen that comes free in the season after it is dug in, g/m2; below nil it ties up.
    pub available: Estimate,
    /// Whether the soil's nitrogen, not light, set the limit.
    pub is_starved: bool,
}

/// One run through the days.
#[derive(Default)]
struct Run {
    heat: f64,
    /// Heat as bloom counts it.
    to_bloom: f64,
    light: f64,
    cover: f64,
    covered_days: f64,
    mass: f64,
    /// Share of the mass made after nodules work.
    mass_fixing: f64,
}

/// How a cover grows by heat and light alone, whatever the soil has: the same in every bed of a site.
pub struct Course {
    low: Run,
    likely: Run,
    high: Run,
}

impl Course {
    /// From the day sown to the day ended; `None` where light is not known.
    #[must_use]
    pub fn of(policy: &Policy, habit: &Habit, days: &Days, span: (Date, Date)) -> Option<Self> {
        if !days.light_is_known() {
            return None;
        }
        let between = days.between(span.0, span.1);
        let sd = policy.season_mean_sd_c;
        let column = |warmer, light_use, half, nodules| {
            run(habit, between, &Column { warmer, light_use, half, nodules })
        };
        let (use_, half, nodules) =
            (habit.light_use, habit.canopy_half, policy.fixation_begins_days);
        Some(Self {
            low: column(-sd, use_.low, half.high, nodules.high),
            likely: column(0.0, use_.likely, half.likely, nodules.likely),
            high: column(sd, use_.high, half.low, nodules.low),
        })
    }
}

/// What one run is made with.
struct Column {
    warmer: f64,
    light_use: f64,
    half: f64,
    nodules: f64,
}

fn run(habit: &Habit, days: &[Day], column: &Column) -> Run {
    let mut run = Run::default();
    for (step, day) in days.iter().enumerate() {
        run.heat += day.heat(column.warmer, habit.base_c);
        // Half covered at half, nearly all at twice that.
        let cover = run.heat.powi(4) / (run.heat.powi(4) + column.half.powi(4));
        run.cover = cover;
        run.covered_days += f64::from(u8::from(cover > 0.5));
        // Past bloom leaves age and growth ends.
        let young = habit.to_bloom.map_or(1.0, |need| {
            run.to_bloom += day.heat(column.warmer, need.base_c);
            let by_heat = run.to_bloom / need.degree_days.likely;
            let by_days = (step as f64 + 1.0) / need.least_days.max(1.0);
            ((2.2 - by_heat.min(by_days)) / 0.9).clamp(0.0, 1.0)
        });
        let Some(light) = day.light else { continue };
        let caught = light * cover;
        run.light += caught;
        let made = caught * column.light_use * habit.warmth(day, column.warmer) * young;
        run.mass += made;
        if step as f64 >= column.nodules {
            run.mass_fixing += made;
        }
    }
    run
}

/// A stand sown on a day and ended on another; `None` where light is not known. `soil_nitrogen` is
/// what the soil can give it meanwhile, g/m2.
#[must_use]
pub fn stand(
    knowledge: &Knowledge,
    policy: &Policy,
    habit: &Habit,
    days: &Days,
    span: (Date, Date),
    soil_nitrogen: Option<Estimate>,
) -> Option<Stand> {
    let course = Course::of(policy, habit, days, span)?;
    Some(stand_of(knowledge, policy, habit, &course, span, soil_nitrogen))
}

/// The stand that a course comes to on what the soil can give meanwhile, g/m2.
#[must_use]
pub fn stand_of(
    knowledge: &Knowledge,
    policy: &Policy,
    habit: &Habit,
    course: &Course,
    (sown, ended): (Date, Date),
    soil_nitrogen: Option<Estimate>,
) -> Stand {
    let Course { low, likely, high } = course;
    let of = |figure: fn(&Run) -> f64| Estimate::new(figure(low), figure(likely), figure(high));
    let heaviest = habit.heaviest_t_ha * G_M2_PER_T_HA;
    let by_light = of(|run| run.mass).map(|mass| mass.min(heaviest));
    let elapsed = (ended - sown).num_days() as f64;
    let grown = habit.to_bloom.map_or(Estimate::ZERO, |need| {
        let sum = need.degree_days;
        let by_days = if need.least_days > 0.0 { elapsed / need.least_days } else { f64::INFINITY };
        Estimate::new(
            low.to_bloom / sum.high,
            likely.to_bloom / sum.likely,
            high.to_bloom / sum.low,
        )
        .map(|share| share.min(by_days))
    });
    let (green, flowering) = habit.nitrogen_percent;
    let weight = ((grown.likely - 0.5) / 0.4).clamp(0.0, 1.0);
    let percent =
        green.map(|percent| percent * (1.0 - weight)) + flowering.map(|percent| percent * weight);
    let is_legume = knowledge.crops[habit.crop].is_legume();
    let (dry_matter, nitrogen_percent, is_starved) = match soil_nitrogen {
        Some(soil) if !is_legume => within(by_light, percent, soil),
        _ => (by_light, percent, false),
    };
    let nitrogen = Estimate::new(
        dry_matter.low * nitrogen_percent.low / 100.0,
        dry_matter.likely * nitrogen_percent.likely / 100.0,
        dry_matter.high * nitrogen_percent.high / 100.0,
    );
    let working = of(|run| if run.mass > 0.0 { run.mass_fixing / run.mass } else { 0.0 });
    let share = if is_legume { habit.fixed_share * working } else { Estimate::ZERO };
    let fixed = nitrogen * share;
    let recycled = Estimate::new(
        nitrogen.low * (1.0 - share.high),
        nitrogen.likely * (1.0 - share.likely),
        nitrogen.high * (1.0 - share.low),
    );
    Stand {
        sown,
        ended,
        degree_days: of(|run| run.heat),
        light_mj: of(|run| run.light),
        ground_cover: of(|run| run.cover),
        covered_days: of(|run| run.covered_days),
        grown,
        stage: match grown.likely {
            share if share < policy.jointing_share => Stage::Leafy,
            share if share < 1.0 => Stage::Bud,
            share if share < 1.25 => Stage::Bloom,
            _ => Stage::Seed,
        },
        dry_matter,
        nitrogen_percent,
        nitrogen,
        fixed,
        recycled,
        available: available(knowledge, dry_matter, nitrogen_percent),
        is_starved,
    }
}
