//! Heat sums over days, with the spread of days about the normal.
//!
//! Degree-days have a kink at the base: counted on normals alone, days that would have been warm
//! by chance are lost, up to a fifth of the year's heat near the base. So a day's heat is the mean
//! over a normal spread of days. For the average method that mean has a closed form (the idea
//! behind Thom's degree-day work of the 1950s); for the others it is summed over the spread.

use super::Climate;
use super::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use super::normal::{density, share_below};
use crate::estimate::Estimate;
use crate::policy::Policy;
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

/// Heat to expect of a day at a site, in a season warmer or cooler than usual by some degrees. A
/// measured day stands as it was.
#[must_use]
pub fn heat_of_day(
    climate: &Climate<'_>,
    policy: &Policy,
    model: HeatModel,
    date: Date,
    warmer: f64,
) -> f64 {
    let day = climate.extremes(date);
    let off = if climate.measured(date).is_some() { 0.0 } else { warmer };
    let shifted = DayTemperature { tmin: day.tmin + off, tmax: day.tmax + off };
    expected_degree_days(model, shifted, climate.spread_c(policy, date))
}

/// Heat sum to expect from one day up to another, the last not counted: low and high are those of
/// a season one standard deviation cooler or warmer.
#[must_use]
pub fn heat_sum(
    climate: &Climate<'_>,
    policy: &Policy,
    model: HeatModel,
    from: Date,
    to: Date,
) -> Estimate {
    let days = (to - from).num_days().max(0);
    let sum = |warmer: f64| -> f64 {
        (0..days)
            .map(|day| heat_of_day(climate, policy, model, add_days(from, day as f64), warmer))
            .sum()
    };
    let sd = policy.season_mean_sd_c;
    Estimate::new(sum(-sd), sum(0.0), sum(sd))
}

/// When a heat sum is reached from a day on: early where little is needed in a warm season, late
/// where much is needed in a cool one.
#[must_use]
pub fn days_of_heat(
    climate: &Climate<'_>,
    policy: &Policy,
    model: HeatModel,
    need: Estimate,
    from: Date,
    most_days: u32,
) -> Reached {
    let sd = policy.season_mean_sd_c;
    let day = |need: f64, warmer: f64| {
        day_of_sum(need, from, most_days, |date| heat_of_day(climate, policy, model, date, warmer))
    };
    Reached { early: day(need.low, sd), likely: day(need.likely, 0.0), late: day(need.high, -sd) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{BRUSSELS, day, garden};
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
    fn normals_alone_lose_heat_near_the_base_and_none_far_above() {
        // Worked for Brussels with single sine: 1.6 % of the year's heat lost at base 0, 8.4 % at
        // base 10, 21 % at base 15. Here the same climate with the spread of a maritime one.
        let garden = garden(50.8, &BRUSSELS);
        let climate = Climate::of(&garden).expect("twelve months");
        let policy = Policy::default();
        let (from, to) = (day("2025-01-01"), day("2026-01-01"));
        for (base, lost) in [(0.0, 0.016), (10.0, 0.084), (15.0, 0.21)] {
            let model = HeatModel { curve: Curve::SingleSine, base, cutoff: Cutoff::None };
            let spread = heat_sum(&climate, &policy, model, from, to).likely;
            let plain: f64 = (0..365)
                .map(|step| {
                    let date = add_days(from, f64::from(step));
                    model.degree_days(climate.extremes(date), None)
                })
                .sum();
            let ours = 1.0 - plain / spread;
            assert!((ours - lost).abs() < 0.4 * lost + 0.005, "base {base}: {ours} {lost}");
        }
    }

    #[test]
    fn a_heat_need_has_early_and_late_years() {
        let garden = garden(45.0, &[(10.0, 20.0); 12]);
        let climate = Climate::of(&garden).expect("twelve months");
        let model = HeatModel { curve: Curve::Average, base: 5.0, cutoff: Cutoff::None };
        let need = Estimate::new(900.0, 1000.0, 1100.0);
        let from = day("2025-04-01");
        let policy = Policy::default();
        let reached = days_of_heat(&climate, &policy, model, need, from, 365);
        // Ten degree-days a day in an ordinary season, eleven in a warm one, nine in a cool one.
        let after = |date: Option<Date>| (date.expect("reached") - from).num_days() + 1;
        assert!((after(reached.early) - 82).abs() <= 1);
        assert!((after(reached.likely) - 100).abs() <= 1);
        assert!((after(reached.late) - 122).abs() <= 1);
    }

    #[test]
    fn a_sum_out_of_reach_has_no_day() {
        assert_eq!(day_of_sum(100.0, day("2025-04-01"), 30, |_| 3.0), None);
    }
}
