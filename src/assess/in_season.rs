//! The season as a reason: whether a start on the day ripens here, and what it leaves of the yield.
//!
//! What the season forbids waits until a day on which nothing forbids it: a wrong start costs a
//! season. Where no day of the year is free of it, a day on which an early kind in a warm year gives a poor
//! crop is care. Where other reasons wait first, the day they end is asked too, since a bed that is free
//! in autumn is no place for a tomato until spring. A cover need not ripen: what would cut it short
//! is care. The normals of the site are asked, never days that were measured: a judgment looks
//! ahead.

use super::Judge;
use super::evidence::{Evidence, FactNote, FigureNote, MissingNote};
use super::reason::{Claim, Effect, Reason, RuleId, SeasonClaim};
use super::season::{
    Hazard, HazardEffect, HazardKind, Kind, Outlook, SeasonAnswer, Start, outlook,
};
use super::verdict::{Confidence, Verdict, sure_of};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Role};
use crate::season::{Date, years_between};

/// The reason of the season; `reasons` are all others.
pub(super) fn reason(judge: &Judge<'_, '_>, reasons: &[Reason]) -> Reason {
    let Some(climate) = &judge.state.climate else {
        let crop = judge.proposal.crop;
        return unknown(crop, SeasonClaim::NoClimate, MissingNote::Climate, Estimate::ONE);
    };
    let proposal = judge.proposal;
    let crop = &judge.knowledge.crops[proposal.crop];
    let days = climate.normal_days(judge.policy, proposal.on);
    let found = outlook(
        judge.knowledge,
        judge.policy,
        &days,
        Start {
            crop: proposal.crop,
            kind: Kind::of(&crop.key, &proposal.variety),
            method: proposal.method,
            on: proposal.on,
        },
        // A wait that nobody plans for is not moved by weeks.
        others_end(proposal.on, reasons)
            .filter(|end| years_between(proposal.on, *end) <= judge.policy.as_good_as_never_years),
    );
    if !found.answer.needs.are_known() {
        let missing = MissingNote::Growth { crop: proposal.crop };
        let yields = judge.policy.season_without_figures;
        return unknown(proposal.crop, SeasonClaim::NoFigures, missing, yields);
    }
    let yield_fraction = found.answer.leaves.whole();
    let is_cover = crop.role == Role::Cover;
    let (claim, effect) = claim(judge, &found, is_cover);
    let certainty = deciding(&found.answer)
        .and_then(|hazard| hazard.citation)
        .map_or(Confidence::Moderate, |citation| {
            sure_of(judge, citation).min(Confidence::Moderate)
        });
    Reason {
        rule: RuleId::Season,
        claim: Claim::Season { crop: proposal.crop, season: claim },
        effect,
        yield_fraction,
        certainty,
        evidence: evidence(&found.answer, is_cover),
    }
}

/// The day on which all other waits end; `None` if one has no end.
fn others_end(on: Date, reasons: &[Reason]) -> Option<Date> {
    reasons.iter().try_fold(on, |latest, reason| match reason.effect {
        Effect::Wait { until } => until.map(|until| until.max(latest)),
        Effect::Care { .. }
        | Effect::Allows
        | Effect::Helps
        | Effect::YieldOnly
        | Effect::NoBearing
        | Effect::Unknown => Some(latest),
    })
}

fn claim(judge: &Judge<'_, '_>, found: &Outlook<'_>, is_cover: bool) -> (SeasonClaim, Effect) {
    let answer = &found.answer;
    let first = answer.course.first_harvest;
    let opens = found.opens.map(|opening| opening.first);
    if let Some(hazard) = deciding(answer) {
        let by = hazard.kind;
        let is_marginal = found.opens.is_some_and(|opening| opening.is_marginal);
        if is_marginal && opens == Some(judge.proposal.on) {
            return (SeasonClaim::Marginal { by, first }, Effect::Care { until: None });
        }
        let comes_up = !matches!(
            by,
            HazardKind::SoilTooCold { .. }
                | HazardKind::SoilTooHot { .. }
                | HazardKind::SlowToEmerge { .. }
        );
        let effect = if is_cover && comes_up {
            Effect::Care { until: opens }
        } else {
            Effect::Wait { until: opens }
        };
        return (SeasonClaim::Shut { by, opens, is_marginal }, effect);
    }
    if let Some(free) = found.asked_again
        && opens != Some(free)
        && !is_cover
    {
        return (SeasonClaim::OverByThen { free, opens }, Effect::Wait { until: opens });
    }
    let claim = match first.likely {
        Some(_) => SeasonClaim::Ripens { first, last: answer.course.last_harvest },
        None => SeasonClaim::Establishes,
    };
    let effect = if answer.leaves.whole().likely < judge.policy.season_care_yield {
        Effect::Care { until: None }
    } else {
        Effect::YieldOnly
    };
    (claim, effect)
}

/// The hazard that shuts the day out.
fn deciding<'h, 'k>(answer: &'h SeasonAnswer<'k>) -> Option<&'h Hazard<'k>> {
    answer.hazards.iter().find(|hazard| hazard.effect == HazardEffect::Forbids)
}

fn evidence(answer: &SeasonAnswer<'_>, is_cover: bool) -> Vec<Evidence> {
    let mut leaves = Vec::new();
    if let Some(days) = answer.needs.maturity_days
        && !is_cover
    {
        let note = FactNote::Days { crop: answer.needs.crop, days: days.value };
        leaves.push(Evidence::Fact(note, days.citation.clone()));
    }
    for hazard in answer.hazards.iter().filter(|hazard| hazard.effect != HazardEffect::Tells) {
        leaves.push(match hazard.citation {
            Some(citation) => {
                Evidence::Fact(FactNote::SeasonLimit { hazard: hazard.kind }, citation.clone())
            }
            None => Evidence::Figure(FigureNote::SeasonHazard { hazard: hazard.kind }),
        });
    }
    // What leaves the whole yield needs no parts, but a reason has a leaf.
    if answer.leaves.whole().low < 0.995 || leaves.is_empty() {
        leaves.push(Evidence::Figure(FigureNote::SeasonYield(answer.leaves)));
    }
    if answer.needs.growth_at(15.0).is_none() {
        leaves.push(Evidence::Missing(MissingNote::Growth { crop: answer.needs.crop }));
    }
    leaves
}

fn unknown(
    crop: CropId,
    season: SeasonClaim,
    missing: MissingNote,
    yield_fraction: Estimate,
) -> Reason {
    Reason {
        rule: RuleId::Season,
        claim: Claim::Season { crop, season },
        effect: Effect::Unknown,
        yield_fraction,
        certainty: Confidence::Low,
        evidence: vec![Evidence::Missing(missing)],
    }
}

/// The day to which a proposal moves when nothing but the season bars it.
pub(super) fn opens_later(reasons: &[Reason]) -> Option<Date> {
    let mut waits = reasons.iter().filter(|reason| reason.effect.verdict() == Verdict::Wait);
    match (waits.next(), waits.next()) {
        (Some(reason), None) if reason.rule == RuleId::Season => reason.effect.until(),
        _ => None,
    }
}
