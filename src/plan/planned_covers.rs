//! What each cover of a plan does in its own gap: asked of `advise::cover` with the crop after it.

use super::model::Beds;
use super::outcome::PlannedCover;
use crate::advise::cover::{Gap, Question, candidates};
use crate::knowledge::{CropId, Role};
use crate::season::{Date, add_days};

/// Share of the best cover's worth from which another is as good: growth is not known any closer.
const AS_GOOD: f64 = 0.85;
/// Covers compared in a gap.
const MOST: usize = 60;

/// The covers of a place's sequence.
pub(super) fn covers_of(beds: &Beds<'_>, place: usize, path: &[u32]) -> Vec<PlannedCover> {
    let shared = beds.shared;
    let knowledge = shared.knowledge;
    let offers = &beds.made[place].offers;
    let mut found = Vec::new();
    for (at, choice) in path.iter().enumerate() {
        let offer = &offers[*choice as usize];
        if knowledge.crops[offer.crop].role != Role::Cover {
            continue;
        }
        let next = path.get(at + 1).map(|next| &offers[*next as usize]);
        // Where the plan ends before the cover does, it stands on.
        let stands_on = add_days(offer.planted, shared.policy.plan_cover_gap_days);
        let to = next.map_or(offer.cleared.max(stands_on), |next| next.planted);
        let question = Question {
            gap: Gap { from: offer.planted, to },
            next: next.map(|next| next.crop),
            next_method: next.map(|next| next.method),
            goal: None,
        };
        let garden = beds.planted(place, &path[..at]);
        let at = &beds.places[place].place;
        let most = (MOST, &beds.on_site);
        let ranked = candidates(knowledge, shared.policy, &garden, at, question, most);
        let alone: Vec<(CropId, f64)> = ranked
            .iter()
            .filter_map(|candidate| match candidate.parts.as_slice() {
                [only] => Some((only.crop, candidate.worth.map_or(0.0, |worth| worth.likely))),
                _ => None,
            })
            .collect();
        let rank = alone.iter().position(|(crop, _)| *crop == offer.crop);
        let own = rank.map_or(0.0, |rank| alone[rank].1);
        let best =
            alone.first().filter(|(best, worth)| *best != offer.crop && own < AS_GOOD * worth);
        let candidate = ranked.into_iter().find(
            |candidate| matches!(candidate.parts.as_slice(), [only] if only.crop == offer.crop),
        );
        let next: Option<(CropId, Date)> = next.map(|next| (next.crop, next.planted));
        found.push(PlannedCover {
            place: at.clone(),
            crop: offer.crop,
            sown: offer.planted,
            candidate,
            next,
            rank: rank.map(|rank| rank + 1),
            best: best.map(|(crop, worth)| (*crop, own / worth)),
        });
    }
    found
}
