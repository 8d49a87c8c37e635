//! A disease of unknown cause against the crop proposed: the mixture of the causes it may have.
//!
//! Each cause is judged as if it were surely the one; the chances of those that bar the crop add
//! up. Above a share (policy `mixture_wait`) the crop waits until enough of them have let go; above
//! a smaller one it is care. Only one cause is true, so their losses are weighed, not multiplied.

use super::Judge;
use super::disease::one;
use super::evidence::{Evidence, FigureNote, MissingNote};
use super::reason::{Claim, Effect, Reason, RuleId};
use super::verdict::{Confidence, Verdict};
use crate::estimate::Estimate;
use crate::knowledge::PathogenId;
use crate::season::Date;
use crate::state::Presence;

/// One cause with what it would mean.
struct Cause {
    pathogen: PathogenId,
    chance: f64,
    reason: Reason,
}

/// The reason that an unknown disease gives, if there is one on record.
pub(super) fn reason(judge: &Judge<'_, '_>) -> Option<Reason> {
    let mut causes: Vec<Cause> = judge
        .state
        .inocula()
        .filter_map(|inoculum| match inoculum.presence {
            Presence::Candidate(chance) => {
                Some(Cause { pathogen: inoculum.pathogen, chance, reason: one(judge, inoculum) })
            }
            Presence::Sighted(_) | Presence::Beside => None,
        })
        .collect();
    let episode = judge.state.episodes().last()?;
    causes.sort_by(|a, b| b.chance.total_cmp(&a.chance).then(a.pathogen.cmp(&b.pathogen)));
    let chance_of = |wanted: Verdict| -> f64 {
        causes
            .iter()
            .filter(|cause| cause.reason.effect.verdict() >= wanted && touches(&cause.reason))
            .map(|cause| cause.chance)
            .sum()
    };
    let (barred, minded) = (chance_of(Verdict::Wait), chance_of(Verdict::Care));
    let policy = judge.policy;
    let effect = if barred >= policy.mixture_wait {
        Effect::Wait { until: until(&causes, policy.mixture_wait) }
    } else if minded >= policy.mixture_care {
        Effect::Care { until: None }
    } else {
        Effect::Allows
    };
    Some(Reason {
        rule: RuleId::UnknownDisease,
        claim: Claim::UnknownDisease { seen: episode.last()?, crop: judge.proposal.crop, barred },
        effect,
        yield_fraction: loss(judge, &causes).map(|loss| 1.0 - loss),
        certainty: Confidence::Low,
        evidence: evidence(judge, &causes),
    })
}

/// Whether a reason speaks of a crop that may suffer or keep the pathogen, and not of one that
/// nobody has tested: what is not known of a crop under a cause that is not known holds nothing.
fn touches(reason: &Reason) -> bool {
    match reason.claim {
        Claim::Disease { status, .. } => status.keeps_it(),
        Claim::NotOfTheBed { .. }
        | Claim::UnknownDisease { .. }
        | Claim::Return { .. }
        | Claim::Predecessor { .. }
        | Claim::ResidueNotReady { .. }
        | Claim::ManureToHarvest { .. }
        | Claim::NitrogenShort { .. }
        | Claim::NitrogenEnough { .. }
        | Claim::Grafted { .. }
        | Claim::Season { .. }
        | Claim::HistoryUnknown { .. } => false,
    }
}

/// The day from which the causes that still bar the crop weigh less than a share; `None` if those
/// that waiting does not clear weigh as much.
fn until(causes: &[Cause], share: f64) -> Option<Date> {
    let mut ends: Vec<(Date, f64)> = Vec::new();
    let mut lasting = 0.0;
    for cause in causes.iter().filter(|cause| touches(&cause.reason)) {
        match cause.reason.effect {
            Effect::Wait { until: Some(until) } => ends.push((until, cause.chance)),
            Effect::Wait { until: None } => lasting += cause.chance,
            Effect::Care { .. }
            | Effect::Allows
            | Effect::Helps
            | Effect::NoBearing
            | Effect::YieldOnly
            | Effect::Unknown => {}
        }
    }
    if lasting >= share {
        return None;
    }
    ends.sort_by_key(|(until, _)| *until);
    let mut left: f64 = lasting + ends.iter().map(|(_, chance)| chance).sum::<f64>();
    for (until, chance) in ends {
        left -= chance;
        if left < share {
            return Some(until);
        }
    }
    None
}

/// The share of the crop that the causes would cost: likely, each by its chance; at best the true
/// one spares the crop; at worst it is the worst of those that are not far-fetched.
fn loss(judge: &Judge<'_, '_>, causes: &[Cause]) -> Estimate {
    let (mut likely, mut high) = (0.0, 0.0_f64);
    for cause in causes {
        let loss = cause.reason.yield_fraction.map(|fraction| 1.0 - fraction);
        likely += cause.chance * loss.likely;
        if cause.chance >= judge.policy.far_fetched && touches(&cause.reason) {
            high = high.max(loss.high);
        }
    }
    Estimate::new(0.0, likely.min(1.0), high.max(likely).min(1.0))
}

/// The notes, the likeliest causes with what each would mean, the facts of the likeliest that bars
/// the crop, and the check that would tell most.
fn evidence(judge: &Judge<'_, '_>, causes: &[Cause]) -> Vec<Evidence> {
    /// Causes told one by one.
    const TOLD: usize = 5;
    let mut leaves = Vec::new();
    let Some(episode) = judge.state.episodes().last() else { return leaves };
    for note in episode.notes.iter().rev().take(2).rev() {
        leaves.push(Evidence::sighting(note));
    }
    for cause in causes.iter().take(TOLD) {
        leaves.push(Evidence::Figure(FigureNote::CauseWouldMean {
            pathogen: cause.pathogen,
            chance: cause.chance,
            effect: cause.reason.effect,
        }));
    }
    let barring = causes
        .iter()
        .find(|cause| cause.reason.effect.verdict() > Verdict::Plant && touches(&cause.reason));
    if let Some(cause) = barring {
        let facts = cause.reason.evidence.iter().filter(|leaf| matches!(leaf, Evidence::Fact(..)));
        leaves.extend(facts.take(2).cloned());
    }
    if let Some(check) = episode.checks.first() {
        let field_check = check.field_check.clone();
        leaves.push(Evidence::Missing(MissingNote::Cause { field_check }));
    }
    leaves
}
