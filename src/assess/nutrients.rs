//! What the bed feeds the crop: need against supply in time, as a part of the yield to expect.
//!
//! It never makes a verdict by itself: what is short can be put on. A legume before a hungry crop is
//! worth what its nitrogen adds where nitrogen is short, and nothing where it is plenty; that follows
//! from the response and is not a bonus. Where nothing was tested the range is wide and the reason
//! names the record that would narrow it.

use super::Judge;
use super::evidence::{Evidence, FactNote, FigureNote, MissingNote, RecordNote};
use super::reason::{Claim, Effect, Reason, RuleId};
use super::verdict::Confidence;
use crate::estimate::Estimate;
use crate::season::years_between;
use crate::state::nutrients::{Feeding, feeding};

/// What the books say of the crop proposed; `None` where its need is not known.
pub(super) fn books(judge: &Judge<'_, '_>) -> Option<Feeding> {
    let ledger = judge.state.nutrients();
    feeding(judge.knowledge, judge.policy, ledger, judge.proposal.crop, judge.proposal.on)
}

/// Adds the reason, and takes the yield out of predecessor statements that rest on nutrients: the
/// same nitrogen is not counted twice.
pub(super) fn weigh(judge: &Judge<'_, '_>, feeding: Option<&Feeding>, reasons: &mut Vec<Reason>) {
    let Some(feeding) = feeding else { return };
    for reason in reasons.iter_mut() {
        if let Claim::Predecessor { reason: why, .. } = &reason.claim
            && &**why == "nutrients"
        {
            reason.yield_fraction = Estimate::ONE;
        }
    }
    reasons.push(reason(judge, feeding));
}

pub(super) fn reason(judge: &Judge<'_, '_>, feeding: &Feeding) -> Reason {
    let (need, within_reach) = (feeding.need.from_soil(), feeding.within_reach);
    let claim = if feeding.is_short() {
        Claim::NitrogenShort { need, within_reach, shortfall: feeding.shortfall }
    } else {
        Claim::NitrogenEnough { need, within_reach }
    };
    let ledger = judge.state.nutrients();
    let fact = FactNote::NitrogenNeed {
        crop: feeding.crop,
        grams: feeding.need.grams[0],
        basis: feeding.need.basis,
        fixed_share: feeding.need.fixed_share,
    };
    let mut evidence = Vec::new();
    if let Some(citation) = &feeding.need.citation {
        evidence.push(Evidence::Fact(fact, citation.clone()));
    }
    evidence.push(Evidence::Figure(FigureNote::NitrogenSupply(Box::new(feeding.supply))));
    let worth = feeding.yield_fraction.likely - feeding.without_legume.likely;
    if worth > 0.005 {
        evidence.push(Evidence::Figure(FigureNote::LegumeWorth {
            without: feeding.without_legume.likely,
            with: feeding.yield_fraction.likely,
        }));
    }
    let last = ledger.last_test.as_ref();
    if let Some((origin, date)) = last {
        evidence.push(Evidence::Record(origin.clone(), RecordNote::SoilTest { date: *date }));
    }
    let fresh = last.is_some_and(|(_, date)| {
        years_between(*date, judge.proposal.on) <= judge.policy.soil_test_years
    });
    if !fresh {
        let last = last.map(|(_, date)| *date);
        evidence.push(Evidence::Missing(MissingNote::SoilTest { last }));
    }
    if let Some(unbooked) = ledger.unbooked.last() {
        evidence.push(Evidence::Missing(MissingNote::AmendmentAmount {
            date: unbooked.date,
            material: unbooked.material.clone(),
        }));
    }
    if !ledger.rain_is_known() {
        evidence.push(Evidence::Missing(MissingNote::Rain));
    }
    Reason {
        rule: RuleId::NutrientSupply,
        claim,
        effect: Effect::YieldOnly,
        yield_fraction: feeding.yield_fraction,
        certainty: if fresh { Confidence::Moderate } else { Confidence::Low },
        evidence,
    }
}
