//! Raw manure and the days to harvest: food safety, by the published days from incorporation to
//! harvest for crops whose edible part touches the soil and for others.

use super::Judge;
use super::evidence::{Evidence, FactNote, FigureNote};
use super::reason::{Claim, Effect, Reason, RuleId};
use super::verdict::{Confidence, sure_of};
use crate::estimate::Estimate;
use crate::season::add_days;

pub(super) fn reasons(judge: &Judge<'_, '_>) -> Option<Reason> {
    let knowledge = judge.knowledge;
    let crop = &knowledge.crops[judge.proposal.crop];
    if crop.edible_part.is_empty() {
        return None;
    }
    let last = judge.state.amendments.iter().rev().find(|amendment| {
        knowledge.materials.find(&amendment.material).is_some_and(|row| &*row.kind == "manure_raw")
            && amendment.date <= judge.proposal.on
    })?;
    // The cautious rule of those that mean this crop: the longest days.
    let row = knowledge
        .sequences
        .after_material("raw_manure", judge.proposal.crop)
        .filter(|row| row.wait_days.is_some())
        .max_by(|a, b| {
            let days = |wait: Option<Estimate>| wait.map_or(0.0, |wait| wait.low);
            days(a.wait_days).total_cmp(&days(b.wait_days))
        })?;
    let needed = row.wait_days?.low;
    let usual = knowledge
        .crop_figures(judge.proposal.crop, "days_to_maturity_min")
        .first()
        .and_then(|figure| Some((figure.range?, figure.citation.clone())));
    let harvest = match (judge.proposal.harvest, &usual) {
        (Some(harvest), _) => harvest,
        (None, Some((days, _))) => add_days(judge.proposal.on, days.low),
        (None, None) => judge.proposal.on,
    };
    let days = (harvest - last.date).num_days();
    if (days as f64) >= needed {
        return None;
    }
    let grows = (harvest - judge.proposal.on).num_days();
    let until = add_days(last.date, needed - grows as f64);
    let mut evidence = vec![
        Evidence::amendment(last),
        Evidence::Fact(super::sequence::note(row), row.citation.clone()),
    ];
    if judge.proposal.harvest.is_none()
        && let Some((days, citation)) = usual
    {
        evidence.push(Evidence::Fact(FactNote::Days { crop: judge.proposal.crop, days }, citation));
    }
    evidence.push(Evidence::Figure(FigureNote::DaysToHarvest { days }));
    Some(Reason {
        rule: RuleId::ManureToHarvest,
        claim: Claim::ManureToHarvest { spread: last.date, days },
        effect: Effect::Wait { until: Some(until.max(judge.proposal.on)) },
        yield_fraction: Estimate::ONE,
        certainty: sure_of(judge, &row.citation).max(Confidence::Moderate),
        evidence,
    })
}
