//! Grafted plants where no disease is on record: the stock changes growth also without one.

use super::Judge;
use super::evidence::{Evidence, FactNote};
use super::reason::{Claim, Effect, Reason, RuleId};
use super::verdict::{Confidence, sure_of};
use crate::estimate::Estimate;
use crate::knowledge::fold;

/// What a graft does in a bed where no disease is on record. Where one is, the stock is judged by
/// what it resists.
pub(super) fn reason(judge: &Judge<'_, '_>, disease_seen: bool) -> Option<Reason> {
    let rootstock = &judge.proposal.rootstock;
    if rootstock.is_empty() || disease_seen {
        return None;
    }
    let wanted = fold(rootstock);
    let row = judge
        .knowledge
        .rootstocks
        .rows()
        .iter()
        .find(|row| fold(&row.key) == wanted || fold(&row.name) == wanted);
    let evidence = row.map(|row| {
        let note = FactNote::Rootstock { name: row.name.clone(), limits: row.limits.clone() };
        Evidence::Fact(note, row.citation.clone())
    });
    // Trials of a stock on a few sites give its likely value; they do not rule out what grafts
    // cost or bring elsewhere.
    let usual = judge.policy.grafted_without_disease;
    let yield_fraction = row.and_then(|row| row.clean_yield).map_or(usual, |trial| {
        Estimate::new(usual.low, trial.likely, f64::midpoint(trial.likely, usual.high))
    });
    Some(Reason {
        rule: RuleId::Grafted,
        claim: Claim::Grafted { rootstock: rootstock.clone() },
        effect: Effect::Allows,
        yield_fraction,
        certainty: row.map_or(Confidence::Low, |row| sure_of(judge, &row.citation)),
        evidence: evidence.into_iter().collect(),
    })
}
