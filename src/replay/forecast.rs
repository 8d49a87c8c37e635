//! What would have been said of a planting on the morning of its day.

use super::chance::{Look, at_least_one};
use super::experience::Experience;
use super::on_record;
use crate::assess::{Assessment, Proposal, assess, disease_losses};
use crate::estimate::Estimate;
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
    /// What is on record here by name, whether or not it takes the planting.
    pub on_record: Vec<PathogenId>,
    /// Chance that something on record was misnamed and its true cause comes again.
    pub misnamed: f64,
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

/// What forecasts of a garden are made with.
#[derive(Debug)]
pub(super) struct Forecaster<'k> {
    knowledge: &'k Knowledge,
    policy: &'k Policy,
    at_face_value: Policy,
    look: Look,
}

impl<'k> Forecaster<'k> {
    /// By the tables and the policy.
    pub(super) fn new(knowledge: &'k Knowledge, policy: &'k Policy) -> Self {
        let at_face_value = on_record::at_face_value(policy);
        Self { knowledge, policy, at_face_value, look: Look::of(policy) }
    }

    /// The forecast for a planting. `known` are the records as they stood on its morning, and
    /// `experience` what had come of earlier plantings by then.
    pub(super) fn forecast(
        &self,
        known: &Garden,
        experience: &mut Experience<'_>,
        planting: &Planting,
    ) -> Forecast {
        let Self { knowledge, policy, at_face_value, .. } = self;
        let proposal = proposal_of(planting);
        let eve = add_days(planting.planted(), -1.0);
        let taken = BedState::at(known, knowledge, at_face_value, &planting.place, eve);
        let chances = self.chances(experience, &taken, &proposal, planting);
        let on_record: Vec<PathogenId> = taken
            .inocula()
            .filter(|inoculum| !matches!(inoculum.presence, Presence::Candidate(_)))
            .map(|inoculum| inoculum.pathogen)
            .collect();
        let sure = chances.iter().filter(|one| !one.disease.candidate);
        let sure = sure.map(|one| one.disease.chance + one.misnamed);
        // Only one of the causes of an unknown disease is the true one: their chances add up.
        let candidates: f64 =
            chances.iter().filter(|one| one.disease.candidate).map(|one| one.disease.chance).sum();
        let new_disease = experience.new_disease(planting, &on_record);
        let state = BedState::at(known, knowledge, policy, &planting.place, eve);
        Forecast {
            chance: at_least_one(sure.chain([candidates.min(1.0), new_disease])),
            misnamed: at_least_one(chances.iter().map(|one| one.misnamed)),
            new_disease,
            base_rate: experience.base_rate(1.0),
            assessment: assess(knowledge, policy, &state, &proposal),
            diseases: chances
                .into_iter()
                .map(|one| one.disease)
                .filter(|disease| disease.chance > 0.0)
                .collect(),
            on_record,
        }
    }

    /// The chances of the diseases on record, one a pathogen.
    fn chances(
        &self,
        experience: &mut Experience<'_>,
        state: &BedState<'_>,
        proposal: &Proposal,
        planting: &Planting,
    ) -> Vec<Chances> {
        let losses = disease_losses(self.knowledge, &self.at_face_value, state, proposal);
        let mut chances: Vec<Chances> = Vec::new();
        for inoculum in state.inocula() {
            if !self.knowledge.pathogens[inoculum.pathogen].is_bound_to_bed() {
                continue;
            }
            let loss = losses
                .iter()
                .find(|loss| {
                    loss.pathogen == inoculum.pathogen && loss.presence == inoculum.presence
                })
                .map_or(Estimate::ZERO, |loss| loss.loss);
            let seen = on_record::seen(
                self.policy,
                &self.look,
                experience,
                state,
                inoculum,
                loss,
                planting,
            );
            let (chance, candidate) = match inoculum.presence {
                Presence::Candidate(cause) => (seen.named * cause, true),
                Presence::Sighted(_) | Presence::Beside => (seen.named, false),
            };
            match chances.last_mut() {
                // Seen here and beside: the greater chance counts.
                Some(known) if known.disease.pathogen == inoculum.pathogen => {
                    known.disease.chance = known.disease.chance.max(chance);
                }
                _ => chances.push(Chances {
                    disease: DiseaseChance { pathogen: inoculum.pathogen, chance, candidate },
                    misnamed: seen.misnamed,
                }),
            }
        }
        chances
    }
}

/// The chances of one pathogen on record.
struct Chances {
    disease: DiseaseChance,
    misnamed: f64,
}
