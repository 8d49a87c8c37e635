//! What each disease of a place would cost a proposal, one figure a pathogen: what the reasons of
//! a judgment rest on, for those who hold it against what came.

use super::disease::one;
use super::{Judge, Proposal};
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, PathogenId};
use crate::policy::Policy;
use crate::state::{BedState, Presence};

/// What a disease would cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DiseaseLoss {
    /// The disease.
    pub pathogen: PathogenId,
    /// Why it is held to be here.
    pub presence: Presence,
    /// Share of the proposed crop lost, 0 to 1, as if it were surely here.
    pub loss: Estimate,
}

/// What the diseases on record at a place would cost a proposal; those that do not stay with the
/// bed, and those that do not take the crop, are left out. A disease may stand twice: seen here,
/// and seen beside it.
#[must_use]
pub fn disease_losses(
    knowledge: &Knowledge,
    policy: &Policy,
    state: &BedState<'_>,
    proposal: &Proposal,
) -> Vec<DiseaseLoss> {
    let judge = Judge { knowledge, policy, state, proposal };
    state
        .inocula()
        .filter(|inoculum| knowledge.pathogens[inoculum.pathogen].is_bound_to_bed())
        .map(|inoculum| DiseaseLoss {
            pathogen: inoculum.pathogen,
            presence: inoculum.presence,
            loss: one(&judge, inoculum).yield_fraction.map(|fraction| 1.0 - fraction),
        })
        .filter(|disease| disease.loss.high > 0.0)
        .collect()
}
