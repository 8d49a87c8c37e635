//! A legume between standing plants: how much ground is free, which legume, how much seed.
//!
//! Thin as yet: the free ground is the bed less a circle about each stem; positions, the critical
//! weed-free period and the calendar of sowing and cutting come later. No trial of beans between
//! overwintering peppers exists: the advice is built from component facts, and says so.

use std::f64::consts::PI;

use super::cover::seed_rate;
use crate::assess::{Assessment, Proposal, Verdict, assess};
use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Garden, Place, Planting};
use crate::season::Date;
use crate::state::BedState;
use crate::state::stand::cover_range as range;
use crate::units::{Grams, SquareMetres};

/// The advice for one standing crop.
#[derive(Clone, Debug)]
pub struct Intersow<'g> {
    /// What stands.
    pub standing: &'g Planting,
    /// Number of stems, counted or from the spacing.
    pub stems: Option<f64>,
    /// Distance kept from each stem, cm.
    pub distance_cm: Estimate,
    /// Ground taken, and ground free for seed.
    pub free_area: Option<SquareMetres>,
    /// The cold night of an ordinary winter here, and the temperature that kills the standing crop.
    pub winter: Option<(f64, Estimate)>,
    /// Legumes, best first.
    pub legumes: Vec<LegumeOption>,
}

/// One legume.
#[derive(Clone, Debug)]
pub struct LegumeOption {
    /// The legume.
    pub crop: CropId,
    /// The judgment of the bed's soil.
    pub assessment: Assessment,
    /// Seed for the free ground.
    pub seed: Option<(Grams, Grams)>,
    /// Shade it bears, score 0 to 4.
    pub shade: Option<f64>,
    /// Nitrogen of a full stand scaled to the free ground, g.
    pub nitrogen: Option<(Grams, Grams)>,
    /// Pathogens on record in this bed that it shares with the standing crop.
    pub shared_here: Vec<PathogenId>,
}

/// Legumes for the ground between what stands in a place on a day; `None` if nothing stands there
/// that was planted with room between.
#[must_use]
pub fn intersow<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    place: &Place,
    on: Date,
) -> Option<Intersow<'g>> {
    let state = BedState::at(garden, knowledge, policy, place, on);
    let standing = state
        .standing()
        .filter(|planting| !planting.is_volunteer() && !knowledge.crops[planting.crop].is_legume())
        .max_by_key(|planting| planting.stood.start)?;
    let climate = Climate::of(garden);
    let area = standing.area.or(state.area());
    let stems = stems(standing, area);
    let distance_cm = policy.intersow_distance_cm;
    let free_area = area.zip(stems).map(|(area, stems)| {
        let taken = stems * PI * (distance_cm.likely / 100.0).powi(2);
        SquareMetres((area.0 - taken).max(0.0))
    });
    let kill =
        knowledge.crop_figures(standing.crop, "kill_temp_c").iter().find_map(|figure| figure.range);
    let winter =
        climate.as_ref().zip(kill).map(|(climate, kill)| (climate.cold_night_c(policy).0, kill));
    let mean = climate.as_ref().map(|climate| climate.mean_c(on));
    let mut legumes: Vec<LegumeOption> = knowledge
        .covers()
        .into_iter()
        .filter(|crop| knowledge.crops[*crop].is_legume())
        .filter(|crop| in_season(knowledge, *crop, mean))
        .map(|crop| LegumeOption {
            crop,
            assessment: assess(knowledge, policy, &state, &Proposal::of(crop, on)),
            seed: free_area
                .zip(seed_rate(knowledge, crop))
                .map(|(area, (rate, _))| (Grams(rate.low * area.0), Grams(rate.high * area.0))),
            shade: range(knowledge, crop, "shade_tolerance").map(|shade| shade.likely),
            nitrogen: free_area.zip(range(knowledge, crop, "n_total_kg_ha")).map(|(area, n)| {
                (Grams(n.low.max(0.0) / 10.0 * area.0), Grams(n.high / 10.0 * area.0))
            }),
            shared_here: shared_here(knowledge, &state, standing.crop, crop),
        })
        .collect();
    legumes.sort_by(|a, b| {
        let key = |option: &LegumeOption| {
            (option.assessment.verdict, option.shared_here.len(), option.seed.is_none())
        };
        key(a)
            .cmp(&key(b))
            .then(b.shade.unwrap_or(-1.0).total_cmp(&a.shade.unwrap_or(-1.0)))
            .then(knowledge.crops[a.crop].name.cmp(&knowledge.crops[b.crop].name))
    });
    Some(Intersow { standing, stems, distance_cm, free_area, winter, legumes })
}

impl Intersow<'_> {
    /// The legumes that the bed's own diseases allow.
    pub fn allowed(&self) -> impl Iterator<Item = &LegumeOption> {
        self.legumes.iter().filter(|option| option.assessment.verdict != Verdict::Wait)
    }
}

/// Stems counted by the grower, else from the spacing over the area.
fn stems(planting: &Planting, area: Option<SquareMetres>) -> Option<f64> {
    if let Some(plants) = planting.plants {
        return Some(plants as f64);
    }
    let (row, plant) = (planting.row_spacing?.0, planting.plant_spacing?.0);
    Some((area?.0 * 10_000.0 / (row * plant)).floor())
}

/// A cool-season legume in a cool month, a warm-season one in a warm month; both where the climate
/// is not known.
fn in_season(knowledge: &Knowledge, crop: CropId, mean_c: Option<f64>) -> bool {
    let season = knowledge.cover_figures(crop, "season").first().map(|figure| &*figure.text);
    let (Some(season), Some(mean)) = (season, mean_c) else {
        return true;
    };
    let germinates = range(knowledge, crop, "min_germ_c").is_none_or(|least| least.low <= mean);
    germinates && if mean < 21.0 { season == "cool" } else { season == "warm" }
}

/// Pathogens on record here that both crops keep.
fn shared_here(
    knowledge: &Knowledge,
    state: &BedState<'_>,
    one: CropId,
    other: CropId,
) -> Vec<PathogenId> {
    let keeps = |pathogen, crop| knowledge.standing(pathogen, crop).status.keeps_it();
    state
        .inocula
        .iter()
        .map(|inoculum| inoculum.pathogen)
        .filter(|pathogen| keeps(*pathogen, one) && keeps(*pathogen, other))
        .collect()
}
