//! What rules on the garden as a whole ask for, summed up bed by bed: small, whatever the size of
//! the garden, and the same in whatever order the beds come.

use super::rules::{Gaps, Legumes, Shares};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::Date;

/// The sums over the records taken in so far.
#[derive(Debug)]
pub struct Sums {
    pub(super) shares: Shares,
    pub(super) gaps: Gaps,
    pub(super) legumes: Legumes,
}

impl Sums {
    /// Nothing yet; of the records that a finding names, so many are kept.
    pub(super) fn keeping(most: usize) -> Self {
        Self { shares: Shares::keeping(most), gaps: Gaps::default(), legumes: Legumes::default() }
    }

    /// Takes in the records of some beds.
    pub(super) fn take(
        &mut self,
        knowledge: &Knowledge,
        policy: &Policy,
        garden: &Garden,
        today: Date,
    ) {
        self.shares.take(knowledge, garden, today);
        self.gaps.take(knowledge, garden, today);
        self.legumes.take(knowledge, policy, garden, today);
    }

    /// Takes in what was summed up elsewhere.
    pub(super) fn join(&mut self, other: Self) {
        self.shares.join(other.shares);
        self.gaps.join(&other.gaps);
        self.legumes.join(other.legumes);
    }
}
