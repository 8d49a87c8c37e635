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

use std::f64::consts::FRAC_PI_2;

use chrono::Datelike;

use crate::climate::{Climate, heat::expected_above};
use crate::estimate::Estimate;
use crate::knowledge::{Citation, CropId, Figure, Knowledge};
use crate::policy::Policy;
use crate::season::{Date, add_days};

use super::nutrients::temperature_factor;

/// Light for growth: moles in a megajoule.
const MOL_PER_MJ: f64 = 4.57;
/// Grams a square metre in a tonne a hectare.
const G_M2_PER_T_HA: f64 = 100.0;

/// One day of a site as leaves meet it.
#[derive(Clone, Copy, Debug)]
struct Day {
    mean: f64,
    spread: f64,
    /// Light for growth, MJ/m2.
    light: Option<f64>,
}

impl Day {
    /// Degree-days over a base in a season some degrees warmer or cooler than usual.
    fn heat(&self, warmer: f64, base_c: f64) -> f64 {
        expected_above(self.mean + warmer, self.spread, base_c)
    }
}

/// The days of a site from a first day on, laid out once for many covers.
#[derive(Clone, Debug)]
pub struct Days {
    from: Date,
    days: Vec<Day>,
}

impl Days {
    /// So many days of a site.
    #[must_use]
    pub fn new(climate: &Climate<'_>, policy: &Policy, from: Date, count: usize) -> Self {
        let days = (0..count.max(1))
            .map(|step| {
                let date = add_days(from, step as f64);
                Day {
                    mean: climate.mean_c(date),
                    spread: climate.spread_c(policy, date),
                    light: climate.growing_light(policy, date).map(|mol| mol / MOL_PER_MJ),
                }
            })
            .collect();
        Self { from, days }
    }

    /// Whether light is known: it needs the site's latitude.
    #[must_use]
    pub fn light_is_known(&self) -> bool {
        self.days.first().is_some_and(|day| day.light.is_some())
    }

    /// The days from a day up to another, the last not counted.
    fn between(&self, from: Date, to: Date) -> &[Day] {
        let at = |date: Date| {
            usize::try_from((date - self.from).num_days()).unwrap_or(0).min(self.days.len())
        };
        let (begins, ends) = (at(from), at(to));
        &self.days[begins..ends.max(begins)]
    }
}

/// How fast a cover covers the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// Cereals, grasses and brassicas.
    Quick,
    /// Peas, beans, vetches, forbs.
    Middling,
    /// Clovers, medics and their like.
    Slow,
    /// Warm-season covers.
    Warm,
}

/// What a cover needs and makes.
#[derive(Clone, Debug)]
pub struct Habit {
    /// The cover.
    pub crop: CropId,
    /// Whether it is a warm-season cover; `None` if no source tells.
    pub is_warm: Option<bool>,
    /// Temperature from which it grows.
    pub base_c: f64,
    /// Temperature from which it grows no faster.
    pub best_c: f64,
    /// Dry matter of tops made of light, g/MJ.
    pub light_use: Estimate,
    /// Where that is from.
    pub light_use_citation: Option<Citation>,
    /// How fast it covers the ground.
    pub pace: Pace,
    /// Degree-days from sowing by which half of the ground is covered.
    pub canopy_half: Estimate,
    /// Heat from sowing to first bloom; `None` if nothing is published.
    pub to_bloom: Option<BloomNeed>,
    /// Nitrogen in the dry matter before bloom and in bloom, percent.
    pub nitrogen_percent: (Estimate, Estimate),
    /// Share of its nitrogen that it takes from the air once nodules work.
    pub fixed_share: Estimate,
    /// The heaviest stand published, t/ha; a usual one where none is.
    pub heaviest_t_ha: f64,
}

/// Heat from sowing to first bloom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BloomNeed {
    /// Degree-days.
    pub degree_days: Estimate,
    /// Temperature above which they are counted.
    pub base_c: f64,
    /// Days before which it is not held to bloom however warm it is: the least printed, because
    /// short days hold many covers back.
    pub least_days: f64,
}

/// The first figure of a cover in a field that is a range.
#[must_use]
pub fn cover_figure<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> Option<&'k Figure> {
    knowledge.cover_figures(crop, field).iter().find(|figure| figure.range.is_some())
}

/// Its range.
#[must_use]
pub fn cover_range(knowledge: &Knowledge, crop: CropId, field: &str) -> Option<Estimate> {
    cover_figure(knowledge, crop, field).and_then(|figure| figure.range)
}

/// Groups asked in turn for a figure that the cover has not itself, the narrowest first.
const CLASSES: &[&str] = &[
    "cereal_cover",
    "brassica_cover",
    "annual_legume",
    "perennial_legume",
    "legume_cover",
    "grass_cover",
    "grass_or_brassica",
    "non_legume_cover",
];

/// A figure of a class that the cover belongs to.
fn class_figure<'k>(
    knowledge: &'k Knowledge,
    crop: CropId,
    field: &str,
) -> Option<(Estimate, &'k Citation)> {
    CLASSES
        .iter()
        .filter(|group| knowledge.sequences.is_member(&knowledge.crops, group, crop))
        .find_map(|group| {
            knowledge
                .cover_classes()
                .iter()
                .filter(|row| &*row.group == *group && &*row.field == field)
                .find_map(|row| Some((row.range?, &row.citation)))
        })
}

impl Habit {
    /// What the tables say of a cover; `None` for a plant of which nothing is published as a cover.
    #[must_use]
    pub fn of(knowledge: &Knowledge, policy: &Policy, crop: CropId) -> Option<Self> {
        let season = knowledge.cover_figures(crop, "season").first().map(|row| &*row.text);
        let is_warm = season.map(|season| season == "warm");
        let own = cover_figure(knowledge, crop, "light_use_g_mj")
            .and_then(|row| Some((row.range?, &row.citation)));
        let (light_use, citation) =
            own.or_else(|| class_figure(knowledge, crop, "light_use_g_mj"))?;
        let warm = is_warm == Some(true);
        let printed = knowledge
            .growth_points()
            .iter()
            .find(|row| row.cover.is(crop) && &*row.x_name == "optimum temperature C for growth");
        let (base, best) = if warm {
            (policy.warm_cover_base_c, policy.warm_cover_best_c)
        } else {
            (policy.cool_cover_base_c, policy.cool_cover_best_c)
        };
        let base_c = printed.and_then(|row| row.base_c).map_or(base, |printed| printed.max(base));
        let best_c = printed
            .and_then(|row| row.x_range)
            .map_or(best, |printed| printed.likely.min(best))
            .max(base_c + 6.0);
        let pace = pace(knowledge, crop, warm);
        Some(Self {
            crop,
            is_warm,
            base_c,
            best_c,
            light_use,
            light_use_citation: Some(citation.clone()),
            pace,
            canopy_half: match pace {
                Pace::Quick => policy.canopy_half_quick,
                Pace::Middling => policy.canopy_half_middling,
                Pace::Slow => policy.canopy_half_slow,
                Pace::Warm => policy.canopy_half_warm,
            },
            to_bloom: to_bloom(knowledge, policy, crop, base_c, warm),
            nitrogen_percent: nitrogen_percent(knowledge, crop),
            fixed_share: super::nutrients::fixed_share(knowledge, policy, crop),
            heaviest_t_ha: knowledge
                .cover_figures(crop, "dry_matter_t_ha")
                .iter()
                .filter_map(|row| row.range)
                .map(|range| range.high)
                .reduce(f64::max)
                .unwrap_or(policy.cover_heaviest_unknown_t_ha),
        })
    }

    /// Share of full growth at the day's temperature: a quarter of a sine from the base to the best,
    /// as crop models of the EPIC kin have it.
    fn warmth(&self, day: &Day, warmer: f64) -> f64 {
        let width = (self.best_c - self.base_c).max(1.0);
        let above = day.heat(warmer, self.base_c);
        let beyond = day.heat(warmer, self.best_c);
        (((above - beyond) / width).clamp(0.0, 1.0) * FRAC_PI_2).sin()
    }

    /// Day of first bloom after sowing on a day: early, likely, late; `None` where the heat is not
    /// reached within the days laid out.
    #[must_use]
    pub fn bloom(&self, days: &Days, policy: &Policy, sown: Date) -> [Option<Date>; 3] {
        let Some(need) = self.to_bloom else { return [None; 3] };
        let sd = policy.season_mean_sd_c;
        let sum = need.degree_days;
        [(sum.low, sd), (sum.likely, 0.0), (sum.high, -sd)].map(|(wanted, warmer)| {
            let mut sum = 0.0;
            let last = add_days(days.from, days.days.len() as f64);
            days.between(sown, last)
                .iter()
                .position(|day| {
                    sum += day.heat(warmer, need.base_c);
                    sum >= wanted
                })
                .map(|step| add_days(sown, (step as f64).max(need.least_days)))
        })
    }
}

fn pace(knowledge: &Knowledge, crop: CropId, warm: bool) -> Pace {
    let is = |group: &str| knowledge.sequences.is_member(&knowledge.crops, group, crop);
    if warm {
        Pace::Warm
    } else if is("cereal_cover") || is("brassica_cover") || is("grass_cover") {
        Pace::Quick
    } else if is("clover")
        || is("perennial_legume")
        || &*knowledge.crops[crop].key == "annual_medic"
    {
        Pace::Slow
    } else {
        Pace::Middling
    }
}

/// Heat from sowing to first bloom: a published heat sum where there is one, and the days to a full
/// stand turned into heat at the temperature for which they are printed; the range holds both. The
/// days of cereals are those to a green cover, so their bloom is asked of the growth table.
fn to_bloom(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    base_c: f64,
    warm: bool,
) -> Option<BloomNeed> {
    const CEREAL_BASE_C: f64 = 4.0;
    let is = |group: &str| knowledge.sequences.is_member(&knowledge.crops, group, crop);
    if !warm && (is("cereal_cover") || is("grass_cover")) {
        let degree_days = policy.cereal_bloom_degree_days;
        return Some(BloomNeed { degree_days, base_c: CEREAL_BASE_C, least_days: 0.0 });
    }
    let points = |x_name: &str| {
        knowledge
            .growth_points()
            .iter()
            .filter(|row| row.cover.is(crop) && row.x_name.starts_with(x_name))
            .find_map(|row| Some((row.x_range?, row.base_c?)))
    };
    let by_heat = points("degree-days emergence to flowering").map(|(sum, base)| {
        let emergence =
            points("degree-days sowing to emergence").map_or(Estimate::exact(100.0), |sum| sum.0);
        (sum + emergence, base)
    });
    let flower = knowledge
        .timing_rules()
        .iter()
        .filter(|row| &*row.rule == "days_to_flower")
        .filter(|row| row.applies_to.as_ref().is_some_and(|crops| crops.is(crop)))
        .find_map(|row| row.range);
    let days = flower.or_else(|| cover_range(knowledge, crop, "days_to_cover"));
    let base_c = by_heat.map_or(base_c, |(_, base)| base);
    let by_days = days.map(|days| {
        let printed = match days.high {
            _ if warm => policy.warm_cover_printed_c,
            high if high <= policy.quick_cover_days => policy.quick_cover_printed_c,
            _ => policy.cool_cover_printed_c,
        };
        days.map(|days| days * (printed - base_c))
    });
    let degree_days = match (by_heat, by_days) {
        (Some((heat, _)), Some(days)) => heat.spanning(days),
        (Some((heat, _)), None) => heat,
        (None, days) => days?,
    };
    let least_days = days.map_or(0.0, |days| days.low);
    Some(BloomNeed { degree_days, base_c, least_days })
}

/// Nitrogen percent before bloom and in bloom: the preferred figure, the range of all that are not
/// weak, else the class's.
fn nitrogen_percent(knowledge: &Knowledge, crop: CropId) -> (Estimate, Estimate) {
    const FALLBACK: Estimate = Estimate { low: 1.5, likely: 2.2, high: 3.0 };
    let of = |field: &str| {
        let preferred = cover_range(knowledge, crop, field);
        let class = class_figure(knowledge, crop, field).map(|figure| figure.0);
        match (preferred, class) {
            (Some(own), Some(class)) => Some(Estimate {
                low: own.low.min(class.low),
                likely: own.likely,
                high: own.high.max(class.high),
            }),
            (one, other) => one.or(other),
        }
    };
    let bloom = of("n_percent_bloom").unwrap_or(FALLBACK);
    let green = of("n_percent_vegetative").unwrap_or(bloom);
    // A plant in bloom is no richer than before.
    let green = Estimate {
        low: green.low.max(bloom.low),
        likely: green.likely.max(bloom.likely),
        high: green.high.max(bloom.high),
    };
    (green, bloom)
}

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
    (sown, ended): (Date, Date),
    soil_nitrogen: Option<Estimate>,
) -> Option<Stand> {
    if !days.light_is_known() {
        return None;
    }
    let between = days.between(sown, ended);
    let sd = policy.season_mean_sd_c;
    let column = |warmer, light_use, half, nodules| {
        run(habit, between, &Column { warmer, light_use, half, nodules })
    };
    let (use_, half, nodules) = (habit.light_use, habit.canopy_half, policy.fixation_begins_days);
    let low = column(-sd, use_.low, half.high, nodules.high);
    let likely = column(0.0, use_.likely, half.likely, nodules.likely);
    let high = column(sd, use_.high, half.low, nodules.low);
    let of = |figure: fn(&Run) -> f64| Estimate::new(figure(&low), figure(&likely), figure(&high));
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
    Some(Stand {
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
    })
}

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
fn within(mass: Estimate, percent: Estimate, soil: Estimate) -> (Estimate, Estimate, bool) {
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
fn percent_least(percent: f64) -> f64 {
    percent * 0.6
}

/// Plant-available nitrogen of a residue, g/m2, by the published line over its range of percents.
#[must_use]
pub fn available(knowledge: &Knowledge, dry_matter: Estimate, percent: Estimate) -> Estimate {
    let line = knowledge.nutrients().pan_line();
    let pan = |percent| super::nutrients::plant_available(&line, percent);
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
