//! Judging one proposed planting: may this crop follow here on this day, how sure is that, why,
//! and what would change it.

mod changes;
mod disease;
mod evidence;
mod graft;
mod in_season;
mod interval;
mod losses;
mod manure;
mod mixture;
mod nutrients;
mod parts;
mod reason;
mod recorded;
mod resisted;
mod return_time;
pub mod season;
mod sequence;
mod soil_first;
mod verdict;

pub use changes::{Change, What, changes};
pub use disease::{Suffered, suffered};
pub use evidence::{Evidence, FactNote, FigureNote, MissingNote, RecordNote};
pub use interval::Spans;
pub use losses::{DiseaseLoss, disease_losses};
pub use parts::Parts;
pub use reason::{Claim, Effect, Left, Reason, RuleId, SeasonClaim};
pub use return_time::{ReturnTime, counts_as_relative, return_time};
pub use verdict::{Confidence, Verdict};

use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::Date;
use crate::state::BedState;

/// A planting that somebody thinks of.
#[derive(Clone, Debug, PartialEq)]
pub struct Proposal {
    /// The crop.
    pub crop: CropId,
    /// Day of sowing or setting out.
    pub on: Date,
    /// Sown or set out, if known.
    pub method: Option<Method>,
    /// Resistance codes of the seed trade, or the word `resistant`.
    pub resistance: Box<str>,
    /// Rootstock, if grafted.
    pub rootstock: Box<str>,
    /// First day of harvest, if it is known better than from the crop's usual days.
    pub harvest: Option<Date>,
    /// Words of the variety: small or large fruit, the length of day an onion bulbs in.
    pub variety: Box<str>,
}

impl Proposal {
    /// A crop on a day, nothing more said.
    #[must_use]
    pub fn of(crop: CropId, on: Date) -> Self {
        Self {
            crop,
            on,
            method: None,
            resistance: Box::default(),
            rootstock: Box::default(),
            harvest: None,
            variety: Box::default(),
        }
    }
}

/// The judgment of a proposal.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// What was proposed.
    pub proposal: Proposal,
    /// plant, care or wait.
    pub verdict: Verdict,
    /// First day on which the verdict is no longer wait; the proposal's own day if it is not;
    /// `None` if waiting does not clear it.
    pub earliest: Option<Date>,
    /// Whether waiting alone leads out of the wait; true if there is none.
    pub clears_by_waiting: bool,
    /// Yield relative to the same crop on a clean, well-rotated bed: the product of disease,
    /// return, sequence, graft, nutrients and season.
    pub expected_yield: Estimate,
    /// How far the answer may be relied on.
    pub confidence: Confidence,
    /// Why, what weighs most first.
    pub reasons: Vec<Reason>,
}

/// Judges a proposal against the state of a place. The state is that of the proposal's day, or of
/// an earlier one (then nothing that happens between is known).
#[must_use]
pub fn assess(
    knowledge: &Knowledge,
    policy: &Policy,
    state: &BedState<'_>,
    proposal: &Proposal,
) -> Assessment {
    let judge = Judge { knowledge, policy, state, proposal };
    let mut reasons = disease::reasons(&judge);
    reasons.extend(mixture::reason(&judge));
    let disease_seen = reasons.iter().any(|reason| matches!(reason.claim, Claim::Disease { .. }));
    reasons.extend(return_time::reasons(&judge));
    let books = nutrients::books(&judge);
    reasons.extend(sequence::reasons(&judge, books.is_some()));
    reasons.extend(manure::reasons(&judge));
    reasons.extend(graft::reason(&judge, disease_seen));
    reasons.extend(unknown_history(&judge, disease_seen));
    nutrients::weigh(&judge, books.as_ref(), &mut reasons);
    reasons.push(in_season::reason(&judge, &reasons));
    let outcome = verdict::combine(proposal.on, &reasons);
    let expected_yield = reasons
        .iter()
        .map(|reason| reason.yield_fraction)
        .fold(Estimate::ONE, |product, factor| product * factor);
    let expected_yield = expected_yield * background(&judge);
    reasons.sort_by_key(verdict::weight);
    let confidence = verdict::confidence(&outcome, &reasons);
    Assessment {
        proposal: proposal.clone(),
        verdict: outcome.verdict,
        earliest: outcome.earliest,
        clears_by_waiting: outcome.clears_by_waiting,
        expected_yield,
        confidence,
        reasons,
    }
}

/// All that the judging functions look at.
#[derive(Clone, Copy)]
pub(crate) struct Judge<'a, 'g> {
    pub(crate) knowledge: &'a Knowledge,
    pub(crate) policy: &'a Policy,
    pub(crate) state: &'a BedState<'g>,
    pub(crate) proposal: &'a Proposal,
}

/// Disease that nobody noted: where a host of the proposal's diseases stood and nothing was
/// written, a small background is presumed, never a clean bed.
fn background(judge: &Judge<'_, '_>) -> Estimate {
    judge.policy.presumed_background.map(|loss| 1.0 - loss)
}

/// Records that begin late leave the time before unknown.
fn unknown_history(judge: &Judge<'_, '_>, disease_seen: bool) -> Option<Reason> {
    let from = judge.state.known_from;
    let years = from.map_or(0.0, |from| crate::season::years_between(from, judge.proposal.on));
    if years >= judge.policy.known_history_years || (disease_seen && years > 1.0) {
        return None;
    }
    Some(Reason {
        rule: RuleId::HistoryUnknown,
        claim: Claim::HistoryUnknown { from },
        effect: Effect::Unknown,
        yield_fraction: Estimate::ONE,
        certainty: Confidence::Moderate,
        evidence: vec![Evidence::Missing(MissingNote::HistoryBefore { from })],
    })
}
