//! Warmth and water as the ledger needs them: how fast things rot, and what rain washes out.
//!
//! Warmth: mineralisation rises by `q10` for ten degrees (`crop_thresholds`, soil:
//! `mineralization_q10`); below 5 C it falls in a straight line to nothing at 0 C (nitrification is
//! held to be nearly halted at 5 C by one source and to go on to 0 C by another: `crop_thresholds`).
//! Water: evaporation after Hargreaves (FAO-56, equations 21 to 25 and 52) from the monthly normals;
//! what rain is left displaces the water that the root zone holds. The share washed out,
//! 1 - exp(-surplus / held), is that of a mixed root zone; for nitrate spread through the zone it
//! lies within 0.03 of the Burns equation from half a displacement to one (see the test).

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::books::Spread;
use crate::climate::Climate;
use crate::policy::Policy;
use crate::records::{Bed, BedKind, Garden};
use crate::season::{DAYS_PER_YEAR, Date, in_growing_half};

/// Days in the prefix sums: a leap year.
const DAYS: usize = 366;

/// Factor on mineralisation at a temperature; one at the reference.
///
/// ```
/// use breakcrop::policy::Policy;
/// use breakcrop::state::nutrients::temperature_factor;
/// let policy = Policy::default();
/// assert!((temperature_factor(&policy, 25.0) - 2.0).abs() < 1e-12);
/// assert_eq!(temperature_factor(&policy, -3.0), 0.0);
/// ```
#[must_use]
pub fn temperature_factor(policy: &Policy, mean_c: f64) -> f64 {
    let exponential = |celsius: f64| {
        policy.mineralisation_q10.powf((celsius - policy.mineralisation_reference_c) / 10.0)
    };
    if mean_c <= 0.0 {
        0.0
    } else if mean_c < 5.0 {
        exponential(5.0) * mean_c / 5.0
    } else {
        exponential(mean_c.min(35.0))
    }
}

/// Share of a full growing day that a cover makes of a mean temperature: none at 4 C, all at 14 C.
fn growth_factor(mean_c: f64) -> f64 {
    ((mean_c - 4.0) / 10.0).clamp(0.0, 1.0)
}

/// Radiation above the air, MJ/m2 a day (FAO-56, equations 21 to 25).
fn radiation(latitude: f64, day_of_year: f64) -> f64 {
    let turn = std::f64::consts::TAU * day_of_year / 365.0;
    let distance = 1.0 + 0.033 * turn.cos();
    let declination = 0.409 * (turn - 1.39).sin();
    let latitude = latitude.to_radians();
    let sunset = (-latitude.tan() * declination.tan()).clamp(-1.0, 1.0).acos();
    let sun = sunset * latitude.sin() * declination.sin()
        + latitude.cos() * declination.cos() * sunset.sin();
    (24.0 * 60.0 / std::f64::consts::PI) * 0.0820 * distance * sun
}

/// Evaporation of a grown stand, mm a day (Hargreaves, FAO-56, equation 52; 0.408 turns MJ/m2 into
/// mm).
#[must_use]
pub fn evaporation_mm(latitude: f64, day_of_year: f64, tmin_c: f64, tmax_c: f64) -> f64 {
    let mean = f64::midpoint(tmin_c, tmax_c);
    let swing = (tmax_c - tmin_c).max(0.0).sqrt();
    (0.0023 * (mean + 17.8) * swing * 0.408 * radiation(latitude, day_of_year)).max(0.0)
}

/// What is known of rain.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Rain {
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
    /// The days measured before a day, which is not looked beyond.
    fn of(
        garden: &Garden,
        climate: &Climate<'_>,
        policy: &Policy,
        rain: Rain,
        latitude: f64,
        before: Date,
    ) -> Self {
        let normals = climate.normals_only();
        let mut sums = Self::default();
        let mut sum = [0.0; 4];
        for day in garden.weather.iter().filter(|day| day.date < before) {
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

    /// What the measured days from one day up to another make more than ordinary ones.
    fn between(&self, sums: &[f64], from: Date, to: Date) -> f64 {
        let at = |date: Date| {
            let step = self.dates.partition_point(|day| *day < date);
            sums.get(step).copied().unwrap_or(0.0)
        };
        if to <= from { 0.0 } else { at(to) - at(from) }
    }
}

/// Warmth and water of a bed, day by day of an ordinary year, and of the days that were measured.
#[derive(Clone, Debug)]
pub struct Weather {
    measured: Arc<Measured>,
    /// Warmth from the year's first day, in days at the reference temperature.
    warmth: Arc<[f64]>,
    /// Growing days from the year's first day.
    growth: Arc<[f64]>,
    rain: Rain,
    held_mm: Spread,
    leached_unknown: Spread,
    bare: f64,
}

impl Weather {
    /// The weather of a bed, with the days measured before a day. Without a climate every day is
    /// taken at the reference temperature.
    #[must_use]
    pub fn of(garden: &Garden, bed: Option<&Bed>, policy: &Policy, before: Date) -> Self {
        let climate = Climate::of(garden);
        let ordinary = climate.as_ref().map(Climate::normals_only);
        let latitude = garden.site.as_ref().map_or(45.0, |site| site.latitude);
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
            Arc::from(sums)
        };
        let rain = known_rain(garden, latitude).map_or(Rain::Unknown(latitude), Rain::Known);
        let container = bed.is_some_and(|bed| bed.kind == BedKind::Container);
        let depth_dm = bed
            .and_then(|bed| bed.soil_depth)
            .map_or(policy.root_zone_dm, |depth| (depth.0 / 10.0).min(policy.root_zone_dm));
        let sandy = bed.is_some_and(|bed| {
            bed.note
                .split(|sign: char| !sign.is_alphabetic())
                .any(|word| ["sand", "sandy"].iter().any(|known| word.eq_ignore_ascii_case(known)))
        });
        let held = if sandy || container {
            policy.water_held_sand_mm_per_dm
        } else {
            policy.water_held_mm_per_dm
        };
        let measured = climate.map_or_else(Measured::default, |climate| {
            Measured::of(garden, &climate, policy, rain, latitude, before)
        });
        Self {
            measured: Arc::new(measured),
            warmth: sums(&|celsius| temperature_factor(policy, celsius)),
            growth: sums(&growth_factor),
            rain,
            held_mm: Spread::supply(held) * depth_dm,
            leached_unknown: Spread::loss(policy.leached_unknown_winter),
            bare: policy.bare_soil_evaporation,
        }
    }

    /// Warmth from one day to another, in days at the reference temperature.
    #[must_use]
    pub fn warmth(&self, from: Date, to: Date) -> f64 {
        let more = self.measured.between(&self.measured.warmth, from, to);
        (between(&self.warmth, from, to) + more).max(0.0)
    }

    /// Warmth of an ordinary year.
    #[must_use]
    pub fn warmth_of_year(&self) -> f64 {
        self.warmth[DAYS] * DAYS_PER_YEAR / DAYS as f64
    }

    /// Growing days from one day to another.
    #[must_use]
    pub fn growing_days(&self, from: Date, to: Date) -> f64 {
        let more = self.measured.between(&self.measured.growth, from, to);
        (between(&self.growth, from, to) + more).max(0.0)
    }

    /// Share of the free nitrate washed out between two days of one month, with or without a
    /// stand; nothing where evaporation takes all the rain.
    #[must_use]
    pub fn leached_share(&self, from: Date, to: Date, planted: bool) -> Spread {
        let days = (to - from).num_days() as f64;
        match self.rain {
            Rain::Known(months) => {
                let (rain, evaporation) = months[from.month0() as usize];
                let measured = &self.measured;
                let rain = rain * days + measured.between(&measured.rain_mm, from, to);
                let evaporation =
                    evaporation * days + measured.between(&measured.evaporation_mm, from, to);
                let evaporated = evaporation * if planted { 1.0 } else { self.bare };
                let surplus = (rain - evaporated).max(0.0);
                self.held_mm.map(|held| leached(surplus, held))
            }
            Rain::Unknown(latitude) if in_growing_half(from, latitude) => Spread::ZERO,
            Rain::Unknown(_) => {
                // The monthly share compounds over the days, so that a month cut in parts loses
                // the same.
                self.leached_unknown.map(|share| 1.0 - (1.0 - share).powf(days / 30.4))
            }
        }
    }

    /// Whether rain is on record.
    #[must_use]
    pub fn rain_is_known(&self) -> bool {
        matches!(self.rain, Rain::Known(_))
    }

    /// Rain left over in a month of a bare bed, mm; `None` without rain on record.
    #[must_use]
    pub fn surplus_mm(&self, month: u32) -> Option<f64> {
        match self.rain {
            Rain::Known(months) => {
                let (rain, evaporation) = months[(month as usize + 11) % 12];
                Some((rain - evaporation * self.bare).max(0.0) * 30.4)
            }
            Rain::Unknown(_) => None,
        }
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

/// Share washed out of a mixed root zone by a surplus.
#[must_use]
pub(super) fn leached(surplus_mm: f64, held_mm: f64) -> f64 {
    1.0 - (-surplus_mm / held_mm.max(1.0)).exp()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::iso_day;

    #[test]
    fn evaporation_of_the_worked_example() {
        // FAO-56, example 20: Lyon, 45.72 N, July, 14.8 and 26.6 C: 5.0 mm a day.
        let evaporation = evaporation_mm(45.72, 196.0, 14.8, 26.6);
        assert!((evaporation - 5.0).abs() < 0.1, "{evaporation}");
    }

    #[test]
    fn leaching_lies_close_to_the_burns_equation() {
        // Burns 1975 in the form of Scotter 1993, exp(-z theta / I), for nitrate spread through the
        // zone: half the depth.
        for displaced in [0.5, 0.75, 1.0] {
            let burns = (-0.5_f64 / displaced).exp();
            let ours = leached(100.0 * displaced, 100.0);
            assert!((burns - ours).abs() < 0.03, "{displaced}: {burns} {ours}");
        }
    }

    fn begins() -> Date {
        iso_day("2025-01-01").expect("a day")
    }

    #[test]
    fn measured_days_beat_the_normals_up_to_the_day_asked_and_not_beyond() {
        let normals = [(4.0, 14.0); 12];
        let mut garden = crate::climate::tests::garden(45.0, &normals);
        for month in &mut garden.climate {
            month.rain = Some(crate::units::Millimetres(30.0));
        }
        let from = iso_day("2024-03-01").expect("a day");
        garden.weather = (0..31)
            .map(|step| crate::records::WeatherDay {
                date: crate::season::add_days(from, f64::from(step)),
                tmin: crate::units::Celsius(14.0),
                tmax: crate::units::Celsius(24.0),
                rain: Some(crate::units::Millimetres(12.0)),
                origin: crate::origin::Origin::new("weather.csv", 2),
            })
            .collect();
        let policy = Policy::default();
        let (seen, unseen) = (
            Weather::of(&garden, None, &policy, begins()),
            Weather::of(&garden, None, &policy, from),
        );
        let to = iso_day("2024-04-01").expect("a day");
        // Ten degrees warmer: twice the warmth, and rain beyond what evaporates.
        let ratio = seen.warmth(from, to) / unseen.warmth(from, to);
        assert!((ratio - 2.0).abs() < 0.01, "{ratio}");
        assert!(seen.growing_days(from, to) > unseen.growing_days(from, to));
        let washed = |weather: &Weather| weather.leached_share(from, to, true).range().likely;
        assert!(washed(&seen) > 0.5 && washed(&unseen) < 0.05);
        let (later, end) = (to, iso_day("2024-06-01").expect("a day"));
        assert!((seen.warmth(later, end) - unseen.warmth(later, end)).abs() < 1e-9);
        // The year of the measured days is no ordinary year.
        assert!((seen.warmth_of_year() - unseen.warmth_of_year()).abs() < 1e-9);
    }

    #[test]
    fn a_time_cut_in_two_holds_the_same_warmth() {
        let weather = Weather::of(&Garden::default(), None, &Policy::default(), begins());
        let day = |text| iso_day(text).expect("a day");
        let (from, middle, to) = (day("2023-11-20"), day("2024-02-03"), day("2025-03-01"));
        let whole = weather.warmth(from, to);
        let parts = weather.warmth(from, middle) + weather.warmth(middle, to);
        assert!((whole - parts).abs() < 1e-9);
        assert!((whole - (to - from).num_days() as f64).abs() < 2.0, "{whole}");
    }
}
