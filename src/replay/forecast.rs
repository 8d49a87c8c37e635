//! What would have been said of a planting on the morning of its day.

use super::chance::{at_least_one, chance_seen};
use super::experience::Experience;
use crate::assess::{Assessment, Proposal, assess, disease_losses};
use crate::knowledge::{Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Garden, Planting};
use crate::season::add_days;
use crate::state::{BedState, Presence};

/// The chance that a disease on record is seen on a planting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiseaseChance {
    /// The disease.
    pub pathogen: PathogenId,
    /// Chance, 0 to 1.
    pub chance: f64,
    /// Whether it is only one of the causes that an unknown disease may have had; its chance to
    /// be that cause is in `chance`.
    pub candidate: bool,
}

/// What would have been said of a planting on the morning of its day, from earlier records only.
#[derive(Clone, Debug)]
pub struct Forecast {
    /// Chance that a disease of the bed is named on it, 0 to 1.
    pub chance: f64,
    /// The diseases on record that may come again, by pathogen.
    pub diseases: Vec<DiseaseChance>,
    /// Chance that a disease comes that this bed has not on record, from what the garden has seen
    /// so far.
    pub new_disease: f64,
    /// Share of all plantings scored so far that fell sick: the forecast of somebody who knows
    /// the garden and no bed.
    pub base_rate: f64,
    /// The judgment, with its reasons.
    pub assessment: Assessment,
}

impl Forecast {
    /// The chance of one disease on record; nothing if it is not on record here.
    #[must_use]
    pub fn of(&self, pathogen: PathogenId) -> Option<f64> {
        self.diseases.iter().find(|one| one.pathogen == pathogen).map(|one| one.chance)
    }
}

/// The proposal that a planting was on its day.
#[must_use]
pub fn proposal_of(planting: &Planting) -> Proposal {
    Proposal {
        method: planting.method,
        resistance: planting.resistance.clone(),
        rootstock: planting.rootstock.clone(),
        ..Proposal::of(planting.crop, planting.planted())
    }
}

/// The forecast for a planting. `known` are the records as they stood on its morning, and
/// `experience` what had come of earlier plantings by then.
#[must_use]
pub(super) fn forecast(
    knowledge: &Knowledge,
    policy: &Policy,
    known: &Garden,
    experience: &Experience,
    planting: &Planting,
) -> Forecast {
    let proposal = proposal_of(planting);
    let eve = add_days(planting.planted(), -1.0);
    let state = BedState::at(known, knowledge, policy, &planting.place, eve);
    let diseases = disease_chances(knowledge, policy, &state, &proposal, planting.plants);
    let sure = diseases.iter().filter(|one| !one.candidate).map(|one| one.chance);
    // Only one of the causes of an unknown disease is the true one: their chances add up.
    let candidates: f64 = diseases.iter().filter(|one| one.candidate).map(|one| one.chance).sum();
    let new_disease = experience.new_disease(&planting.place.bed);
    Forecast {
        chance: at_least_one(sure.chain([candidates.min(1.0), new_disease])),
        new_disease,
        base_rate: experience.base_rate(),
        assessment: assess(knowledge, policy, &state, &proposal),
        diseases,
    }
}

/// The chances of the diseases on record, one a pathogen.
fn disease_chances(
    knowledge: &Knowledge,
    policy: &Policy,
    state: &BedState<'_>,
    proposal: &Proposal,
    plants: Option<i64>,
) -> Vec<DiseaseChance> {
    let mut chances: Vec<DiseaseChance> = Vec::new();
    for disease in disease_losses(knowledge, policy, state, proposal) {
        let seen = chance_seen(policy, disease.loss, plants);
        let (chance, candidate) = match disease.presence {
            Presence::Candidate(cause) => (seen * cause, true),
            Presence::Sighted(_) | Presence::Beside => (seen, false),
        };
        match chances.last_mut() {
            // Seen here and beside: the greater chance counts.
            Some(known) if known.pathogen == disease.pathogen => {
                known.chance = known.chance.max(chance);
            }
            _ => chances.push(DiseaseChance { pathogen: disease.pathogen, chance, candidate }),
        }
    }
    chances
}
