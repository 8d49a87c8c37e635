//! Which cover fits a gap: days, temperature, winter, the bed's own diseases, the wait after it.
//!
//! Thin as yet: biomass is the published range for a full stand, and a gap shorter than the cover's
//! days is said, not scaled.

use crate::assess::{Assessment, Effect, Proposal, Verdict, assess};
use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{Citation, CropId, Figure, Knowledge};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::{Date, add_days};
use crate::state::BedState;
use crate::units::{Grams, GramsPerSquareMetre, SquareMetres};

/// The time between two crops.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// First free day.
    pub from: Date,
    /// Day of the next crop.
    pub to: Date,
}

impl Gap {
    /// Days in it.
    #[must_use]
    pub fn days(&self) -> i64 {
        (self.to - self.from).num_days()
    }
}

/// What the coldest night to expect does to a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Winter {
    /// It lives: the cold night and the temperature that kills it.
    Lives(f64, Estimate),
    /// It dies.
    Dies(f64, Estimate),
    /// The cold night falls within the range of what kills it.
    MayDie(f64, Estimate),
    /// No climate, or no figure.
    Unknown,
}

/// One cover for the gap.
#[derive(Clone, Debug)]
pub struct CoverOption {
    /// The cover.
    pub crop: CropId,
    /// The judgment of the bed's soil.
    pub assessment: Assessment,
    /// Days it needs, if published.
    pub days_needed: Option<Estimate>,
    /// Whether the gap, less the wait after it, gives the least of them.
    pub fits_days: bool,
    /// Whether it is warm enough to germinate on the first day.
    pub germinates: Option<bool>,
    /// Whether the gap is warm or cool enough for what it is, a warm-season or a cool-season cover.
    pub in_season: Option<bool>,
    /// What winter does.
    pub winter: Winter,
    /// Dry matter of a full stand, t/ha.
    pub dry_matter_t_ha: Option<Estimate>,
    /// Nitrogen in a full stand, g/m2.
    pub nitrogen: Option<(f64, f64)>,
    /// Seed for the place.
    pub seed: Option<(Grams, Grams)>,
    /// Day to kill it so that the next crop's wait is served.
    pub kill_by: Date,
    /// Days of the wait after it.
    pub wait_days: Estimate,
    /// The next crop judged after it, if one is wished for.
    pub next: Option<Verdict>,
    /// Sources of the seed rate and of the days.
    pub citations: Vec<Citation>,
}

/// Covers for a gap in a place, best first: those the bed's diseases allow, that fit the days and
/// germinate; then legumes where two are equal, since most beds are short of nitrogen.
#[must_use]
pub fn cover(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    gap: Gap,
    next: Option<CropId>,
) -> Vec<CoverOption> {
    let state = BedState::at(garden, knowledge, policy, place, gap.from);
    let climate = Climate::of(garden);
    let area = state.area();
    let mut options: Vec<CoverOption> = knowledge
        .covers()
        .into_iter()
        .map(|crop| {
            let assessment = assess(knowledge, policy, &state, &Proposal::of(crop, gap.from));
            let wait_days = wait_after(knowledge, crop, next);
            let kill_by = add_days(gap.to, -wait_days.likely);
            let days_needed = range(knowledge, crop, "days_to_cover");
            let growing = (kill_by - gap.from).num_days() as f64;
            let germinates = climate.as_ref().and_then(|climate| {
                let least = range(knowledge, crop, "min_germ_c")?;
                Some(climate.mean_c(gap.from) >= least.low)
            });
            CoverOption {
                crop,
                days_needed,
                fits_days: days_needed.is_none_or(|days| days.low <= growing),
                germinates,
                in_season: climate
                    .as_ref()
                    .and_then(|climate| in_season(knowledge, policy, climate, crop, gap)),
                winter: winter(knowledge, policy, climate.as_ref(), crop, gap),
                dry_matter_t_ha: range(knowledge, crop, "dry_matter_t_ha"),
                nitrogen: range(knowledge, crop, "n_total_kg_ha")
                    .map(|n| (n.low.max(0.0) / 10.0, n.high / 10.0)),
                seed: area.and_then(|area| seed(knowledge, crop, area)),
                kill_by,
                wait_days,
                next: next.map(|next| after(knowledge, policy, &state, crop, next)),
                citations: ["seed_rate_g_m2", "days_to_cover", "winter_kill_c"]
                    .into_iter()
                    .filter_map(|field| first(knowledge, crop, field))
                    .map(|figure| figure.citation.clone())
                    .collect(),
                assessment,
            }
        })
        .collect();
    options.sort_by(|a, b| {
        let key = |option: &CoverOption| {
            (
                option.assessment.verdict,
                !option.fits_days,
                option.germinates == Some(false) || option.in_season == Some(false),
                matches!(option.winter, Winter::Dies(..) | Winter::MayDie(..)),
                option.next.unwrap_or(Verdict::Plant),
                option.germinates.is_none(),
                option.days_needed.is_none(),
                !knowledge.crops[option.crop].is_legume(),
            )
        };
        key(a)
            .cmp(&key(b))
            .then(b.assessment.confidence.cmp(&a.assessment.confidence))
            .then(knowledge.crops[a.crop].name.cmp(&knowledge.crops[b.crop].name))
    });
    options
}

pub(super) fn first<'k>(knowledge: &'k Knowledge, crop: CropId, field: &str) -> Option<&'k Figure> {
    knowledge.cover_figures(crop, field).iter().find(|figure| figure.range.is_some())
}

pub(super) fn range(knowledge: &Knowledge, crop: CropId, field: &str) -> Option<Estimate> {
    first(knowledge, crop, field).and_then(|figure| figure.range)
}

/// Seed for an area: grams a square metre where a garden rate is published, else the broadcast
/// field rate (hand sowing), else the drilled one.
pub(super) fn seed(
    knowledge: &Knowledge,
    crop: CropId,
    area: SquareMetres,
) -> Option<(Grams, Grams)> {
    let rate = range(knowledge, crop, "seed_rate_g_m2").or_else(|| {
        range(knowledge, crop, "seed_rate_kg_ha_broadcast")
            .or_else(|| range(knowledge, crop, "seed_rate_kg_ha_drilled"))
            .map(|rate| rate.map(|rate| GramsPerSquareMetre::from_kg_per_ha(rate).0))
    })?;
    Some((GramsPerSquareMetre(rate.low).over(area), GramsPerSquareMetre(rate.high).over(area)))
}

/// Days to wait after a cover before the next crop, from every statement that means the pair; two
/// to four weeks, the common rule, where none does.
fn wait_after(knowledge: &Knowledge, cover: CropId, next: Option<CropId>) -> Estimate {
    const COMMON: Estimate = Estimate { low: 14.0, likely: 21.0, high: 28.0 };
    let next = next.or_else(|| knowledge.crops.find("lettuce"));
    let Some(next) = next else { return COMMON };
    knowledge
        .sequences
        .on(cover, next)
        .filter_map(|row| row.wait_days)
        .filter(|wait| wait.high < 100.0)
        .reduce(Estimate::spanning)
        .unwrap_or(COMMON)
}

/// Whether the mean temperature of the gap suits a warm-season or a cool-season cover.
fn in_season(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: &Climate<'_>,
    crop: CropId,
    gap: Gap,
) -> Option<bool> {
    let season = knowledge.cover_figures(crop, "season").first()?;
    let days = gap.days().max(1);
    let mean = (0..4)
        .map(|part| climate.mean_c(add_days(gap.from, (days * part / 4) as f64)))
        .sum::<f64>()
        / 4.0;
    match &*season.text {
        "warm" => Some(mean >= policy.warm_cover_c),
        "cool" => Some(mean <= policy.cool_cover_c),
        _ => None,
    }
}

fn winter(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    crop: CropId,
    gap: Gap,
) -> Winter {
    let (Some(climate), Some(kill)) = (climate, range(knowledge, crop, "winter_kill_c")) else {
        return Winter::Unknown;
    };
    let cold = climate.cold_night_between_c(policy, gap.from, gap.to);
    // What kills one stand another outlives: two degrees either side of the figure are open.
    if cold > kill.high + 2.0 {
        Winter::Lives(cold, kill)
    } else if cold < kill.low - 2.0 {
        Winter::Dies(cold, kill)
    } else {
        Winter::MayDie(cold, kill)
    }
}

/// The verdict for the next crop as far as diseases of the bed go that the cover keeps: a cover
/// that hosts what the bed has, and the next crop suffers from, makes the next crop care at least.
fn after(
    knowledge: &Knowledge,
    policy: &Policy,
    state: &BedState<'_>,
    cover: CropId,
    next: CropId,
) -> Verdict {
    let alone = assess(knowledge, policy, state, &Proposal::of(next, state.date));
    let bridged = state.inocula.iter().any(|inoculum| {
        knowledge.standing(inoculum.pathogen, cover).status.keeps_it()
            && knowledge.standing(inoculum.pathogen, next).status.may_suffer()
    });
    let disease = alone
        .reasons
        .iter()
        .filter(|reason| matches!(reason.claim, crate::assess::Claim::Disease { .. }))
        .map(|reason| reason.effect)
        .filter(|effect| !matches!(effect, Effect::Unknown))
        .map(Effect::verdict)
        .max()
        .unwrap_or(Verdict::Plant);
    if bridged { disease.max(Verdict::Care) } else { disease }
}
