//! The past played again: what would have been said on the morning of each planting, from the
//! records before it only, held against what was then seen.
//!
//! A forecast is the chance that a disease of the bed is named on the planting: by the doses on
//! record, or by one that the bed has not on record yet, as often as this garden has seen that so
//! far. The reference is the base rate: the share of this garden's earlier plantings that fell
//! sick, whatever their bed. What nobody looked at is not scored, and told.

mod by_disease;
mod chance;
mod experience;
mod forecast;
mod harvests;
mod on_record;
mod outcome;
mod past;
mod score;

pub use by_disease::DiseaseScore;
pub use forecast::{DiseaseChance, Forecast, proposal_of};
pub use harvests::{HarvestCase, HarvestScore, HarvestsSay, PartScore, YieldPart, picked};
pub use outcome::{Outcome, Unscored, outcome};
pub use past::Past;
pub use score::{Case, Class, Score};

use crate::assess::Verdict;
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, Role};
use crate::policy::Policy;
use crate::records::{Garden, Planting};
use crate::sample;
use crate::season::Date;
use crate::state::certainty_weight;
use experience::{Experience, Lesson};
use forecast::Forecaster;

/// A planting with its forecast and what became of it.
#[derive(Clone, Debug)]
pub struct Replayed<'g> {
    /// The planting.
    pub planting: &'g Planting,
    /// What would have been said on its morning.
    pub forecast: Forecast,
    /// What became of it.
    pub outcome: Outcome<'g>,
}

impl Replayed<'_> {
    /// Square of chance less outcome; `None` if it cannot be scored.
    #[must_use]
    pub fn error(&self) -> Option<f64> {
        let came = self.outcome.came()?;
        Some((self.forecast.chance - f64::from(u8::from(came))).powi(2))
    }
}

/// How plantings of one verdict fared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VerdictScore {
    /// The verdict of their morning.
    pub verdict: Verdict,
    /// Plantings scored.
    pub scored: usize,
    /// Those that fell sick.
    pub sick: usize,
    /// The share, with its exact interval (95 %).
    pub share: Estimate,
}

/// A garden's past played again.
#[derive(Clone, Debug)]
pub struct Replay<'g> {
    /// Every planting that was sown or set out by the day, by day planted.
    pub plantings: Vec<Replayed<'g>>,
    /// The score of those that can be scored; `None` if there are none.
    pub score: Option<Score>,
    /// The score if all that nobody looked at had been healthy; `None` if all were looked at.
    pub if_unseen_healthy: Option<Score>,
    /// By disease, most often seen first.
    pub diseases: Vec<DiseaseScore>,
    /// By verdict.
    pub verdicts: Vec<VerdictScore>,
    /// Expected harvests against picked ones.
    pub harvests: Option<HarvestScore<'g>>,
}

/// Plays a garden's past up to a day. The records must be in the order of [`Garden::sort`].
#[must_use]
pub fn replay<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    today: Date,
) -> Replay<'g> {
    let plantings = forecasts(knowledge, policy, garden, today);
    let case = |one: &Replayed<'_>, came: bool| Case {
        chance: one.forecast.chance,
        reference: one.forecast.base_rate,
        came,
    };
    let scored: Vec<Case> =
        plantings.iter().filter_map(|one| Some(case(one, one.outcome.came()?))).collect();
    let with_unseen: Vec<Case> = plantings
        .iter()
        .filter_map(|one| match one.outcome {
            Outcome::Open(Unscored::NotLookedAt) => Some(case(one, false)),
            _ => Some(case(one, one.outcome.came()?)),
        })
        .collect();
    let more = with_unseen.len() > scored.len();
    Replay {
        score: Score::of(&scored),
        if_unseen_healthy: if more { Score::of(&with_unseen) } else { None },
        diseases: by_disease::by_disease(knowledge, policy, &plantings, today),
        verdicts: verdicts(&plantings),
        harvests: harvests::harvest_score(
            garden,
            |crop| knowledge.crops[crop].role,
            &plantings,
            today,
        ),
        plantings,
    }
}

impl<'g> Replay<'g> {
    /// How many plantings were left open for a reason.
    #[must_use]
    pub fn left_open(&self, why: Unscored) -> usize {
        self.plantings.iter().filter(|one| one.outcome == Outcome::Open(why)).count()
    }

    /// Plantings scored as sick of which the cause was only suspected.
    #[must_use]
    pub fn suspected(&self) -> usize {
        self.plantings.iter().filter(|one| one.outcome.is_suspected()).count()
    }

    /// The forecasts that were furthest off, the worst first.
    #[must_use]
    pub fn worst(&self, most: usize) -> Vec<&Replayed<'g>> {
        /// A chance on the right side of one half is no miss.
        const MISS: f64 = 0.25;
        let mut missed: Vec<(f64, &Replayed<'g>)> = self
            .plantings
            .iter()
            .filter_map(|one| Some((one.error()?, one)))
            .filter(|(error, _)| *error > MISS)
            .collect();
        missed.sort_by(|a, b| {
            b.0.total_cmp(&a.0).then_with(|| a.1.planting.origin.cmp(&b.1.planting.origin))
        });
        missed.into_iter().take(most).map(|(_, one)| one).collect()
    }
}

/// The forecast of every planting, with its outcome.
fn forecasts<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    today: Date,
) -> Vec<Replayed<'g>> {
    let mut past = Past::of(garden);
    let forecaster = Forecaster::new(knowledge, policy);
    let mut experience = Experience::none(knowledge, policy);
    let mut replayed: Vec<Replayed<'g>> = Vec::new();
    // Cleared plantings whose outcome is not learnt yet, by the day they were cleared.
    let mut cleared: Vec<(Date, usize)> = Vec::new();
    for planting in &garden.plantings {
        let on = planting.planted();
        let is_planted = on <= today
            && !planting.is_volunteer()
            && !matches!(knowledge.crops[planting.crop].role, Role::Fungus | Role::Weed);
        if !is_planted {
            continue;
        }
        cleared.retain(|(end, at)| {
            let known = *end < on;
            let one = &replayed[*at];
            if known {
                match lesson(policy, one) {
                    Some(lesson) => experience.learn(&lesson),
                    None if one.outcome == Outcome::Open(Unscored::NotLookedAt) => {
                        experience.learn_of_none();
                    }
                    None => {}
                }
            }
            !known
        });
        let known = past.on_morning(on);
        let forecast = forecaster.forecast(known, &mut experience, planting);
        let outcome = outcome(garden, knowledge, policy, planting, today);
        if let Some(end) = planting.stood.end {
            cleared.push((end, replayed.len()));
        }
        replayed.push(Replayed { planting, forecast, outcome });
    }
    replayed
}

/// What a cleared planting teaches, if it can be scored.
fn lesson<'a>(policy: &Policy, one: &'a Replayed<'_>) -> Option<Lesson<'a>> {
    let sick = one.outcome.came()?;
    let named = match &one.outcome {
        Outcome::Sick(named) => named
            .iter()
            .map(|(pathogen, seen)| (*pathogen, certainty_weight(policy, seen.certainty)))
            .collect(),
        Outcome::Healthy(_) | Outcome::Open(_) => Vec::new(),
    };
    let on_record = &one.forecast.on_record;
    Some(Lesson { planting: one.planting, sick, named, on_record })
}

fn verdicts(plantings: &[Replayed<'_>]) -> Vec<VerdictScore> {
    [Verdict::Plant, Verdict::Care, Verdict::Wait]
        .into_iter()
        .map(|verdict| {
            let outcomes: Vec<bool> = plantings
                .iter()
                .filter(|one| one.forecast.assessment.verdict == verdict)
                .filter_map(|one| one.outcome.came())
                .collect();
            let sick = outcomes.iter().filter(|came| **came).count();
            VerdictScore {
                verdict,
                scored: outcomes.len(),
                sick,
                share: sample::share(sick, outcomes.len()),
            }
        })
        .collect()
}
