//! Heat sums over days, with the spread of days about the normal.
//!
//! Degree-days have a kink at the base: counted on normals alone, days that would have been warm
//! by chance are lost, up to a fifth of the year's heat near the base. So a day's heat is the mean
//! over a normal spread of days. For the average method that mean has a closed form (the idea
//! behind Thom's degree-day work of the 1950s); for the others it is summed over the spread.

use super::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use super::normal::{density, share_below};
use crate::season::{Date, add_days};

/// Mean of what lies above a base, for a normal spread about a mean:
/// `s (z Phi(z) + phi(z))` with `z = (mean - base) / s`.
///
/// ```
/// use breakcrop::climate::heat::expected_above;
/// assert_eq!(expected_above(12.0, 0.0, 10.0), 2.0);
/// // A day that is at the base on average gives heat every other time.
/// assert!((expected_above(10.0, 2.5, 10.0) - 0.997).abs() < 1e-3);
/// ```
#[must_use]
pub fn expected_above(mean: f64, spread: f64, base: f64) -> f64 {
    if spread <= 0.0 {
        return (mean - base).max(0.0);
    }
    let z = (mean - base) / spread;
    spread * (z * share_below(z) + density(z))
}

/// Places of the spread at which a day is sampled, and their weights: Gauss-Hermite of seven
/// points (Abramowitz and Stegun 1964, table 25.10), for a standard normal.
const SAMPLES: [(f64, f64); 7] = [
    (-3.750_439_717_725_742, 0.000_548_268_855_972_22),
    (-2.366_759_410_734_541, 0.030_757_123_967_586_5),
    (-1.154_405_394_739_968, 0.240_123_178_605_012_7),
    (0.0, 0.457_142_857_142_857_1),
    (1.154_405_394_739_968, 0.240_123_178_605_012_7),
    (2.366_759_410_734_541, 0.030_757_123_967_586_5),
    (3.750_439_717_725_742, 0.000_548_268_855_972_22),
];

/// Degree-days to expect on a day whose temperatures spread about the normal.
#[must_use]
pub fn expected_degree_days(model: HeatModel, day: DayTemperature, spread: f64) -> f64 {
    match (model.curve, model.cutoff) {
        (Curve::Average, Cutoff::None) => expected_above(day.mean(), spread, model.base),
        (
            Curve::Average
            | Curve::ModifiedAverage
            | Curve::SingleSine
            | Curve::DoubleSine
            | Curve::SingleTriangle
            | Curve::DoubleTriangle,
            _,
        ) => SAMPLES
            .iter()
            .map(|(z, weight)| {
                let off = z * spread;
                let sampled = DayTemperature { tmin: day.tmin + off, tmax: day.tmax + off };
                weight * model.degree_days(sampled, None)
            })
            .sum(),
    }
}

/// Development of a day whose rate rises from a base and holds from an optimum on: what lies
/// between the two, over the spread.
#[must_use]
pub fn expected_between(mean: f64, spread: f64, base: f64, optimum: f64) -> f64 {
    expected_above(mean, spread, base) - expected_above(mean, spread, optimum.max(base))
}

/// When a sum is reached: in early years, likely, in late years; `None` where not within the days
/// looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reached {
    /// Early: little is needed and the season is warm.
    pub early: Option<Date>,
    /// Likely.
    pub likely: Option<Date>,
    /// Late: much is needed and the season is cool.
    pub late: Option<Date>,
}

/// The first day by whose end the daily amounts, summed from a day on, reach a need; `None` if not
/// within so many days.
#[must_use]
pub fn day_of_sum(
    need: f64,
    from: Date,
    most_days: u32,
    daily: impl Fn(Date) -> f64,
) -> Option<Date> {
    let mut sum = 0.0;
    (0..most_days).map(|day| add_days(from, f64::from(day))).find(|date| {
        sum += daily(*date);
        sum >= need
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::day;
    use super::*;

    #[test]
    fn the_sampled_spread_meets_the_closed_form() {
        // A horizontal limit far away leaves the average method as it is, but takes the long way.
        let limited =
            HeatModel { curve: Curve::Average, base: 10.0, cutoff: Cutoff::Horizontal(90.0) };
        for mean in [2.0, 8.0, 11.0, 20.0] {
            let day = DayTemperature { tmin: mean - 5.0, tmax: mean + 5.0 };
            let sampled = expected_degree_days(limited, day, 3.5);
            let closed = expected_above(mean, 3.5, 10.0);
            assert!((sampled - closed).abs() < 0.16, "{mean}: {sampled} {closed}");
        }
    }

    #[test]
    fn spread_adds_heat_near_the_base_and_none_far_above() {
        let model = HeatModel { curve: Curve::SingleSine, base: 10.0, cutoff: Cutoff::None };
        let gain = |mean: f64| {
            let day = DayTemperature { tmin: mean - 5.0, tmax: mean + 5.0 };
            expected_degree_days(model, day, 3.5) - model.degree_days(day, None)
        };
        assert!(gain(10.0) > 0.3);
        assert!(gain(30.0).abs() < 1e-6);
    }

    #[test]
    fn an_onion_emerges_by_brewster() {
        // Brewster: base 2.5, 80 degree-days: 4 days at 22.5 C, 16 days at 7.5 C.
        for (soil, days) in [(22.5, 4), (7.5, 16)] {
            let reached = day_of_sum(80.0, day("2025-04-01"), 60, |_| soil - 2.5);
            assert_eq!(reached, Some(add_days(day("2025-04-01"), f64::from(days - 1))));
        }
    }

    #[test]
    fn a_sum_out_of_reach_has_no_day() {
        assert_eq!(day_of_sum(100.0, day("2025-04-01"), 30, |_| 3.0), None);
    }
}
