//! A bed and what its soil holds, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use crate::estimate::Estimate;
use crate::policy::Policy;
use crate::season::Date;
use crate::state::{BedState, DoseEvent, Presence};

/// What the soil of a place holds of one pathogen.
#[derive(Clone, Debug, Serialize)]
pub struct InoculumJson {
    /// Pathogen key.
    pub pathogen: String,
    /// sighted, candidate or beside.
    pub presence: &'static str,
    /// Chance of a candidate.
    pub chance: Option<f64>,
    /// Dose: a susceptible crop loses 1 - exp(-dose).
    pub dose: Estimate,
    /// Half-life without a host, years.
    pub half_life_years: Estimate,
    /// Day from which years without a host count.
    pub hostless_since: Date,
    /// Day from which a susceptible crop would likely lose less than makes a host wait; null if
    /// further off than a lifetime.
    pub below_wait: Option<Date>,
    /// The same for what asks for care.
    pub below_care: Option<Date>,
    /// Records that made the dose, oldest first.
    pub records: Vec<String>,
}

/// A bed or section.
#[derive(Clone, Debug, Serialize)]
pub struct BedJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Day.
    pub on: Date,
    /// First day on record.
    pub known_from: Option<Date>,
    /// Keys of the crops that stand.
    pub standing: Vec<String>,
    /// What the soil holds.
    pub inocula: Vec<InoculumJson>,
}

/// A place for going out.
#[must_use]
pub fn bed(phrases: Phrases<'_>, policy: &Policy, state: &BedState<'_>) -> BedJson {
    let knowledge = phrases.knowledge;
    BedJson {
        format: FORMAT,
        bed: state.place.bed.to_string(),
        section: state.place.section.as_deref().map(str::to_owned),
        on: state.date,
        known_from: state.known_from,
        standing: state
            .standing()
            .map(|planting| knowledge.crops[planting.crop].key.to_string())
            .collect(),
        inocula: state
            .inocula()
            .map(|inoculum| {
                let (presence, chance) = match inoculum.presence {
                    Presence::Sighted(_) => ("sighted", None),
                    Presence::Candidate(chance) => ("candidate", Some(chance)),
                    Presence::Beside => ("beside", None),
                };
                InoculumJson {
                    pathogen: knowledge.pathogens[inoculum.pathogen].key.to_string(),
                    presence,
                    chance,
                    dose: inoculum.dose,
                    half_life_years: inoculum.half_life.years(),
                    hostless_since: inoculum.hostless_since,
                    below_wait: inoculum.below(state.date, policy.wait_loss).likely,
                    below_care: inoculum.below(state.date, policy.care_loss).likely,
                    records: inoculum.steps.iter().map(|step| record(&step.event)).collect(),
                }
            })
            .collect(),
    }
}

/// Where the record of a step stands.
fn record(event: &DoseEvent<'_>) -> String {
    match event {
        DoseEvent::Sighting(seen) | DoseEvent::Healthy(seen) => seen.origin.to_string(),
        DoseEvent::Season(planting, _) | DoseEvent::Suppressed(planting, _) => {
            planting.origin.to_string()
        }
        DoseEvent::Treated(treatment, _) => treatment.origin.to_string(),
    }
}
