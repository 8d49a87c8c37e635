//! plant, care or wait, and how several reasons make one verdict.

use super::Judge;
use super::evidence::{Evidence, MissingNote};
use super::reason::{Effect, Reason, RuleId};
use crate::knowledge::{Citation, How};
use crate::season::Date;

/// What to do with a proposal. The order is from free to barred.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Go ahead.
    Plant,
    /// Possible, with a risk that is named.
    Care,
    /// Not before a date, or not at all.
    Wait,
}

impl Verdict {
    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Plant => "plant",
            Self::Care => "care",
            Self::Wait => "wait",
        }
    }
}

/// How far an answer may be relied on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Confidence {
    /// Little.
    Low,
    /// Middling.
    Moderate,
    /// Much.
    High,
}

impl Confidence {
    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Low => "low",
            Self::Moderate => "moderate",
            Self::High => "high",
        }
    }

    /// So many steps less sure.
    fn lowered(self, steps: usize) -> Self {
        match (self as usize).saturating_sub(steps) {
            0 => Self::Low,
            1 => Self::Moderate,
            _ => Self::High,
        }
    }
}

pub(super) struct Outcome {
    pub(super) verdict: Verdict,
    pub(super) earliest: Option<Date>,
    pub(super) clears_by_waiting: bool,
}

/// The strictest reason decides; the latest end of all waits is the earliest day.
pub(super) fn combine(on: Date, reasons: &[Reason]) -> Outcome {
    let verdict =
        reasons.iter().map(|reason| reason.effect.verdict()).max().unwrap_or(Verdict::Plant);
    let waits = reasons.iter().filter_map(|reason| match reason.effect {
        Effect::Wait { until } => Some(until),
        Effect::Care { .. }
        | Effect::Allows
        | Effect::Helps
        | Effect::YieldOnly
        | Effect::NoBearing
        | Effect::Unknown => None,
    });
    let mut earliest = Some(on);
    for until in waits {
        earliest = match (earliest, until) {
            (Some(earliest), Some(until)) => Some(earliest.max(until)),
            _ => None,
        };
    }
    Outcome { verdict, earliest, clears_by_waiting: earliest.is_some() }
}

/// The order in which reasons are read: what decides first.
pub(super) fn weight(reason: &Reason) -> (u8, RuleId) {
    let rank = match reason.effect {
        Effect::Wait { until: None } => 0,
        Effect::Wait { .. } => 1,
        Effect::Care { .. } => 2,
        Effect::Unknown => 3,
        Effect::Helps => 4,
        Effect::Allows => 5,
        Effect::YieldOnly => 6,
        Effect::NoBearing => 7,
    };
    (rank, reason.rule)
}

/// The confidence of the deciding reasons; unknown history caps an otherwise free verdict.
pub(super) fn confidence(outcome: &Outcome, reasons: &[Reason]) -> Confidence {
    let deciding = reasons
        .iter()
        .filter(|reason| reason.effect.verdict() == outcome.verdict)
        // What bears on the yield alone does not make a verdict surer or less sure.
        .filter(|reason| reason.effect != Effect::YieldOnly)
        // A season that is not known is said, and weighs in the range of the yield.
        .filter(|reason| reason.rule != RuleId::Season || reason.effect != Effect::Unknown)
        .map(|reason| reason.certainty);
    let history_unknown = reasons.iter().any(|reason| {
        reason.evidence.iter().any(|evidence| {
            matches!(evidence, Evidence::Missing(MissingNote::HistoryBefore { .. }))
        })
    });
    match outcome.verdict {
        // One sound reason to wait is enough.
        Verdict::Wait => deciding.max().unwrap_or(Confidence::Low),
        Verdict::Care => deciding.max().unwrap_or(Confidence::Moderate),
        // A free verdict is only as good as the weakest thing it rests on.
        Verdict::Plant => {
            let weakest = deciding.min().unwrap_or(Confidence::High);
            if history_unknown { weakest.min(Confidence::Moderate) } else { weakest }
        }
    }
}

/// How sure a fact makes a reason: by how it is known, less where only documents say it that bear
/// less.
pub(super) fn sure_of(judge: &Judge<'_, '_>, citation: &Citation) -> Confidence {
    let known = match citation.how {
        How::Read => Confidence::High,
        How::CommonPractice | How::Computed => Confidence::Moderate,
        How::Memory => return Confidence::Low,
    };
    match judge.knowledge.sources.weak_only(citation) {
        Some(_) => known.lowered(judge.policy.weak_source_steps),
        None => known,
    }
}
