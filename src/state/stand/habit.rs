//! What a cover needs and makes, by the tables: heat, light, pace, bloom, nitrogen.

use std::f64::consts::FRAC_PI_2;

use crate::estimate::Estimate;
use crate::knowledge::{Citation, CropId, Figure, Knowledge};
use crate::policy::Policy;
use crate::season::{Date, add_days};

use super::days::{Day, Days};

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
pub(super) const CLASSES: &[&str] = &[
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
pub(super) fn class_figure<'k>(
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
            nitrogen_percent: nitrogen_percent(knowledge, policy, crop),
            fixed_share: crate::state::nutrients::fixed_share(knowledge, policy, crop),
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
    pub(super) fn warmth(&self, day: &Day, warmer: f64) -> f64 {
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

pub(super) fn pace(knowledge: &Knowledge, crop: CropId, warm: bool) -> Pace {
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
pub(super) fn to_bloom(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    base_c: f64,
    warm: bool,
) -> Option<BloomNeed> {
    let is = |group: &str| knowledge.sequences.is_member(&knowledge.crops, group, crop);
    if !warm && (is("cereal_cover") || is("grass_cover")) {
        let degree_days = policy.cereal_bloom_degree_days;
        return Some(BloomNeed {
            degree_days,
            base_c: policy.cereal_bloom_base_c,
            least_days: 0.0,
        });
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
pub(super) fn nitrogen_percent(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
) -> (Estimate, Estimate) {
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
    let bloom = of("n_percent_bloom").unwrap_or(policy.cover_n_percent_unknown);
    let green = of("n_percent_vegetative").unwrap_or(bloom);
    // A plant in bloom is no richer than before.
    let green = Estimate {
        low: green.low.max(bloom.low),
        likely: green.likely.max(bloom.likely),
        high: green.high.max(bloom.high),
    };
    (green, bloom)
}
