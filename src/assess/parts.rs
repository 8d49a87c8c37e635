//! The reasons of a judgment kind by kind, for those who ask for one kind and not for the verdict.

use super::reason::Reason;
use super::{Judge, Proposal, disease, nutrients, return_time, sequence, verdict};
use crate::state::BedState;
use crate::state::nutrients::need;

/// A judgment of which each part is worked out when it is asked for. Reasons of one kind stand in
/// the order in which [`super::assess`] has them.
#[derive(Clone, Copy)]
pub struct Parts<'a, 'g>(Judge<'a, 'g>);

impl<'a, 'g> Parts<'a, 'g> {
    /// The judgment of a proposal against the state of a place.
    #[must_use]
    pub fn of(state: &'a BedState<'g>, proposal: &'a Proposal) -> Self {
        Self(Judge { knowledge: state.knowledge(), policy: state.policy(), state, proposal })
    }

    /// What diseases that were seen and named give, one reason a pathogen.
    #[must_use]
    pub fn disease(self) -> Vec<Reason> {
        let mut reasons = disease::reasons(&self.0);
        reasons.sort_by_key(verdict::weight);
        reasons
    }

    /// The same crop or family too soon.
    #[must_use]
    pub fn return_time(self) -> Option<Reason> {
        return_time::reasons(&self.0)
    }

    /// Good and bad predecessors, and residues that are not ready.
    #[must_use]
    pub fn sequence(self) -> Vec<Reason> {
        let Judge { knowledge, policy, proposal, .. } = self.0;
        let books_count = need(knowledge, policy, proposal.crop).is_some();
        let mut reasons = sequence::reasons(&self.0, books_count);
        reasons.sort_by_key(verdict::weight);
        reasons
    }

    /// What the bed feeds the crop; `None` for one that is not fed or of which nothing is published.
    #[must_use]
    pub fn nutrients(self) -> Option<Reason> {
        nutrients::books(&self.0).map(|books| nutrients::reason(&self.0, &books))
    }
}
