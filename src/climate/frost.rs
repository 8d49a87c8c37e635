//! Frost and cold nights: last and first day, and the chance of a night below a temperature.
//!
//! From normals: each day's minimum spreads normally about its normal, and days are taken as
//! independent. That gave the published median dates of three stations within 11 days; correcting
//! for the likeness of neighbouring days made it worse. Where the grower wrote frost dates in
//! `site.csv`, the normals are shifted, spring and autumn apart, until the date of every other year
//! is the grower's: so a frost pocket makes every chance colder. A screen at eye height is warmer
//! than leaves on a clear night; what is asked about leaves must be asked with a higher threshold.

use super::Climate;
use super::normal::share_below;
use super::temperature::{DAYS, place_in_year};
use crate::policy::Policy;
use crate::records::FrostDay;
use crate::season::{Date, add_days};

/// Temperature at which water freezes: the frost that growers and weather services date.
pub const FREEZING_C: f64 = 0.0;

/// Furthest the normals are shifted to meet a recorded frost date.
const MOST_SHIFT_C: f64 = 8.0;

/// What the frost dates rest on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrostBasis {
    /// The grower's own date in `site.csv`.
    Recorded,
    /// The monthly normals and the spread of days.
    Normals,
}

/// A date in the year at which a risk is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrostDate {
    /// Place in the year of 366 days, from 0.
    At(usize),
    /// Colder nights come in fewer years than asked for: there is no such date.
    NotSoOften,
}

impl FrostDate {
    /// The first such day on or after a day.
    #[must_use]
    pub fn from(self, date: Date) -> Option<Date> {
        match self {
            Self::NotSoOften => None,
            Self::At(place) => (0..=DAYS)
                .map(|day| add_days(date, day as f64))
                .find(|day| place_in_year(*day) == place),
        }
    }
}

/// Chances of cold nights at a site.
#[derive(Clone, Debug)]
pub struct Frost {
    minima: Vec<f64>,
    spread: Vec<f64>,
    coldest: usize,
    warmest: usize,
    /// What the last frost rests on.
    pub last_basis: FrostBasis,
    /// What the first frost rests on.
    pub first_basis: FrostBasis,
}

/// The two halves of a frost year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Half {
    /// From the coldest day to the warmest.
    Warming,
    /// From the warmest day to the coldest.
    Cooling,
}

impl Frost {
    /// The chances at a site.
    #[must_use]
    pub fn at(climate: &Climate<'_>, policy: &Policy) -> Self {
        let day = Climate::day_at;
        let (coldest, warmest) = climate.curves.tmin.extremes();
        let mut frost = Self {
            minima: (0..DAYS).map(|place| climate.curves.tmin.at(place)).collect(),
            spread: climate.curves.tmin_sd.as_ref().map_or_else(
                || vec![climate.assumed_spread_c(policy); DAYS],
                |curve| (0..DAYS).map(|place| curve.on(day(place)).max(0.0)).collect(),
            ),
            coldest,
            warmest,
            last_basis: FrostBasis::Normals,
            first_basis: FrostBasis::Normals,
        };
        if let Some(site) = climate.site() {
            frost.last_basis = frost.meet(Half::Warming, site.last_frost);
            frost.first_basis = frost.meet(Half::Cooling, site.first_frost);
        }
        frost
    }

    fn places(&self, half: Half) -> Vec<usize> {
        let (from, to) = match half {
            Half::Warming => (self.coldest, self.warmest),
            Half::Cooling => (self.warmest, self.coldest),
        };
        (0..(to + DAYS - from) % DAYS).map(|step| (from + step) % DAYS).collect()
    }

    /// Shifts one half of the year until the date of every other year is the recorded one.
    fn meet(&mut self, half: Half, recorded: FrostDay) -> FrostBasis {
        let places = self.places(half);
        let wanted = match recorded {
            FrostDay::Unknown => return FrostBasis::Normals,
            FrostDay::NoneInMostYears => None,
            FrostDay::On(month, day) => Date::from_ymd_opt(2000, month, day).map(place_in_year),
        };
        // A date in the wrong half of the year says that frost comes nearly all the year or that
        // the hemispheres were exchanged; the normals are left alone.
        let wanted = match wanted {
            None => None,
            Some(place) => match places.iter().position(|at| *at == place) {
                Some(at) => Some(at),
                None => return FrostBasis::Normals,
            },
        };
        let plain: Vec<f64> = places.iter().map(|place| self.minima[*place]).collect();
        let found = |frost: &Self| match half {
            Half::Warming => frost.last(FREEZING_C, 0.5),
            Half::Cooling => frost.first(FREEZING_C, 0.5),
        };
        let step_of = |date: FrostDate| match date {
            FrostDate::NotSoOften => None,
            FrostDate::At(place) => places.iter().position(|at| *at == place),
        };
        // Warmer nights move the last frost earlier and the first later: bisection, colder side in
        // `low`.
        let (mut low, mut high) = (-MOST_SHIFT_C, MOST_SHIFT_C);
        if wanted.is_none() && step_of(found(self)).is_none() {
            return FrostBasis::Recorded;
        }
        for _ in 0..24 {
            let shift = f64::midpoint(low, high);
            for (place, value) in places.iter().zip(&plain) {
                self.minima[*place] = value + shift;
            }
            let too_cold = match (step_of(found(self)), wanted) {
                (None, _) => false,
                (Some(_), None) => true,
                (Some(now), Some(wanted)) => match half {
                    Half::Warming => now > wanted,
                    Half::Cooling => now < wanted,
                },
            };
            if too_cold {
                low = shift;
            } else {
                high = shift;
            }
        }
        for (place, value) in places.iter().zip(&plain) {
            self.minima[*place] = value + high;
        }
        FrostBasis::Recorded
    }

    /// Chance of a night at or below a temperature at a place in the year of 366 days.
    pub(super) fn chance(&self, threshold_c: f64, place: usize) -> f64 {
        let (mean, spread) = (self.minima[place % DAYS], self.spread[place % DAYS]);
        if spread <= 0.0 {
            return if mean <= threshold_c { 1.0 } else { 0.0 };
        }
        share_below((threshold_c - mean) / spread)
    }

    /// Chance that the night of a date is at or below a temperature.
    #[must_use]
    pub fn night_at_or_below(&self, threshold_c: f64, date: Date) -> f64 {
        self.chance(threshold_c, place_in_year(date))
    }

    /// Chance of at least one night at or below a temperature from one day to another.
    #[must_use]
    pub fn any_night_at_or_below(&self, threshold_c: f64, from: Date, to: Date) -> f64 {
        let days = (to - from).num_days().clamp(-1, 366);
        let none: f64 = (0..=days)
            .map(|day| 1.0 - self.night_at_or_below(threshold_c, add_days(from, day as f64)))
            .product();
        1.0 - none
    }

    /// Last day of the warming half of the year from which on a night at or below a temperature
    /// comes in the given share of years: 0.5 is the usual last frost, 0.1 the frost of one year
    /// in ten.
    ///
    /// The day itself is the last on which that share is still met.
    #[must_use]
    pub fn last(&self, threshold_c: f64, risk: f64) -> FrostDate {
        let mut none = 1.0;
        for place in self.places(Half::Warming).into_iter().rev() {
            none *= 1.0 - self.chance(threshold_c, place);
            if 1.0 - none >= risk {
                return FrostDate::At(place);
            }
        }
        FrostDate::NotSoOften
    }

    /// First day of the cooling half of the year by which a night at or below a temperature has
    /// come in the given share of years.
    #[must_use]
    pub fn first(&self, threshold_c: f64, risk: f64) -> FrostDate {
        let mut none = 1.0;
        for place in self.places(Half::Cooling) {
            none *= 1.0 - self.chance(threshold_c, place);
            if 1.0 - none >= risk {
                return FrostDate::At(place);
            }
        }
        FrostDate::NotSoOften
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{BRUSSELS, day, garden};
    use super::*;
    use crate::units::Celsius;
    use chrono::Datelike;

    fn places_between(one: FrostDate, text: &str) -> i64 {
        let FrostDate::At(place) = one else { panic!("no such date, not near {text}") };
        let there = i64::try_from(place_in_year(day(text))).expect("a place");
        i64::try_from(place).expect("a place") - there
    }

    #[test]
    fn the_median_frosts_of_brussels_within_eleven_days_of_thirty_years_of_record() {
        // frost_dates.csv: last frost 11 April in half the years, first frost 14 November;
        // spread of daily minima from 2.6 in August to 4.6 in January, here as a wave whose peak
        // lies between January and half a year from August.
        let mut garden = garden(50.8, &BRUSSELS);
        for month in &mut garden.climate {
            let cold = ((f64::from(month.month) - 1.5) * std::f64::consts::TAU / 12.0).cos();
            month.tmin_sd = Some(Celsius(3.6 + cold));
        }
        let climate = Climate::of(&garden).expect("twelve months");
        let frost = Frost::at(&climate, &Policy::default());
        assert!(places_between(frost.last(0.0, 0.5), "2024-04-11").abs() <= 11);
        assert!(places_between(frost.first(0.0, 0.5), "2024-11-14").abs() <= 11);
        assert!(places_between(frost.last(0.0, 0.1), "2024-05-03").abs() <= 16);
        assert!(places_between(frost.first(0.0, 0.1), "2024-10-28").abs() <= 16);
    }

    #[test]
    fn a_mild_coast_has_no_frost_in_most_years() {
        let garden = garden(34.0, &[(9.5, 20.0); 12].map(|(a, b)| (a, b)));
        let climate = Climate::of(&garden).expect("twelve months");
        let frost = Frost::at(&climate, &Policy::default());
        assert_eq!(frost.last(0.0, 0.5), FrostDate::NotSoOften);
        assert_eq!(frost.first(0.0, 0.5), FrostDate::NotSoOften);
    }

    #[test]
    fn the_growers_own_dates_are_met_and_make_other_risks_follow() {
        let mut written = garden(50.8, &BRUSSELS);
        let site = written.site.as_mut().expect("a site");
        site.last_frost = FrostDay::On(5, 5);
        site.first_frost = FrostDay::On(10, 10);
        let climate = Climate::of(&written).expect("twelve months");
        let frost = Frost::at(&climate, &Policy::default());
        assert_eq!(frost.last_basis, FrostBasis::Recorded);
        assert!(places_between(frost.last(0.0, 0.5), "2024-05-05").abs() <= 1);
        assert!(places_between(frost.first(0.0, 0.5), "2024-10-10").abs() <= 1);
        let plain = garden(50.8, &BRUSSELS);
        let plain_climate = Climate::of(&plain).expect("twelve months");
        let without = Frost::at(&plain_climate, &Policy::default());
        let chance = |frost: &Frost| frost.night_at_or_below(-2.0, day("2025-04-20"));
        assert!(chance(&frost) > chance(&without));
    }

    #[test]
    fn none_in_most_years_is_believed() {
        let mut garden = garden(50.8, &BRUSSELS);
        let site = garden.site.as_mut().expect("a site");
        site.last_frost = FrostDay::NoneInMostYears;
        site.first_frost = FrostDay::NoneInMostYears;
        let climate = Climate::of(&garden).expect("twelve months");
        let frost = Frost::at(&climate, &Policy::default());
        assert_eq!(frost.last(0.0, 0.5), FrostDate::NotSoOften);
        assert_eq!(frost.first(0.0, 0.5), FrostDate::NotSoOften);
    }

    #[test]
    fn the_south_has_its_last_frost_in_its_own_spring() {
        let turned: [(f64, f64); 12] = std::array::from_fn(|month| BRUSSELS[(month + 6) % 12]);
        let garden = garden(-50.8, &turned);
        let climate = Climate::of(&garden).expect("twelve months");
        let frost = Frost::at(&climate, &Policy::default());
        let from = day("2025-07-01");
        let last = frost.last(0.0, 0.5).from(from).expect("frost comes");
        assert!((9..=11).contains(&last.month()), "{last}");
        assert!(frost.any_night_at_or_below(0.0, from, last) > 0.5);
    }
}
