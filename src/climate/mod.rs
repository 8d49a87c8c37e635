//! Weather of a site: what to expect on a day, from monthly normals and the grower's own record.
//!
//! One file a mechanism: the sun, the daily course of temperature, degree-days of a day, heat
//! sums over days, frost, soil. All are pure functions; the year they speak of is an argument.

pub mod days;
pub mod degree_days;
pub mod emergence;
pub mod frost;
pub mod heat;
mod normal;
mod remembered;
pub mod soil;
pub mod sun;
pub mod temperature;

use crate::policy::Policy;
use crate::records::{ClimateMonth, Garden, Site, WeatherDay};
use crate::season::{Date, add_days};
use crate::units::Hours;
use days::SiteDays;
use degree_days::DayTemperature;
pub(crate) use remembered::Remembered;
use std::sync::Arc;
use temperature::YearCurve;

/// The climate of a site.
#[derive(Clone, Debug)]
pub struct Climate<'g> {
    months: &'g [ClimateMonth],
    weather: &'g [WeatherDay],
    site: Option<&'g Site>,
    curves: Arc<Curves>,
}

/// The courses of the year through the months.
#[derive(Debug)]
struct Curves {
    tmin: YearCurve,
    tmax: YearCurve,
    tmin_sd: Option<YearCurve>,
}

/// Minimum, maximum and spread of the minimum by month: all that the curves rest on.
type MonthsKey = ([f64; 12], [f64; 12], Option<[f64; 12]>);

/// Climates whose curves are kept: smoothing them costs more than most questions about them.
static CURVES: Remembered<MonthsKey, Curves> = Remembered::at_most(4);

fn months_key(months: &[ClimateMonth]) -> MonthsKey {
    (
        by_month(months, |month| month.tmin.0),
        by_month(months, |month| month.tmax.0),
        months
            .iter()
            .all(|month| month.tmin_sd.is_some())
            .then(|| by_month(months, |month| month.tmin_sd.map_or(0.0, |sd| sd.0))),
    )
}

impl<'g> Climate<'g> {
    /// The climate of a garden; `None` unless all twelve months are written.
    #[must_use]
    pub fn of(garden: &'g Garden) -> Option<Self> {
        let months = &garden.climate;
        (months.len() == 12).then(|| {
            let key = months_key(months);
            Self {
                months,
                weather: &garden.weather,
                site: garden.site.as_ref(),
                curves: CURVES.get(key, || Curves {
                    tmin: YearCurve::through_months(&key.0),
                    tmax: YearCurve::through_months(&key.1),
                    tmin_sd: key.2.as_ref().map(YearCurve::through_months),
                }),
            }
        })
    }

    /// The same without the measured days: what is to be expected of any year.
    #[must_use]
    pub fn normals_only(&self) -> Self {
        Self { weather: &[], ..self.clone() }
    }

    /// The normal days of the site about a date, laid out once for all dates.
    #[must_use]
    pub fn normal_days(&self, policy: &Policy, about: Date) -> SiteDays {
        SiteDays::normal(self, policy, about)
    }

    fn site_key(&self, policy: &Policy) -> days::SiteKey {
        days::SiteKey {
            months: months_key(self.months),
            site: self
                .site
                .map(|site| (site.latitude, site.longitude, site.last_frost, site.first_frost)),
            policy: policy.clone(),
        }
    }

    /// Where the garden lies, if written.
    #[must_use]
    pub fn site(&self) -> Option<&'g Site> {
        self.site
    }

    /// The grower's own measurement of a day.
    #[must_use]
    pub fn measured(&self, date: Date) -> Option<&'g WeatherDay> {
        let at = self.weather.binary_search_by_key(&date, |day| day.date).ok()?;
        self.weather.get(at)
    }

    /// Extremes to expect on a day: the grower's own measurement where there is one, else the
    /// normals.
    #[must_use]
    pub fn extremes(&self, date: Date) -> DayTemperature {
        self.measured(date).map_or_else(
            || DayTemperature { tmin: self.curves.tmin.on(date), tmax: self.curves.tmax.on(date) },
            |day| DayTemperature { tmin: day.tmin.0, tmax: day.tmax.0 },
        )
    }

    /// Mean temperature expected on a day.
    #[must_use]
    pub fn mean_c(&self, date: Date) -> f64 {
        self.extremes(date).mean()
    }

    /// Mean minimum expected on a day.
    #[must_use]
    pub fn tmin_c(&self, date: Date) -> f64 {
        self.extremes(date).tmin
    }

    /// Standard deviation of the temperature of single days about what is expected: nothing for a
    /// day that was measured, the grower's column where it is filled, else by the kind of climate
    /// ([`Climate::assumed_spread_c`]).
    #[must_use]
    pub fn spread_c(&self, policy: &Policy, date: Date) -> f64 {
        if self.measured(date).is_some() {
            return 0.0;
        }
        self.normal_spread_c(policy, date)
    }

    fn normal_spread_c(&self, policy: &Policy, date: Date) -> f64 {
        self.curves
            .tmin_sd
            .as_ref()
            .map_or_else(|| self.assumed_spread_c(policy), |curve| curve.on(date).max(0.0))
    }

    /// Whether the spread of days is assumed, not written in `climate.csv`.
    #[must_use]
    pub fn spread_is_assumed(&self) -> bool {
        self.curves.tmin_sd.is_none()
    }

    /// Spread of days by the kind of climate: mild winters, maritime, continental.
    #[must_use]
    pub fn assumed_spread_c(&self, policy: &Policy) -> f64 {
        let means = by_month(self.months, |month| f64::midpoint(month.tmin.0, month.tmax.0));
        let coldest = means.iter().copied().fold(f64::INFINITY, f64::min);
        let warmest = means.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        if warmest - coldest > policy.continental_range_c {
            policy.spread_continental_c
        } else if coldest >= policy.mild_winter_c {
            policy.spread_mild_c
        } else {
            policy.spread_maritime_c
        }
    }

    /// Length of the day from sunrise to sunset; `None` while the site is not written.
    #[must_use]
    pub fn daylength(&self, date: Date) -> Option<Hours> {
        self.site.map(|site| sun::daylength(site.latitude, site.longitude, date))
    }

    /// Light for growth on an ordinary day (mol/m2), from the spread of the day's temperatures;
    /// `None` while the site is not written. Where winters are mild the coefficient of coasts is
    /// taken.
    #[must_use]
    pub fn growing_light(&self, policy: &Policy, date: Date) -> Option<f64> {
        let coastal = self.assumed_spread_c(policy) <= policy.spread_mild_c;
        self.site.map(|site| {
            let spread = self.curves.tmax.on(date) - self.curves.tmin.on(date);
            sun::growing_light(site.latitude, date, spread, coastal)
        })
    }

    /// The cold night of an ordinary winter, and the month it falls in: the lowest of mean
    /// minimum less some standard deviations (policy `cold_night_sd`).
    #[must_use]
    pub fn cold_night_c(&self, policy: &Policy) -> (f64, u32) {
        self.months
            .iter()
            .map(|month| {
                let sd = month.tmin_sd.map_or_else(|| self.assumed_spread_c(policy), |sd| sd.0);
                (month.tmin.0 - policy.cold_night_sd * sd, month.month)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((0.0, 1))
    }

    /// The cold night to expect between two days: the lowest of the normals less some standard
    /// deviations.
    #[must_use]
    pub fn cold_night_between_c(&self, policy: &Policy, from: Date, to: Date) -> f64 {
        let days = (to - from).num_days().clamp(0, 366);
        (0..=days)
            .map(|step| {
                let day = add_days(from, step as f64);
                self.curves.tmin.on(day) - policy.cold_night_sd * self.normal_spread_c(policy, day)
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Degree-days above a base from one day to another, from daily means.
    #[must_use]
    pub fn degree_days(&self, base_c: f64, from: Date, to: Date) -> f64 {
        let days = (to - from).num_days().max(0);
        (0..days).map(|day| (self.mean_c(add_days(from, day as f64)) - base_c).max(0.0)).sum()
    }

    /// The day of the year 2000 (a leap year) that stands for a place in the year.
    pub(crate) fn day_at(place: usize) -> Date {
        let place = u32::try_from(place % temperature::DAYS).unwrap_or(0);
        Date::from_yo_opt(2000, place + 1).unwrap_or_default()
    }
}

fn by_month(months: &[ClimateMonth], value: impl Fn(&ClimateMonth) -> f64) -> [f64; 12] {
    let mut values = [0.0; 12];
    for month in months {
        if let Some(slot) = values.get_mut(month.month as usize - 1) {
            *slot = value(month);
        }
    }
    values
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::origin::Origin;
    use crate::records::FrostDay;
    use crate::season::iso_day;
    use crate::units::Celsius;

    /// Brussels 1976 to 2005 (`climate_normals.csv`).
    pub(crate) const BRUSSELS: [(f64, f64); 12] = [
        (0.73, 5.42),
        (0.87, 6.46),
        (3.38, 10.22),
        (5.22, 13.41),
        (8.92, 17.83),
        (11.57, 20.37),
        (13.60, 22.48),
        (13.31, 22.53),
        (10.72, 18.83),
        (7.68, 14.45),
        (3.80, 9.12),
        (1.77, 6.36),
    ];

    /// A garden on a published climate: latitude and twelve pairs of minimum and maximum.
    pub(crate) fn garden(latitude: f64, normals: &[(f64, f64); 12]) -> Garden {
        let origin = || Origin::new("climate.csv", 2);
        Garden {
            site: Some(Site {
                name: "trial".into(),
                latitude,
                longitude: 0.0,
                elevation: None,
                last_frost: FrostDay::Unknown,
                first_frost: FrostDay::Unknown,
                origin: origin(),
            }),
            climate: normals
                .iter()
                .zip(1..)
                .map(|((tmin, tmax), month)| ClimateMonth {
                    month,
                    tmin: Celsius(*tmin),
                    tmax: Celsius(*tmax),
                    rain: None,
                    tmin_sd: None,
                    origin: origin(),
                })
                .collect(),
            ..Garden::default()
        }
    }

    pub(crate) fn day(text: &str) -> Date {
        iso_day(text).expect("a day")
    }

    const PLAIN: [(f64, f64); 12] = [
        (0.7, 5.4),
        (0.9, 6.5),
        (3.4, 10.2),
        (5.2, 13.4),
        (8.9, 17.8),
        (11.6, 20.4),
        (13.6, 22.5),
        (13.3, 22.5),
        (10.7, 18.9),
        (7.7, 14.5),
        (3.8, 9.2),
        (1.8, 6.3),
    ];

    #[test]
    fn a_measured_day_beats_the_normals() {
        let mut garden = garden(50.8, &PLAIN);
        garden.weather.push(WeatherDay {
            date: day("2025-07-01"),
            tmin: Celsius(18.0),
            tmax: Celsius(36.0),
            rain: None,
            origin: Origin::new("weather.csv", 2),
        });
        let climate = Climate::of(&garden).expect("twelve months");
        let policy = Policy::default();
        assert!((climate.mean_c(day("2025-07-01")) - 27.0).abs() < 1e-9);
        assert!(climate.spread_c(&policy, day("2025-07-01")).abs() < 1e-9);
        assert!(climate.mean_c(day("2025-07-02")) < 19.0);
        assert!(climate.spread_c(&policy, day("2025-07-02")) > 3.0);
    }

    #[test]
    fn the_kind_of_climate_gives_the_spread_that_is_not_written() {
        let policy = Policy::default();
        let mild = [(9.0, 19.0); 12];
        let inland = std::array::from_fn(|month| {
            let warmth = 12.0 - 14.0 * ((month as f64) * std::f64::consts::TAU / 12.0).cos();
            (warmth - 6.0, warmth + 6.0)
        });
        for (normals, spread) in [
            (&mild, policy.spread_mild_c),
            (&PLAIN, policy.spread_maritime_c),
            (&inland, policy.spread_continental_c),
        ] {
            let garden = garden(45.0, normals);
            let climate = Climate::of(&garden).expect("twelve months");
            assert!((climate.assumed_spread_c(&policy) - spread).abs() < 1e-9);
        }
    }
}
