//! How fast a pathogen dies away without a host.

use crate::estimate::Estimate;
use crate::knowledge::Pathogen;
use crate::policy::Policy;

/// A half-life with the way it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HalfLife {
    /// Published decay.
    Published(Estimate),
    /// From published survival: the share left at its end is policy.
    FromSurvival(Estimate),
    /// Neither is published.
    Unknown(Estimate),
}

impl HalfLife {
    /// The half-life in years.
    #[must_use]
    pub fn years(self) -> Estimate {
        match self {
            Self::Published(years) | Self::FromSurvival(years) | Self::Unknown(years) => years,
        }
    }
}

/// Half-life of a pathogen's inoculum without a host. Published decay comes first; where survival
/// is published too and lasts longer than that decay allows, the range is widened to hold both.
/// An open end of survival ("indefinitely") doubles the upper end.
#[must_use]
pub fn half_life(pathogen: &Pathogen, policy: &Policy) -> HalfLife {
    let halvings = -policy.left_at_end_of_survival.log2();
    let survival = pathogen.survival_years.filter(|years| years.high > 0.0).map(|years| {
        let years = years.map(|years| (years / halvings).max(0.01));
        let open = if pathogen.survival_open { 2.0 } else { 1.0 };
        Estimate::new(years.low, years.likely, years.high * open)
    });
    match (pathogen.half_life_years, survival) {
        (Some(decay), Some(survival)) => HalfLife::Published(Estimate::new(
            decay.low.min(survival.low),
            decay.likely,
            decay.high.max(survival.high),
        )),
        (Some(decay), None) => HalfLife::Published(decay),
        (None, Some(survival)) => HalfLife::FromSurvival(survival),
        (None, None) => HalfLife::Unknown(policy.half_life_unknown),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    /// Wallenhammar 1996 (clubroot, one Swedish field): half-life 3.6 years and 17.3 years to fall
    /// below detection. With 5 % left at the end, 17.3 years give a half-life of 4.0.
    #[test]
    fn clubroot_decays_as_published() {
        let knowledge = Knowledge::embedded();
        let clubroot = knowledge.pathogens.find("plasmodiophora_brassicae").expect("a row");
        let years = half_life(&knowledge.pathogens[clubroot], &Policy::default()).years();
        assert!(years.brackets(3.6), "{years:?}");
        let policy = Policy::default();
        assert!((17.3 / -policy.left_at_end_of_survival.log2() - 4.0).abs() < 0.01);
    }
}
