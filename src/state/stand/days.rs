//! The days of a site as leaves meet them.

use crate::climate::{Climate, heat::expected_above};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// Light for growth: moles in a megajoule.
pub(super) const MOL_PER_MJ: f64 = 4.57;

/// One day of a site as leaves meet it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Day {
    pub(super) mean: f64,
    pub(super) spread: f64,
    /// Light for growth, MJ/m2.
    pub(super) light: Option<f64>,
}

impl Day {
    /// Degree-days over a base in a season some degrees warmer or cooler than usual.
    pub(super) fn heat(&self, warmer: f64, base_c: f64) -> f64 {
        expected_above(self.mean + warmer, self.spread, base_c)
    }
}

/// The days of a site from a first day on, laid out once for many covers.
#[derive(Clone, Debug)]
pub struct Days {
    pub(super) from: Date,
    pub(super) days: Vec<Day>,
}

impl Days {
    /// So many days of a site.
    #[must_use]
    pub fn new(climate: &Climate<'_>, policy: &Policy, from: Date, count: usize) -> Self {
        let days = (0..count.max(1))
            .map(|step| {
                let date = add_days(from, step as f64);
                Day {
                    mean: climate.mean_c(date),
                    spread: climate.spread_c(policy, date),
                    light: climate.growing_light(policy, date).map(|mol| mol / MOL_PER_MJ),
                }
            })
            .collect();
        Self { from, days }
    }

    /// Whether light is known: it needs the site's latitude.
    #[must_use]
    pub fn light_is_known(&self) -> bool {
        self.days.first().is_some_and(|day| day.light.is_some())
    }

    /// The days from a day up to another, the last not counted.
    pub(super) fn between(&self, from: Date, to: Date) -> &[Day] {
        let at = |date: Date| {
            usize::try_from((date - self.from).num_days()).unwrap_or(0).min(self.days.len())
        };
        let (begins, ends) = (at(from), at(to));
        &self.days[begins..ends.max(begins)]
    }
}
