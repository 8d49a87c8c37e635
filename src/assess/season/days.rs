//! The days of a site laid out once, so that many crops and many starting days can be asked.

use crate::climate::frost::Frost;
use crate::climate::soil::soil_mean_c;
use crate::climate::{Climate, temperature};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// Days looked at from a start: a crop that overwinters and is picked in its second summer.
pub(super) const HORIZON: usize = 500;

/// One day.
#[derive(Clone, Copy, Debug)]
pub(super) struct Day {
    pub(super) tmin: f64,
    pub(super) tmax: f64,
    pub(super) mean: f64,
    pub(super) spread: f64,
    /// Bare bed at sowing depth.
    pub(super) bed: f64,
    /// Hours from sunrise to sunset.
    pub(super) daylength: Option<f64>,
    /// Light for growth, mol/m2.
    pub(super) light: Option<f64>,
}

/// The days of a site from a first day on.
#[derive(Clone, Debug)]
pub struct SiteDays {
    /// First day.
    pub from: Date,
    /// Latitude, if the site is written.
    pub latitude: Option<f64>,
    pub(super) days: Vec<Day>,
    pub(super) frost: Frost,
}

impl SiteDays {
    /// So many days of a site, from a day on. Measured days stand as they were; beyond them the
    /// normals are what is expected.
    #[must_use]
    pub fn new(climate: &Climate<'_>, policy: &Policy, from: Date, count: usize) -> Self {
        // Length of day and light depend on the place in the year alone.
        let dates: Vec<Date> = (0..count.max(1)).map(|day| add_days(from, day as f64)).collect();
        let mut sky: Vec<Option<(Option<f64>, Option<f64>)>> = vec![None; temperature::DAYS];
        let days = dates
            .iter()
            .map(|date| {
                let extremes = climate.extremes(*date);
                let (daylength, light) = *sky[temperature::place_in_year(*date)].get_or_insert((
                    climate.daylength(*date).map(|hours| hours.0),
                    climate.growing_light(policy, *date),
                ));
                Day {
                    tmin: extremes.tmin,
                    tmax: extremes.tmax,
                    mean: extremes.mean(),
                    spread: climate.spread_c(policy, *date),
                    bed: soil_mean_c(climate, *date) + policy.bare_bed_warmer_c,
                    daylength,
                    light,
                }
            })
            .collect();
        Self {
            from,
            latitude: climate.site().map(|site| site.latitude),
            days,
            frost: Frost::at(climate, policy),
        }
    }

    /// Chances of frost at the site.
    #[must_use]
    pub fn frost(&self) -> &Frost {
        &self.frost
    }

    /// Place of a date among the days; the first day for a date before them.
    pub(super) fn index(&self, date: Date) -> usize {
        usize::try_from((date - self.from).num_days()).unwrap_or(0)
    }

    /// Date of a place.
    pub(super) fn date(&self, index: usize) -> Date {
        add_days(self.from, index as f64)
    }

    /// Mean of a figure over days, the last not counted; `None` for no days.
    pub(super) fn mean_of(
        &self,
        from: usize,
        to: usize,
        figure: impl Fn(&Day) -> f64,
    ) -> Option<f64> {
        let to = to.min(self.days.len());
        let part = self.days.get(from.min(to)..to).filter(|part| !part.is_empty())?;
        Some(part.iter().map(figure).sum::<f64>() / part.len() as f64)
    }
}
