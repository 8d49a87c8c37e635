//! Daily temperatures from the means of months.
//!
//! A monthly mean belongs to the whole month: straight lines between the middles of the months cut
//! off summer's heat and winter's cold (up to 0.6 degrees a month). The method here keeps every
//! monthly mean: Rymes and Myers 2001, Solar Energy 71:225-231. Fitting six harmonics to twelve
//! means is not done: the high terms swing by degrees. The year here has 366 days, so that a
//! month and day name the same place in every year; the error of that is below 0.05 degrees.

use chrono::Datelike;

use crate::season::Date;

/// Days of the year kept: the last of February has its own.
pub const DAYS: usize = 366;

/// Days of each month in the year of 366 days.
const MONTH_DAYS: [usize; 12] = [31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// Rounds of smoothing; more change nothing that can be seen.
const ROUNDS: usize = 200;

/// One value for each day of a year.
#[derive(Clone, Debug, PartialEq)]
pub struct YearCurve {
    days: Vec<f64>,
}

/// Place of a day in the year of 366 days, from 0.
///
/// ```
/// use breakcrop::climate::temperature::place_in_year;
/// use breakcrop::season::iso_day;
/// let place = |text| place_in_year(iso_day(text).unwrap());
/// assert_eq!(place("2023-03-01"), place("2024-03-01"));
/// assert_eq!(place("2023-12-31"), 365);
/// ```
#[must_use]
pub fn place_in_year(date: Date) -> usize {
    MONTH_DAYS[..date.month0() as usize].iter().sum::<usize>() + date.day0() as usize
}

impl YearCurve {
    /// The smooth course whose mean over each month is the month's value.
    #[must_use]
    pub fn through_months(means: &[f64; 12]) -> Self {
        let mut days: Vec<f64> = means
            .iter()
            .zip(MONTH_DAYS)
            .flat_map(|(mean, days)| std::iter::repeat_n(*mean, days))
            .collect();
        // A day before the first and one after the last close the year, so that the rounds below run
        // straight through.
        let mut ringed = vec![0.0; DAYS + 2];
        let mut smooth = days.clone();
        for _ in 0..ROUNDS {
            ringed[1..=DAYS].copy_from_slice(&days);
            ringed[0] = days[DAYS - 1];
            ringed[DAYS + 1] = days[0];
            for (value, near) in smooth.iter_mut().zip(ringed.windows(3)) {
                *value = (near[0] + near[1] + near[2]) / 3.0;
            }
            let mut first = 0;
            for (mean, length) in means.iter().zip(MONTH_DAYS) {
                let month = &mut smooth[first..first + length];
                let off = mean - month.iter().sum::<f64>() / length as f64;
                for value in month {
                    *value += off;
                }
                first += length;
            }
            std::mem::swap(&mut days, &mut smooth);
        }
        Self { days }
    }

    /// Value of a day.
    #[must_use]
    pub fn on(&self, date: Date) -> f64 {
        self.days[place_in_year(date)]
    }

    /// Value at a place in the year of 366 days; places beyond it wrap.
    #[must_use]
    pub fn at(&self, place: usize) -> f64 {
        self.days[place % DAYS]
    }

    /// Place of the lowest value, and of the highest.
    #[must_use]
    pub fn extremes(&self) -> (usize, usize) {
        let place = |better: fn(f64, f64) -> bool| {
            (1..DAYS)
                .fold(0, |best, at| if better(self.days[at], self.days[best]) { at } else { best })
        };
        (place(|a, b| a < b), place(|a, b| a > b))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::iso_day;

    /// Monthly mean minima at Brussels, 1976 to 2005 (`climate_normals.csv`).
    const BRUSSELS: [f64; 12] =
        [0.73, 0.87, 3.38, 5.22, 8.92, 11.57, 13.60, 13.31, 10.72, 7.68, 3.80, 1.77];

    #[test]
    fn the_means_of_the_months_are_kept() {
        let curve = YearCurve::through_months(&BRUSSELS);
        let mut first = 0;
        for (mean, length) in BRUSSELS.iter().zip(MONTH_DAYS) {
            let ours = curve.days[first..first + length].iter().sum::<f64>() / length as f64;
            assert!((ours - mean).abs() < 1e-9);
            first += length;
        }
    }

    #[test]
    fn the_course_goes_above_the_warmest_month_and_has_no_steps() {
        let curve = YearCurve::through_months(&BRUSSELS);
        let (_, warmest) = curve.extremes();
        assert!(curve.at(warmest) > 13.60);
        for at in 0..DAYS {
            assert!((curve.at(at) - curve.at(at + 1)).abs() < 0.25, "day {at}");
        }
    }

    #[test]
    fn a_flat_year_stays_flat_and_the_year_closes() {
        let curve = YearCurve::through_months(&[12.0; 12]);
        assert!((0..DAYS).all(|at| (curve.at(at) - 12.0).abs() < 1e-9));
        let date = iso_day("2025-12-31").expect("a day");
        assert_eq!(place_in_year(date) + 1, DAYS);
    }
}
