//! Covers at hand in each place: those that `advise::cover` puts first there in each season.
//!
//! A gap of some months is asked about at six times of the year: what fits the heat and the light, what
//! the bed needs, and what would feed the bed's own diseases, differ by season and bed. A plan holds
//! one crop in a place at a time, so mixtures are left out.

use crate::advise::cover::{CoverCandidate, Gap, OnSite, Question, SoilLife, Standing, candidates};
use crate::knowledge::{CropId, Knowledge, Role};
use crate::plan::half_months::{A_YEAR, HalfMonths};
use crate::plan::solve::side_by_side;
use crate::policy::Policy;
use crate::season::add_days;

use super::places::PlanPlace;

/// Half-months of a season in which the answer is taken to be the same.
const SEASON: u8 = 4;
const SEASONS: usize = 6;
/// Candidates looked at in each season.
const MOST: usize = 8;

/// Part of its worth that a cover keeps if something must be looked at first: it may raise a disease
/// of the bed, or comes back after the hoe.
const CARE: f64 = 0.5;

/// A cover that may stand in a place, with how well it serves there.
#[derive(Clone, Debug)]
pub(in crate::plan) struct CoverAtHand {
    pub(in crate::plan) crop: CropId,
    /// By season: its worth to what the bed needs as a share of the best cover's; 0 where it is no
    /// candidate.
    serves: [f64; SEASONS],
}

impl CoverAtHand {
    /// How well it serves when it is sown in a half-month of the plan.
    pub(in crate::plan) fn serves(&self, slot: u8) -> f64 {
        self.serves[usize::from(slot % A_YEAR / SEASON)]
    }
}

/// Gives each place the covers at hand there; over the whole garden no more than the policy allows,
/// those that serve most ground best.
pub(in crate::plan) fn lay_out_covers(
    knowledge: &Knowledge,
    policy: &Policy,
    half_months: HalfMonths,
    places: &mut [PlanPlace],
) {
    let on_site = OnSite::default();
    let found: Vec<Vec<CoverAtHand>> = side_by_side(places.len(), |at| {
        covers_of(knowledge, policy, half_months, &places[at], &on_site)
    });
    let mut served: Vec<(f64, CropId)> = Vec::new();
    for (place, covers) in places.iter().zip(&found) {
        for cover in covers {
            let ground = place.area.0 * cover.serves.iter().sum::<f64>();
            match served.iter_mut().find(|(_, crop)| *crop == cover.crop) {
                Some((sum, _)) => *sum += ground,
                None => served.push((ground, cover.crop)),
            }
        }
    }
    served.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    served.truncate(policy.plan_covers);
    for (place, covers) in places.iter_mut().zip(found) {
        let is_kept = |cover: &CoverAtHand| served.iter().any(|(_, crop)| *crop == cover.crop);
        place.covers = covers.into_iter().filter(is_kept).collect();
    }
}

fn covers_of(
    knowledge: &Knowledge,
    policy: &Policy,
    half_months: HalfMonths,
    place: &PlanPlace,
    on_site: &OnSite,
) -> Vec<CoverAtHand> {
    let mut covers: Vec<CoverAtHand> = Vec::new();
    for (season, first) in (0..SEASONS).zip((0..A_YEAR).step_by(usize::from(SEASON))) {
        // The season of the first year in which the place is free.
        let slot = [first, first + A_YEAR]
            .into_iter()
            .map(|slot| slot.max(place.free.min(slot + SEASON - 1)))
            .find(|slot| *slot >= place.free && *slot < half_months.count());
        let Some(slot) = slot else { continue };
        let from = half_months.day(slot);
        let gap = Gap { from, to: add_days(from, policy.plan_cover_gap_days) };
        let question = Question { gap, next: None, next_method: None, goal: None };
        let most = (MOST, on_site);
        let ranked = candidates(knowledge, policy, &place.garden, &place.place, question, most);
        // Bare ground is better than what may raise a disease of the bed.
        let raises =
            |candidate: &CoverCandidate| candidate.soil_life.iter().any(SoilLife::may_raise);
        let worths: Vec<(CropId, f64)> = ranked
            .iter()
            .filter(|candidate| !raises(candidate))
            .filter_map(|candidate| match candidate.parts.as_slice() {
                [only] if knowledge.crops[only.crop].role == Role::Cover => {
                    let care = if candidate.standing == Standing::WithCare { CARE } else { 1.0 };
                    Some((only.crop, care * candidate.worth.map_or(0.0, |worth| worth.likely)))
                }
                _ => None,
            })
            .collect();
        let best = worths.iter().map(|(_, worth)| *worth).fold(0.0, f64::max);
        for (rank, (crop, worth)) in worths.iter().enumerate() {
            // Where the goal gives nothing to tell them apart by, the order of the ranking does.
            let serves =
                if best > 0.0 { (worth / best).max(0.05) } else { 1.0 / (rank + 1) as f64 };
            let at = covers.iter().position(|known| known.crop == *crop).unwrap_or_else(|| {
                covers.push(CoverAtHand { crop: *crop, serves: [0.0; SEASONS] });
                covers.len() - 1
            });
            covers[at].serves[season] = serves;
        }
    }
    covers
}
