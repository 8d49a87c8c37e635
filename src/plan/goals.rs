//! Goals for the ground as a whole: how much of it, over the time of the plan, is under crops, and how
//! much under legumes.

use super::model::PlanPlace;
use super::outcome::{Goal, GoalKind};
use super::solve::{Instance, Wish};
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;

const DAYS_OF_HALF_MONTH: f64 = 365.25 / 24.0;

/// Ground and time, m2 times half-months.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct GroundTime {
    /// All there is.
    pub(super) all: f64,
    /// Under what the plan plants.
    pub(super) planted: f64,
    /// Under what stands already.
    pub(super) standing: f64,
    /// Of what the plan plants, under legumes.
    pub(super) planted_legumes: f64,
    /// Of what stands already, under legumes.
    pub(super) standing_legumes: f64,
}

impl GroundTime {
    /// That of an instance's places under a plan's sequences.
    pub(super) fn of(
        knowledge: &Knowledge,
        places: &[PlanPlace],
        instance: &Instance,
        paths: &[Vec<u32>],
    ) -> Self {
        let mut sum = Self::default();
        for (at, place) in places.iter().enumerate() {
            let area = place.area.0;
            sum.all += area * f64::from(instance.slots);
            let stands = area * f64::from(place.free);
            sum.standing += stands;
            if place.standing.iter().any(|standing| knowledge.crops[standing.crop].is_legume()) {
                sum.standing_legumes += stands;
            }
            // A legume between what stands counts by the ground it takes.
            for company in &place.company {
                let days = (company.cut - company.sown).num_days() as f64;
                sum.standing_legumes += company.area.0 * days / DAYS_OF_HALF_MONTH;
            }
            for choice in paths.get(at).into_iter().flatten() {
                let choice = &instance.places[at].choices[*choice as usize];
                let time = area * f64::from(choice.end - choice.start);
                sum.planted += time;
                if is_legume(knowledge, choice.crop) {
                    sum.planted_legumes += time;
                }
            }
        }
        sum
    }

    /// Share of all ground and time under any crop.
    pub(super) fn covered(&self) -> f64 {
        share(self.planted + self.standing, self.all)
    }

    /// Share of all ground and time under legumes.
    pub(super) fn legumes(&self) -> f64 {
        share(self.planted_legumes + self.standing_legumes, self.all)
    }

    /// Share of what the plan plants under legumes.
    pub(super) fn legumes_of_planted(&self) -> f64 {
        share(self.planted_legumes, self.planted)
    }
}

fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { (part / whole).min(1.0) } else { 0.0 }
}

/// A choice's crop goes by its number.
fn is_legume(knowledge: &Knowledge, crop: u32) -> bool {
    let crop: Option<CropId> =
        usize::try_from(crop).ok().and_then(|at| knowledge.crops.iter().nth(at)).map(|(id, _)| id);
    crop.is_some_and(|crop| knowledge.crops[crop].is_legume())
}

/// Adds goals to an instance as wishes, after all that are there.
pub(super) fn ask_for(
    knowledge: &Knowledge,
    policy: &Policy,
    places: &[PlanPlace],
    goals: &[Goal],
    instance: &mut Instance,
) {
    let begin = GroundTime::of(knowledge, places, instance, &[]);
    for goal in goals {
        let standing = match goal.kind {
            GoalKind::Covered => begin.standing,
            GoalKind::Legumes => begin.standing_legumes,
        };
        let number = u32::try_from(instance.wishes.len()).unwrap_or(u32::MAX);
        instance.wishes.push(Wish {
            worth: policy.plan_goal,
            wanted: (goal.share * begin.all - standing).max(0.0),
            beyond: 0.0,
        });
        for (place, choices) in places.iter().zip(&mut instance.places) {
            for choice in &mut choices.choices {
                let counts = match goal.kind {
                    GoalKind::Covered => true,
                    GoalKind::Legumes => is_legume(knowledge, choice.crop),
                };
                if counts {
                    let time = place.area.0 * f64::from(choice.end - choice.start);
                    choice.amounts.push((number, time));
                }
            }
        }
    }
}
