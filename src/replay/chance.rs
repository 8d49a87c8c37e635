//! From a dose with its range to the chance that a grower sees the disease.
//!
//! The dose q says what share 1 - exp(-q) of a susceptible crop falls sick, plant by plant, so a
//! look at n plants finds at least one with the chance 1 - exp(-n q). What is not known of q (its
//! range holds nine cases of ten) and how far a season lets it show are both factors: their
//! logarithms are spread, and the chance is the mean over them, each value of q weighed by how well
//! it agrees with the looks that found nothing. Nothing here is fitted to outcomes.

use crate::estimate::Estimate;
use crate::policy::Policy;
use crate::sample::normal_quantile;

/// Share of cases below the low end of a range, and above the high one.
const TAIL: f64 = 0.05;
/// Points at which the mean over a factor is taken, each standing for as many cases.
const POINTS: usize = 9;

/// Values that stand for equally many cases of something that is not known.
pub(super) type Points = [f64; POINTS];

/// Values that stand for equally many cases of a range: below the likely value its logarithm is
/// spread as the low end says, above it as the high end says.
#[must_use]
pub(super) fn points(range: Estimate) -> Points {
    /// An end at nothing is taken for this part of the other: logarithms have no nought.
    const LEAST: f64 = 1e-3;
    let likely = range.likely.max(range.high * LEAST);
    if likely <= 0.0 {
        return [0.0; POINTS];
    }
    let low = range.low.max(likely * LEAST);
    let reach = normal_quantile(1.0 - TAIL);
    std::array::from_fn(|at| {
        let z = normal_quantile((at as f64 + 0.5) / POINTS as f64) / reach;
        let end = if z < 0.0 { likely / low } else { range.high / likely };
        likely * end.powf(z)
    })
}

/// The dose that costs a share of a crop.
#[must_use]
pub(super) fn dose_of(loss: Estimate) -> Estimate {
    loss.map(|loss| -(1.0 - loss.clamp(0.0, 0.999)).ln())
}

/// What a look at a crop finds.
#[derive(Clone, Debug)]
pub(super) struct Look {
    seasons: Points,
    most_plants: f64,
}

impl Look {
    /// By the policy's seasons and the plants that a look takes in.
    pub(super) fn of(policy: &Policy) -> Self {
        Self { seasons: points(policy.season_of_disease), most_plants: policy.plants_looked_at }
    }

    /// The chance that a dose shows on at least one of so many plants.
    pub(super) fn finds(&self, plants: Option<i64>, dose: f64) -> f64 {
        let plants =
            plants.map_or(self.most_plants, |plants| (plants as f64).clamp(1.0, self.most_plants));
        let spared: f64 = self.seasons.iter().map(|season| (-plants * dose * season).exp()).sum();
        1.0 - spared / self.seasons.len() as f64
    }

    /// The same for doses that stand for equally many cases.
    pub(super) fn finds_at(&self, plants: Option<i64>, doses: &Points) -> Points {
        doses.map(|dose| self.finds(plants, dose))
    }
}

/// The chance that at least one of several things happens, each by itself.
#[must_use]
pub(super) fn at_least_one(chances: impl IntoIterator<Item = f64>) -> f64 {
    1.0 - chances.into_iter().map(|chance| 1.0 - chance).product::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A policy under which only the plants looked at matter.
    fn plain() -> Policy {
        Policy { season_of_disease: Estimate::ONE, plants_looked_at: 20.0, ..Policy::default() }
    }

    fn chance_seen(policy: &Policy, loss: Estimate, plants: Option<i64>) -> f64 {
        let seen = Look::of(policy).finds_at(plants, &points(dose_of(loss)));
        seen.iter().sum::<f64>() / seen.len() as f64
    }

    #[test]
    fn a_known_dose_shows_on_at_least_one_of_the_plants() {
        let policy = plain();
        let five_percent = Estimate::exact(0.05);
        // Twenty plants, each healthy at 95 %.
        let chance = chance_seen(&policy, five_percent, None);
        assert!((chance - (1.0 - 0.95_f64.powi(20))).abs() < 1e-9, "{chance}");
        let three = chance_seen(&policy, five_percent, Some(3));
        assert!((three - (1.0 - 0.95_f64.powi(3))).abs() < 1e-9, "{three}");
    }

    #[test]
    fn what_is_not_known_draws_a_high_chance_down_and_a_low_one_up() {
        let policy = plain();
        let wide = |likely: f64| Estimate::new(likely / 30.0, likely, (likely * 30.0).min(0.99));
        assert!(
            chance_seen(&policy, wide(0.3), None)
                < chance_seen(&policy, Estimate::exact(0.3), None)
        );
        let low = 0.002;
        assert!(
            chance_seen(&policy, wide(low), None)
                > chance_seen(&policy, Estimate::exact(low), None)
        );
    }

    #[test]
    fn more_disease_is_never_less_likely_seen() {
        let policy = Policy::default();
        let mut last = 0.0;
        for step in 0..50 {
            let loss = f64::from(step) / 50.0;
            let chance =
                chance_seen(&policy, Estimate::new(loss / 3.0, loss, (loss * 2.0).min(1.0)), None);
            assert!(chance >= last && chance <= 1.0, "{loss}: {chance}");
            last = chance;
        }
    }

    #[test]
    fn nothing_is_never_found() {
        assert!(chance_seen(&Policy::default(), Estimate::ZERO, None).abs() < 1e-12);
    }

    #[test]
    fn two_halves_make_three_quarters() {
        assert!((at_least_one([0.5, 0.5]) - 0.75).abs() < 1e-12);
        assert!(at_least_one([]).abs() < 1e-12);
    }
}
