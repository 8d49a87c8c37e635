//! The chance that a disease on record is seen on a planting.
//!
//! A name on record is right as often as its certainties say; else the cause was another one that
//! takes the crop on which it was seen, each as likely as this garden has it. Under every such cause
//! the dose is that of what was seen, carried on to the day, and each value of it, and each cause, is
//! weighed by the hosts that have stayed healthy since (Bayes). So one sighting that nothing
//! confirms weighs less with every healthy host, and a wrong name leaves a risk for crops that the
//! name spares.

use super::chance::{Look, Points, dose_of, points};
use super::experience::{Experience, Takes};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId};
use crate::policy::Policy;
use crate::records::{Observation, Planting};
use crate::state::{BedState, DoseEvent, Inoculum, Presence, certainty_weight};

/// What doses are if every name is right and no healthy crop has spoken yet: both are weighed here,
/// as chances.
pub(super) fn at_face_value(policy: &Policy) -> Policy {
    Policy {
        certainty_suspected: 1.0,
        certainty_field_check: 1.0,
        certainty_laboratory: 1.0,
        healthy_host_factor: 1.0,
        ..policy.clone()
    }
}

/// Chances of one inoculum on record.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Seen {
    /// That the disease named is seen.
    pub(super) named: f64,
    /// That it was misnamed and the true cause is seen.
    pub(super) misnamed: f64,
}

/// A healthy host since the disease was last seen.
struct HealthyHost {
    crop: CropId,
    plants: Option<i64>,
    /// The dose that it met, as a part of the dose of the day asked.
    part_of_dose: f64,
}

/// A cause with the chance that it was the one, before healthy hosts are asked.
struct Cause {
    chance: f64,
    /// How each healthy host takes it.
    hosts: Vec<Takes>,
    /// Chance that the planting takes it at all.
    takes: f64,
    /// Doses as it would then suffer them.
    suffered: Points,
}

/// The chances of an inoculum, taken at face value, for a planting that would lose a share to it.
pub(super) fn seen(
    policy: &Policy,
    look: &Look,
    experience: &mut Experience<'_>,
    state: &BedState<'_>,
    inoculum: &Inoculum<'_>,
    loss: Estimate,
    planting: &Planting,
) -> Seen {
    let dose = dose_of(inoculum.loss_at(state.date, planting.planted()));
    if dose.high <= 0.0 {
        return Seen { named: 0.0, misnamed: 0.0 };
    }
    let doses = points(dose);
    let sightings: Vec<&Observation> = sightings(inoculum);
    let hosts = healthy_hosts(state, inoculum, dose.likely);
    let right = match inoculum.presence {
        Presence::Candidate(_) => 1.0,
        Presence::Sighted(_) | Presence::Beside => {
            let weights = sightings.iter().map(|seen| certainty_weight(policy, seen.certainty));
            1.0 - weights.map(|weight| 1.0 - weight).product::<f64>()
        }
    };
    let takes = experience.takes(inoculum.pathogen, planting.crop);
    let named = Cause {
        chance: right,
        hosts: taken_by_hosts(experience, &hosts, inoculum.pathogen),
        takes: takes.chance,
        // What is lost in the mean is no part that each plant suffers, if few such crops take it.
        suffered: if takes.chance < 1.0 { doses } else { points(dose_of(loss)) },
    };
    let last = sightings.last().and_then(|seen| seen.crop);
    let mut others = match last {
        Some(crop) if right < 1.0 => {
            others(experience, &hosts, inoculum.pathogen, crop, planting.crop, &doses)
        }
        _ => Vec::new(),
    };
    let all: f64 = others.iter().map(|cause| cause.chance).sum();
    for cause in &mut others {
        cause.chance *= (1.0 - right) / all;
    }
    // No other cause is known: what was seen is nothing that could come again.
    let nothing = if others.is_empty() { 1.0 - right } else { 0.0 };
    let weigh = |cause: &Cause| weigh(look, &hosts, &doses, planting.plants, cause);
    let (named, named_holds) = weigh(&named);
    let (misnamed, misnamed_holds) = others
        .iter()
        .map(weigh)
        .fold((0.0, nothing), |(seen, holds), one| (seen + one.0, holds + one.1));
    let holds = named_holds + misnamed_holds;
    if holds <= 0.0 {
        return Seen { named: 0.0, misnamed: 0.0 };
    }
    Seen { named: named / holds, misnamed: misnamed / holds }
}

/// Chance that a cause was the one, that the healthy hosts stayed so, and that it is seen; and the
/// same without the last.
fn weigh(
    look: &Look,
    hosts: &[HealthyHost],
    doses: &Points,
    plants: Option<i64>,
    cause: &Cause,
) -> (f64, f64) {
    let (mut seen, mut holds) = (0.0, 0.0);
    for (dose, suffered) in doses.iter().zip(&cause.suffered) {
        let mut chance = cause.chance / doses.len() as f64;
        for (host, takes) in hosts.iter().zip(&cause.hosts) {
            let met = dose * host.part_of_dose * takes.part;
            chance *= 1.0 - takes.chance * look.finds(host.plants, met);
        }
        holds += chance;
        seen += chance * cause.takes * look.finds(plants, *suffered);
    }
    (seen, holds)
}

fn sightings<'g>(inoculum: &Inoculum<'g>) -> Vec<&'g Observation> {
    inoculum
        .steps
        .iter()
        .filter_map(|step| match step.event {
            DoseEvent::Sighting(seen) => Some(seen),
            DoseEvent::Season(..)
            | DoseEvent::Healthy(_)
            | DoseEvent::Suppressed(..)
            | DoseEvent::Treated(..) => None,
        })
        .collect()
}

/// The hosts that were found healthy since the disease was last seen.
fn healthy_hosts(state: &BedState<'_>, inoculum: &Inoculum<'_>, dose: f64) -> Vec<HealthyHost> {
    let last = inoculum
        .steps
        .iter()
        .rposition(|step| matches!(step.event, DoseEvent::Sighting(_)))
        .unwrap_or_default();
    inoculum.steps[last..]
        .iter()
        .filter_map(|step| {
            let DoseEvent::Healthy(seen) = step.event else { return None };
            let stood = state.plantings.iter().rfind(|planting| {
                Some(planting.crop) == seen.crop
                    && planting.place.bears_on(&seen.place)
                    && planting.stood.start <= seen.date
                    && planting.stood.end.is_none_or(|end| seen.date <= end)
            });
            Some(HealthyHost {
                crop: seen.crop?,
                plants: stood.and_then(|planting| planting.plants),
                part_of_dose: if dose > 0.0 { step.dose.likely / dose } else { 1.0 },
            })
        })
        .collect()
}

/// How each healthy host takes a disease.
fn taken_by_hosts(
    experience: &mut Experience<'_>,
    hosts: &[HealthyHost],
    pathogen: PathogenId,
) -> Vec<Takes> {
    hosts.iter().map(|host| experience.takes(pathogen, host.crop)).collect()
}

/// What else may have been seen on a crop, the like taken together.
fn others(
    experience: &mut Experience<'_>,
    hosts: &[HealthyHost],
    named: PathogenId,
    sighted: CropId,
    planted: CropId,
    doses: &Points,
) -> Vec<Cause> {
    let mut like: Vec<(Vec<Takes>, Takes, f64)> = Vec::new();
    for (pathogen, there) in experience.taken_by(sighted).iter() {
        if *pathogen == named {
            continue;
        }
        let chance = there.chance * there.part * experience.held(*pathogen);
        let here = experience.takes(*pathogen, planted);
        let by_hosts = taken_by_hosts(experience, hosts, *pathogen);
        match like.iter_mut().find(|(known, of, _)| {
            of.is_like(here) && known.iter().zip(&by_hosts).all(|(a, b)| a.is_like(*b))
        }) {
            Some((.., sum)) => *sum += chance,
            None => like.push((by_hosts, here, chance)),
        }
    }
    like.into_iter()
        .map(|(hosts, here, chance)| Cause {
            chance,
            hosts,
            takes: here.chance,
            suffered: doses.map(|dose| dose * here.part),
        })
        .collect()
}
