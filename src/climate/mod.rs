//! Weather of a site from its monthly normals. Thin as yet: what covers and frost questions need.

pub mod degree_days;
pub mod sun;

use chrono::Datelike;

use crate::policy::Policy;
use crate::records::{ClimateMonth, Garden};
use crate::season::{Date, add_days};

/// The climate of a site, by month.
#[derive(Clone, Debug)]
pub struct Climate<'g> {
    months: &'g [ClimateMonth],
}

impl<'g> Climate<'g> {
    /// The climate of a garden; `None` unless all twelve months are written.
    #[must_use]
    pub fn of(garden: &'g Garden) -> Option<Self> {
        (garden.climate.len() == 12).then_some(Self { months: &garden.climate })
    }

    /// Mean temperature expected on a day: between the middles of the months, a straight line.
    #[must_use]
    pub fn mean_c(&self, date: Date) -> f64 {
        self.between(date, |month| f64::midpoint(month.tmin.0, month.tmax.0))
    }

    /// Mean minimum expected on a day.
    #[must_use]
    pub fn tmin_c(&self, date: Date) -> f64 {
        self.between(date, |month| month.tmin.0)
    }

    fn between(&self, date: Date, value: impl Fn(&ClimateMonth) -> f64) -> f64 {
        let position = f64::from(date.day()) / 30.4 - 0.5;
        let here = date.month0() as usize;
        let other = if position < 0.0 { (here + 11) % 12 } else { (here + 1) % 12 };
        let weight = position.abs().min(0.5);
        value(&self.months[here]) * (1.0 - weight) + value(&self.months[other]) * weight
    }

    /// The cold night of an ordinary winter, and the month it falls in: the lowest of mean
    /// minimum less some standard deviations (policy `cold_night_sd`).
    #[must_use]
    pub fn cold_night_c(&self, policy: &Policy) -> (f64, u32) {
        self.months
            .iter()
            .map(|month| {
                let sd = month.tmin_sd.map_or(policy.tmin_sd_unknown, |sd| sd.0);
                (month.tmin.0 - policy.cold_night_sd * sd, month.month)
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .unwrap_or((0.0, 1))
    }

    /// The cold night to expect between two days, from the months they touch.
    #[must_use]
    pub fn cold_night_between_c(&self, policy: &Policy, from: Date, to: Date) -> f64 {
        let days = (to - from).num_days().clamp(0, 366);
        (0..=days / 10)
            .map(|step| {
                let day = add_days(from, step as f64 * 10.0);
                let month = &self.months[day.month0() as usize];
                let sd = month.tmin_sd.map_or(policy.tmin_sd_unknown, |sd| sd.0);
                self.tmin_c(day) - policy.cold_night_sd * sd
            })
            .fold(f64::INFINITY, f64::min)
    }

    /// Degree-days above a base from one day to another, from daily means.
    #[must_use]
    pub fn degree_days(&self, base_c: f64, from: Date, to: Date) -> f64 {
        let days = (to - from).num_days().max(0);
        (0..days).map(|day| (self.mean_c(add_days(from, day as f64)) - base_c).max(0.0)).sum()
    }
}
