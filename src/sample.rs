//! What a few cases allow to say: exact intervals and tests for small samples.
//!
//! A garden gives eight plantings where a trial gives eight hundred. Every share and mean that is
//! told of records carries the range in which the truth lies in 19 of 20 such samples; no test
//! here leans on large numbers.

use statrs::distribution::{Beta, ContinuousCDF, Discrete, Hypergeometric, Normal, StudentsT};

use crate::estimate::Estimate;

/// Part of the chance left outside an interval at each end: 95 % lie within.
const TAIL: f64 = 0.025;

/// The share behind `hits` in `of` cases, with the exact interval of Clopper and Pearson (1934,
/// Biometrika 26: 404); nothing known, from 0 to 1, without cases.
///
/// ```
/// use breakcrop::sample::share;
/// let three_of_ten = share(3, 10);
/// assert!((three_of_ten.low - 0.0667).abs() < 1e-4);
/// assert!((three_of_ten.high - 0.6525).abs() < 1e-4);
/// ```
#[must_use]
pub fn share(hits: usize, of: usize) -> Estimate {
    let (hits, of) = (hits.min(of) as f64, of as f64);
    let quantile = |a: f64, b: f64, p: f64| Beta::new(a, b).map(|beta| beta.inverse_cdf(p)).ok();
    let low = quantile(hits, of - hits + 1.0, TAIL).unwrap_or(0.0);
    let high = quantile(hits + 1.0, of - hits, 1.0 - TAIL).unwrap_or(1.0);
    Estimate::new(low, if of > 0.0 { hits / of } else { 0.5 }, high)
}

/// The mean of some figures with Student's interval; `None` for fewer than two.
#[must_use]
pub fn mean(values: &[f64]) -> Option<Estimate> {
    let count = values.len() as f64;
    if values.len() < 2 {
        return None;
    }
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
    let error = (squares / (count - 1.0) / count).sqrt();
    let student = StudentsT::new(0.0, 1.0, count - 1.0).ok()?;
    let reach = student.inverse_cdf(1.0 - TAIL) * error;
    Some(Estimate::new(mean - reach, mean, mean + reach))
}

/// The middle of some figures; `None` without any.
#[must_use]
pub fn median(values: &[f64]) -> Option<f64> {
    let mut ordered = values.to_vec();
    ordered.sort_by(f64::total_cmp);
    let middle = ordered.len() / 2;
    if ordered.len() % 2 == 1 {
        ordered.get(middle).copied()
    } else {
        Some(f64::midpoint(*ordered.get(middle.checked_sub(1)?)?, *ordered.get(middle)?))
    }
}

/// How often chance alone would part two groups as far as this or further: Fisher's exact test,
/// both sides, of `hits` of `of` in one group against the other.
///
/// ```
/// use breakcrop::sample::parted_by_chance;
/// // The lady tasting tea: three of four cups right, three of four wrong.
/// assert!((parted_by_chance((3, 4), (1, 4)) - 0.4857).abs() < 1e-4);
/// ```
#[must_use]
pub fn parted_by_chance(one: (usize, usize), other: (usize, usize)) -> f64 {
    let all = (one.1 + other.1) as u64;
    let hits = (one.0 + other.0) as u64;
    let Ok(table) = Hypergeometric::new(all, hits.min(all), one.1 as u64) else {
        return 1.0;
    };
    let seen = table.pmf(one.0 as u64);
    (0..=hits.min(one.1 as u64))
        .map(|taken| table.pmf(taken))
        // Rounding must not part outcomes that are equally likely.
        .filter(|chance| *chance <= seen * (1.0 + 1e-9))
        .sum::<f64>()
        .min(1.0)
}

/// How far two figures of each case go up and down together: Spearman's rank correlation (1904), -1
/// to 1, equal figures sharing their rank; `None` for fewer than three or where one never changes.
///
/// ```
/// use breakcrop::sample::rank_correlation;
/// let together = rank_correlation(&[(1.0, 10.0), (2.0, 100.0), (3.0, 1000.0)]);
/// assert!((together.expect("three") - 1.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn rank_correlation(cases: &[(f64, f64)]) -> Option<f64> {
    if cases.len() < 3 {
        return None;
    }
    let one = ranks(&cases.iter().map(|case| case.0).collect::<Vec<f64>>());
    let other = ranks(&cases.iter().map(|case| case.1).collect::<Vec<f64>>());
    let middle = f64::midpoint(cases.len() as f64, 1.0);
    let sum = |a: &[f64], b: &[f64]| -> f64 {
        a.iter().zip(b).map(|(a, b)| (a - middle) * (b - middle)).sum()
    };
    let spread = (sum(&one, &one) * sum(&other, &other)).sqrt();
    (spread > 0.0).then(|| sum(&one, &other) / spread)
}

/// Ranks from 1; equal figures share the mean of theirs.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let like = |at: usize| values[order[at]].total_cmp(&values[order[from]]).is_eq();
        let to = (from..order.len()).take_while(|at| like(*at)).last().unwrap_or(from);
        let rank = f64::midpoint(from as f64, to as f64) + 1.0;
        for at in &order[from..=to] {
            ranks[*at] = rank;
        }
        from = to + 1;
    }
    ranks
}

/// How often a standard normal figure is as far from nought as this or further.
#[must_use]
pub fn beyond(z: f64) -> f64 {
    Normal::new(0.0, 1.0).map_or(1.0, |normal| 2.0 * normal.cdf(-z.abs()))
}

/// The figure below which a share of all standard normal ones lie.
#[must_use]
pub fn normal_quantile(share: f64) -> f64 {
    Normal::new(0.0, 1.0).map_or(0.0, |normal| normal.inverse_cdf(share))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_of_five_still_leaves_half() {
        let none = share(0, 5);
        assert!(none.low.abs() < 1e-12);
        // 1 - 0.025^(1/5).
        assert!((none.high - 0.5218).abs() < 1e-4, "{none:?}");
        assert!((share(5, 5).low - 0.4782).abs() < 1e-4);
    }

    #[test]
    fn ranks_that_are_shared_are_shared_alike() {
        assert_eq!(ranks(&[2.0, 1.0, 2.0, 5.0]), [2.5, 1.0, 2.5, 4.0]);
        // Worked by hand: ranks 1 2 3 4 against 2 1 4 3 give 1 - 6 * 4 / (4 * 15).
        let cases = [(1.0, 20.0), (2.0, 10.0), (3.0, 40.0), (4.0, 30.0)];
        assert!((rank_correlation(&cases).expect("four") - 0.6).abs() < 1e-12);
        assert!(rank_correlation(&[(1.0, 1.0), (2.0, 1.0), (3.0, 1.0)]).is_none());
    }

    #[test]
    fn nothing_looked_at_says_nothing() {
        assert_eq!(share(0, 0), Estimate::new(0.0, 0.5, 1.0));
        assert!(mean(&[1.0]).is_none());
        assert!(median(&[]).is_none());
    }

    /// Student 1908: ten patients, additional hours of sleep, mean 1.58 and t of 4.06 with nine
    /// degrees of freedom; the interval at 95 % is 0.70 to 2.46.
    #[test]
    fn students_sleepers() {
        let hours = [1.2, 2.4, 1.3, 1.3, 0.0, 1.0, 1.8, 0.8, 4.6, 1.4];
        let mean = mean(&hours).expect("ten");
        assert!((mean.likely - 1.58).abs() < 1e-9);
        assert!((mean.low - 0.70).abs() < 0.005 && (mean.high - 2.46).abs() < 0.005, "{mean:?}");
    }

    #[test]
    fn a_median_of_even_many_lies_between() {
        assert_eq!(median(&[4.0, 1.0, 3.0, 2.0]), Some(2.5));
        assert_eq!(median(&[4.0, 1.0, 3.0]), Some(3.0));
    }

    #[test]
    fn the_same_share_is_parted_by_chance_always() {
        assert!((parted_by_chance((2, 4), (3, 6)) - 1.0).abs() < 1e-9);
        assert!(parted_by_chance((8, 8), (0, 8)) < 0.001);
    }
}
