//! The dose of one pathogen in a place over the years: what the records say of the past, what is to
//! be expected without a host.

use super::super::evidence::lowered_words;
use super::super::words;
use super::Material;
use super::sheet::Span;
use crate::estimate::Estimate;
use crate::season::{Date, add_days};
use crate::state::{BedState, DoseEvent, Inoculum, Presence};

/// Candidates less likely than this are the business of `diagnose`.
const LEAST_CHANCE: f64 = 0.15;
/// Days between two points of the expected course.
const STEP_DAYS: f64 = 61.0;

/// The loss of a susceptible crop on a day.
#[derive(Clone, Debug)]
pub struct DosePoint {
    /// The day.
    pub on: Date,
    /// Share of a susceptible crop that would be lost.
    pub loss: Estimate,
    /// What was seen or happened; blank for an expected day.
    pub text: String,
    /// File and line; blank for an expected day.
    pub record: String,
}

/// The log of one pathogen.
#[derive(Clone, Debug)]
pub struct DoseLog {
    /// The disease.
    pub disease: String,
    /// Why it is held to be here.
    pub presence: String,
    /// What the records say, by day.
    pub past: Vec<DosePoint>,
    /// What is to be expected without a host, from today on.
    pub expected: Vec<DosePoint>,
    /// Loss from which a crop waits.
    pub wait_from: f64,
    /// Loss from which care is advised.
    pub care_from: f64,
    /// The same in one sentence.
    pub sentence: String,
}

fn loss(dose: Estimate) -> Estimate {
    dose.map(|dose| 1.0 - (-dose).exp())
}

/// The logs of a place: pathogens that stay with the bed, seen ones first.
pub(super) fn logs(material: &Material<'_, '_>, span: Span, state: &BedState<'_>) -> Vec<DoseLog> {
    let rank = |inoculum: &&Inoculum<'_>| match inoculum.presence {
        Presence::Sighted(_) => (0, 0.0),
        Presence::Candidate(chance) => (1, -chance),
        Presence::Beside => (2, 0.0),
    };
    let mut told: Vec<&Inoculum<'_>> = state
        .inocula()
        .filter(|one| material.phrases.knowledge.pathogens[one.pathogen].is_bound_to_bed())
        .filter(|one| !matches!(one.presence, Presence::Candidate(chance) if chance < LEAST_CHANCE))
        .collect();
    told.sort_by(|a, b| {
        let ((a, less), (b, more)) = (rank(a), rank(b));
        a.cmp(&b).then(less.total_cmp(&more))
    });
    told.into_iter().map(|inoculum| log(material, span, inoculum)).collect()
}

fn log(material: &Material<'_, '_>, span: Span, inoculum: &Inoculum<'_>) -> DoseLog {
    let phrases = material.phrases;
    let past: Vec<DosePoint> = inoculum
        .steps
        .iter()
        .filter(|step| step.date >= span.from)
        .map(|step| {
            let (text, record) = match &step.event {
                DoseEvent::Sighting(seen) => {
                    (format!("seen: {}", phrases.seen(&seen.seen)), seen.origin.to_string())
                }
                DoseEvent::Season(planting, _) => (
                    format!("{} stood, nothing noted", phrases.crop(planting.crop)),
                    planting.origin.to_string(),
                ),
                DoseEvent::Healthy(seen) => (
                    seen.crop.map_or("found healthy".to_owned(), |crop| {
                        format!("{} found healthy", phrases.crop(crop))
                    }),
                    seen.origin.to_string(),
                ),
                DoseEvent::Suppressed(planting, left) => (
                    format!(
                        "{}{}",
                        phrases.crop(planting.crop),
                        lowered_words(phrases.units, left)
                    ),
                    planting.origin.to_string(),
                ),
                DoseEvent::Treated(treatment, left) => {
                    let practice = treatment.practice.0.replace('_', " ");
                    (
                        format!("{practice}{}", lowered_words(phrases.units, left)),
                        treatment.origin.to_string(),
                    )
                }
            };
            DosePoint { on: step.date, loss: loss(step.dose), text, record }
        })
        .collect();
    let mut expected = Vec::new();
    let mut day = span.today;
    while day <= span.to {
        expected.push(DosePoint {
            on: day,
            loss: inoculum.loss_at(span.today, day),
            text: String::new(),
            record: String::new(),
        });
        day = add_days(day, STEP_DAYS);
    }
    let disease = phrases.disease(inoculum.pathogen).to_owned();
    let presence = match inoculum.presence {
        Presence::Sighted(certainty) => match certainty {
            crate::records::Certainty::Suspected => "suspected here".to_owned(),
            crate::records::Certainty::FieldCheck => "found here by field check".to_owned(),
            crate::records::Certainty::Laboratory => "confirmed here by laboratory".to_owned(),
        },
        Presence::Candidate(chance) => {
            format!("one of the possible causes ({:.0} %)", chance * 100.0)
        }
        Presence::Beside => "seen in another section of this bed".to_owned(),
    };
    let half_life = inoculum.half_life.years();
    let (now, then) =
        (inoculum.loss_at(span.today, span.today), inoculum.loss_at(span.today, span.to));
    let sentence = format!(
        "{disease}, {presence}: a fully susceptible crop would lose {} today and {} on {} if no host \
         stands till then; half-life {} years, last host cleared {}.",
        words::percent_range(now),
        words::percent_range(then),
        span.to,
        words::range(half_life.low, half_life.high),
        inoculum.hostless_since,
    );
    DoseLog {
        disease,
        presence,
        past,
        expected,
        wait_from: material.policy.wait_loss,
        care_from: material.policy.care_loss,
        sentence,
    }
}
