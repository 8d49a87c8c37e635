//! Warmth and water of a site, day by day of an ordinary year and of the days that were measured,
//! laid out once for all its beds.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::weather::{evaporation_mm, growth_factor, temperature_factor};
use crate::climate::{Climate, Remembered};
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::{DAYS_PER_YEAR, Date};

/// Days in the prefix sums: a leap year.
const DAYS: usize = 366;

/// What is known of rain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Rain {
    /// Rain and evaporation of a day of each month, mm.
    Known([(f64, f64); 12]),
    /// No rain on record: the winter half of this latitude.
    Unknown(f64),
}

/// What measured days were beside the normals, summed up to the start of each of them.
#[derive(Debug, Default)]
struct Measured {
    dates: Vec<Date>,
    warmth: Vec<f64>,
    growth: Vec<f64>,
    rain_mm: Vec<f64>,
    evaporation_mm: Vec<f64>,
}

impl Measured {
    fn of(
        garden: &Garden,
        climate: &Climate<'_>,
        policy: &Policy,
        rain: Rain,
        latitude: f64,
    ) -> Self {
        let normals = climate.normals_only();
        let mut sums = Self::default();
        let mut sum = [0.0; 4];
        for day in &garden.weather {
            let (usual_c, mean_c) =
                (normals.mean_c(day.date), f64::midpoint(day.tmin.0, day.tmax.0));
            let (usual_rain, usual_evaporation) = match rain {
                Rain::Known(months) => months[day.date.month0() as usize],
                Rain::Unknown(_) => (0.0, 0.0),
            };
            let evaporation =
                evaporation_mm(latitude, f64::from(day.date.ordinal()), day.tmin.0, day.tmax.0);
            let more = [
                temperature_factor(policy, mean_c) - temperature_factor(policy, usual_c),
                growth_factor(mean_c) - growth_factor(usual_c),
                // A day without its rain is an ordinary one.
                day.rain.map_or(0.0, |rain| rain.0 - usual_rain),
                evaporation - usual_evaporation,
            ];
            sums.dates.push(day.date);
            for (sums, sum) in sums.all().into_iter().zip(sum) {
                sums.push(sum);
            }
            for (sum, more) in sum.iter_mut().zip(more) {
                *sum += more;
            }
        }
        for (sums, sum) in sums.all().into_iter().zip(sum) {
            sums.push(sum);
        }
        sums
    }

    fn all(&mut self) -> [&mut Vec<f64>; 4] {
        [&mut self.warmth, &mut self.growth, &mut self.rain_mm, &mut self.evaporation_mm]
    }

    /// What the measured days from one day up to another make more than ordinary ones; those of a
    /// day or later are not looked at.
    fn between(&self, sums: &[f64], from: Date, to: Date, before: Date) -> f64 {
        let at = |date: Date| {
            let date = date.min(before);
            let step = self.dates.partition_point(|day| *day < date);
            sums.get(step).copied().unwrap_or(0.0)
        };
        if to <= from || self.dates.is_empty() { 0.0 } else { at(to) - at(from) }
    }
}

/// The days of a site as the ledger needs them.
#[derive(Debug)]
pub(super) struct SiteYear {
    /// Warmth from the year's first day, in days at the reference temperature.
    warmth: Vec<f64>,
    /// Growing days from the year's first day.
    growth: Vec<f64>,
    pub(super) rain: Rain,
    measured: Measured,
}

/// What a site's days rest on.
#[derive(Debug)]
struct Key {
    months: Vec<(f64, f64, Option<f64>)>,
    latitude: f64,
    days: Vec<(Date, f64, f64, Option<f64>)>,
    policy: (f64, f64),
}

impl Key {
    fn of(garden: &Garden, policy: &Policy) -> Self {
        Self {
            months: months(garden).collect(),
            latitude: latitude(garden),
            days: days(garden).collect(),
            policy: of_policy(policy),
        }
    }

    fn is_of(&self, garden: &Garden, policy: &Policy) -> bool {
        self.latitude.total_cmp(&latitude(garden)).is_eq()
            && self.policy == of_policy(policy)
            && self.months.iter().copied().eq(months(garden))
            && self.days.iter().copied().eq(days(garden))
    }
}

fn latitude(garden: &Garden) -> f64 {
    garden.site.as_ref().map_or(45.0, |site| site.latitude)
}

fn months(garden: &Garden) -> impl Iterator<Item = (f64, f64, Option<f64>)> {
    garden.climate.iter().map(|month| (month.tmin.0, month.tmax.0, month.rain.map(|rain| rain.0)))
}

fn days(garden: &Garden) -> impl Iterator<Item = (Date, f64, f64, Option<f64>)> {
    let days = garden.weather.iter();
    days.map(|day| (day.date, day.tmin.0, day.tmax.0, day.rain.map(|rain| rain.0)))
}

/// The choices of ours that the days rest on.
fn of_policy(policy: &Policy) -> (f64, f64) {
    (policy.mineralisation_q10, policy.mineralisation_reference_c)
}

/// Sites whose days are kept: a run asks about one garden, tests about several.
static SITE_YEARS: Remembered<Key, SiteYear> = Remembered::at_most(4);

/// The days of a garden's site. Without a climate every day is taken at the reference temperature.
pub(super) fn site_year(garden: &Garden, policy: &Policy) -> Arc<SiteYear> {
    SITE_YEARS.find_or(
        |key| key.is_of(garden, policy),
        || (Key::of(garden, policy), SiteYear::of(garden, policy)),
    )
}

impl SiteYear {
    fn of(garden: &Garden, policy: &Policy) -> Self {
        let climate = Climate::of(garden);
        let ordinary = climate.as_ref().map(Climate::normals_only);
        let latitude = latitude(garden);
        let mean = |day: usize| {
            let date = NaiveDate::from_yo_opt(2024, u32::try_from(day).unwrap_or(0) + 1);
            match (&ordinary, date) {
                (Some(ordinary), Some(date)) => ordinary.mean_c(date),
                _ => policy.mineralisation_reference_c,
            }
        };
        let sums = |value: &dyn Fn(f64) -> f64| {
            let mut sums = vec![0.0];
            for day in 0..DAYS {
                sums.push(sums[day] + value(mean(day)));
            }
            sums
        };
        let rain = known_rain(garden, latitude).map_or(Rain::Unknown(latitude), Rain::Known);
        let measured = climate.map_or_else(Measured::default, |climate| {
            Measured::of(garden, &climate, policy, rain, latitude)
        });
        Self {
            measured,
            warmth: sums(&|celsius| temperature_factor(policy, celsius)),
            growth: sums(&growth_factor),
            rain,
        }
    }

    /// Warmth from one day to another, in days at the reference temperature.
    pub(super) fn warmth(&self, from: Date, to: Date, before: Date) -> f64 {
        let more = self.measured.between(&self.measured.warmth, from, to, before);
        (between(&self.warmth, from, to) + more).max(0.0)
    }

    /// Warmth of an ordinary year.
    pub(super) fn warmth_of_year(&self) -> f64 {
        self.warmth[DAYS] * DAYS_PER_YEAR / DAYS as f64
    }

    /// Growing days from one day to another.
    pub(super) fn growing_days(&self, from: Date, to: Date, before: Date) -> f64 {
        let more = self.measured.between(&self.measured.growth, from, to, before);
        (between(&self.growth, from, to) + more).max(0.0)
    }

    /// What measured days had of rain and evaporation more than ordinary ones, mm.
    pub(super) fn more_rain_and_evaporation(
        &self,
        from: Date,
        to: Date,
        before: Date,
    ) -> (f64, f64) {
        let measured = &self.measured;
        (
            measured.between(&measured.rain_mm, from, to, before),
            measured.between(&measured.evaporation_mm, from, to, before),
        )
    }
}

fn known_rain(garden: &Garden, latitude: f64) -> Option<[(f64, f64); 12]> {
    if garden.climate.len() != 12 {
        return None;
    }
    let mut months = [(0.0, 0.0); 12];
    for (at, month) in garden.climate.iter().enumerate() {
        let middle = 15.2 + 30.44 * at as f64;
        let evaporation = evaporation_mm(latitude, middle, month.tmin.0, month.tmax.0);
        months[at] = (month.rain?.0 / 30.44, evaporation);
    }
    Some(months)
}

/// A sum over days from prefix sums of a year.
fn between(sums: &[f64], from: Date, to: Date) -> f64 {
    if to <= from {
        return 0.0;
    }
    let at = |date: Date| sums[date.ordinal0() as usize];
    let years = f64::from(to.year() - from.year());
    // A common year ends a day before the sums do; the lost day is the last of December.
    years * sums[DAYS - 1] + at(to) - at(from)
}
