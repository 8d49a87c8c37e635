//! What a garden has seen so far: how many of its plantings fell sick, and how many of a disease
//! that their bed had not on record.
//!
//! Only plantings that are cleared count, sick or healthy alike: sickness shows sooner than
//! health, and counting it sooner would make a garden look sicker than it is. A new disease is the
//! less likely the more plantings a bed has had looked at without one: what it has not shown to
//! many crops it hardly holds. So the garden's rate is that of beds nobody has looked at yet, and
//! each planting adds to the ground it rests on as much as its bed could still have shown.

use std::collections::BTreeMap;

use crate::policy::Policy;

/// Plantings scored so far.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Experience {
    /// Those that count as known before the first record, sick and healthy.
    before: (f64, f64),
    /// Plantings without a new disease after which one is half as likely.
    halves_after: f64,
    scored: usize,
    sick: usize,
    sick_of_new: usize,
    /// Plantings, each by the part of a new bed's chance that its bed still had.
    unseen: f64,
    /// Plantings of each bed that brought no new disease.
    without_new: BTreeMap<Box<str>, usize>,
}

impl Experience {
    /// None yet.
    pub(super) fn none(policy: &Policy) -> Self {
        Self {
            before: (policy.plantings_known_sick, policy.plantings_known_healthy),
            halves_after: policy.new_disease_halves_after,
            scored: 0,
            sick: 0,
            sick_of_new: 0,
            unseen: 0.0,
            without_new: BTreeMap::new(),
        }
    }

    /// One more planting of a bed: whether it fell sick, and whether of a disease new to the bed.
    pub(super) fn learn(&mut self, bed: &str, sick: bool, of_new: bool) {
        self.unseen += self.part(bed);
        self.scored += 1;
        self.sick += usize::from(sick);
        self.sick_of_new += usize::from(of_new);
        if !of_new {
            *self.without_new.entry(bed.into()).or_default() += 1;
        }
    }

    /// Share that fell sick.
    pub(super) fn base_rate(&self) -> f64 {
        let (sick, healthy) = self.before;
        (sick + self.sick as f64) / (sick + healthy + self.scored as f64)
    }

    /// Chance that a planting falls sick of a disease new to its bed.
    pub(super) fn new_disease(&self, bed: &str) -> f64 {
        let (sick, healthy) = self.before;
        let of_a_new_bed = (sick + self.sick_of_new as f64) / (sick + healthy + self.unseen);
        (of_a_new_bed * self.part(bed)).min(1.0)
    }

    /// Part of a new bed's chance that a bed still has.
    fn part(&self, bed: &str) -> f64 {
        let looked_at = self.without_new.get(bed).copied().unwrap_or_default() as f64;
        self.halves_after / (self.halves_after + looked_at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bed_that_stayed_free_of_new_diseases_is_half_as_likely_to_bring_one() {
        let policy = Policy { new_disease_halves_after: 3.0, ..Policy::default() };
        let mut experience = Experience::none(&policy);
        for _ in 0..3 {
            experience.learn("old", false, false);
        }
        let (old, new) = (experience.new_disease("old"), experience.new_disease("new"));
        assert!((old / new - 0.5).abs() < 1e-12, "{old} {new}");
    }

    #[test]
    fn the_base_rate_is_the_share_that_fell_sick() {
        let policy =
            Policy { plantings_known_sick: 0.0, plantings_known_healthy: 0.0, ..Policy::default() };
        let mut experience = Experience::none(&policy);
        for at in 0..10 {
            experience.learn("bed", at < 3, at < 2);
        }
        assert!((experience.base_rate() - 0.3).abs() < 1e-12);
    }
}
