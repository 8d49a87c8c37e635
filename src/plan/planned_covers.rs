//! What each cover of a plan does in its own gap: asked of `advise::cover` with the crop after it.

use super::model::Beds;
use super::outcome::PlannedCover;
use crate::advise::cover::{Gap, Question, candidates};
use crate::knowledge::{CropId, Role};
use crate::season::Date;

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
        let to = next.map_or(offer.cleared, |next| next.planted);
        let question = Question {
            gap: Gap { from: offer.planted, to },
            next: next.map(|next| next.crop),
            next_method: next.map(|next| next.method),
            goal: None,
        };
        let garden = beds.planted(place, &path[..at]);
        let at = &beds.places[place].place;
        let ranked = candidates(knowledge, shared.policy, &garden, at, question, MOST);
        let alone: Vec<CropId> = ranked
            .iter()
            .filter_map(|candidate| match candidate.parts.as_slice() {
                [only] => Some(only.crop),
                _ => None,
            })
            .collect();
        let rank = alone.iter().position(|crop| *crop == offer.crop);
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
            best: alone.first().copied().filter(|best| *best != offer.crop),
        });
    }
    found
}
