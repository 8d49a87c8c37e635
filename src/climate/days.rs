//! The days of a site laid out once, so that many crops and many starting days can be asked.
//!
//! What several crops share is summed once too: heat above a base, and the chance of outliving the
//! cold.

use std::ops::Deref;
use std::sync::Arc;

use super::degree_days::{DayTemperature, HeatModel};
use super::frost::Frost;
use super::heat::{expected_above, expected_degree_days};
use super::remembered::Remembered;
use super::soil::soil_mean_c;
use super::{Climate, temperature};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// Days looked at from a start: a crop that overwinters and is picked in its second summer.
pub(crate) const HORIZON: usize = 500;

/// Bases and killing temperatures of one site that are kept: the tables name fewer.
const SUMS_KEPT: usize = 64;

/// One day.
#[derive(Clone, Copy, Debug)]
pub struct Day {
    /// Lowest temperature to expect.
    pub tmin: f64,
    /// Highest.
    pub tmax: f64,
    /// Middle of the two.
    pub mean: f64,
    /// Standard deviation of single days about it.
    pub spread: f64,
    /// Bare bed at sowing depth.
    pub bed: f64,
    /// Hours from sunrise to sunset.
    pub daylength: Option<f64>,
    /// Light for growth, mol/m2.
    pub light: Option<f64>,
    /// Share of the growth that the length of the day allows: one but in short days.
    pub short_day_share: f64,
    place: usize,
}

/// Sums up to the start of each day, in early (warm), likely and late (cool) years; one longer than
/// the days, beginning at nothing.
pub type ThreeYears = [Vec<f64>; 3];

/// The days without a first date: a normal year serves for every year.
#[derive(Debug)]
pub struct Laid {
    /// Latitude, if the site is written.
    pub latitude: Option<f64>,
    /// The days, in order.
    pub days: Vec<Day>,
    frost: Frost,
    warmer: f64,
    above: Remembered<f64, ThreeYears>,
    counted: Remembered<HeatModel, ThreeYears>,
    living: Remembered<f64, Vec<f64>>,
}

impl Laid {
    fn new(climate: &Climate<'_>, policy: &Policy, from: Date, count: usize) -> Self {
        // Length of day and light depend on the place in the year alone.
        let dates: Vec<Date> = (0..count.max(1)).map(|day| add_days(from, day as f64)).collect();
        let mut sky: Vec<Option<(Option<f64>, Option<f64>)>> = vec![None; temperature::DAYS];
        let days = dates
            .iter()
            .map(|date| {
                let extremes = climate.extremes(*date);
                let place = temperature::place_in_year(*date);
                let (daylength, light) = *sky[place].get_or_insert_with(|| {
                    (
                        climate.daylength(*date).map(|hours| hours.0),
                        climate.growing_light(policy, *date),
                    )
                });
                Day {
                    tmin: extremes.tmin,
                    tmax: extremes.tmax,
                    mean: extremes.mean(),
                    spread: climate.spread_c(policy, *date),
                    bed: soil_mean_c(climate, *date) + policy.bare_bed_warmer_c,
                    daylength,
                    light,
                    short_day_share: daylength.map_or(1.0, |hours| short_day_share(policy, hours)),
                    place,
                }
            })
            .collect();
        Self {
            latitude: climate.site().map(|site| site.latitude),
            days,
            frost: Frost::at(climate, policy),
            warmer: policy.season_mean_sd_c,
            above: Remembered::at_most(SUMS_KEPT),
            counted: Remembered::at_most(SUMS_KEPT),
            living: Remembered::at_most(SUMS_KEPT),
        }
    }

    /// Chances of frost at the site.
    #[must_use]
    pub fn frost(&self) -> &Frost {
        &self.frost
    }

    /// Heat above a base from daily means, as far as the length of the day lets it be used.
    #[must_use]
    pub fn heat_above(&self, base_c: f64) -> Arc<ThreeYears> {
        self.above.get(base_c, || {
            self.three_years(|day, off| expected_above(day.mean + off, day.spread, base_c))
        })
    }

    /// Heat counted by a model, as far as the length of the day lets it be used.
    #[must_use]
    pub fn heat_counted(&self, model: HeatModel) -> Arc<ThreeYears> {
        self.counted.get(model, || {
            self.three_years(|day, off| {
                let shifted = DayTemperature { tmin: day.tmin + off, tmax: day.tmax + off };
                expected_degree_days(model, shifted, day.spread)
            })
        })
    }

    fn three_years(&self, heat: impl Fn(&Day, f64) -> f64) -> ThreeYears {
        [self.warmer, 0.0, -self.warmer].map(|off| {
            let mut sum = 0.0;
            std::iter::once(0.0)
                .chain(self.days.iter().map(|day| {
                    sum += day.short_day_share * heat(day, off);
                    sum
                }))
                .collect()
        })
    }

    /// Logarithm of the chance that no night up to the start of each day was at or below a
    /// temperature; one longer than the days, beginning at 0.
    #[must_use]
    pub fn living(&self, kill_c: f64) -> Arc<Vec<f64>> {
        self.living.get(kill_c, || {
            let mut sum = 0.0;
            std::iter::once(0.0)
                .chain(self.days.iter().map(|day| {
                    sum += (1.0 - self.frost.chance(kill_c, day.place)).max(1e-9).ln();
                    sum
                }))
                .collect()
        })
    }

    /// Mean of a figure over days, the last not counted; `None` for no days.
    #[must_use]
    pub fn mean_of(&self, from: usize, to: usize, figure: impl Fn(&Day) -> f64) -> Option<f64> {
        let to = to.min(self.days.len());
        let part = self.days.get(from.min(to)..to).filter(|part| !part.is_empty())?;
        Some(part.iter().map(figure).sum::<f64>() / part.len() as f64)
    }
}

/// The days of a site from a first day on.
#[derive(Clone, Debug)]
pub struct SiteDays {
    /// First day.
    pub from: Date,
    laid: Arc<Laid>,
}

impl Deref for SiteDays {
    type Target = Laid;
    fn deref(&self) -> &Laid {
        &self.laid
    }
}

/// What the normal days of a site rest on.
#[derive(Debug, PartialEq)]
pub(super) struct SiteKey {
    pub(super) months: super::MonthsKey,
    pub(super) site: Option<(f64, f64, crate::records::FrostDay, crate::records::FrostDay)>,
    pub(super) policy: Policy,
}

/// Sites whose normal year is kept: a run asks about one garden, tests about several.
static NORMAL_YEARS: Remembered<SiteKey, Laid> = Remembered::at_most(4);

impl SiteDays {
    /// So many days of a site, from a day on. Measured days stand as they were; beyond them the
    /// normals are what is expected.
    #[must_use]
    pub fn new(climate: &Climate<'_>, policy: &Policy, from: Date, count: usize) -> Self {
        Self { from, laid: Arc::new(Laid::new(climate, policy, from, count)) }
    }

    /// The normal days of a site about a date: they begin within the year before it and reach
    /// [`HORIZON`] days beyond a year from their beginning. Laid out once for all dates of a site.
    #[must_use]
    pub(crate) fn normal(climate: &Climate<'_>, policy: &Policy, about: Date) -> Self {
        // A year without a leap day, so that the days repeat themselves.
        const FROM: Option<Date> = Date::from_ymd_opt(2001, 1, 1);
        let laid = NORMAL_YEARS.get(climate.site_key(policy), || {
            let from = FROM.unwrap_or_default();
            Laid::new(&climate.normals_only(), policy, from, temperature::DAYS + HORIZON)
        });
        Self { from: add_days(about, -(normal_place(about) as f64)), laid }
    }

    /// Place of a date among the days; the first day for a date before them.
    #[must_use]
    pub fn index(&self, date: Date) -> usize {
        usize::try_from((date - self.from).num_days()).unwrap_or(0)
    }

    /// Date of a place.
    #[must_use]
    pub fn date(&self, index: usize) -> Date {
        add_days(self.from, index as f64)
    }
}

/// Place of a date in a year of 365 days, from 0; the leap day shares that of the day before it.
#[must_use]
pub(crate) fn normal_place(date: Date) -> usize {
    let place = temperature::place_in_year(date);
    if place >= 59 { place - 1 } else { place }
}

/// Growth in short days: all of it from ten hours on, falling straight to a floor.
fn short_day_share(policy: &Policy, hours: f64) -> f64 {
    ((hours - policy.short_day_none_h) / (policy.short_day_h - policy.short_day_none_h))
        .clamp(policy.short_day_floor, 1.0)
}
