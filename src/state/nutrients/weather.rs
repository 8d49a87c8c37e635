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

use chrono::Datelike;

use super::books::Spread;
use super::growth::{Heat, HeatPolicy, NormalDays};
use super::site_year::{Rain, SiteYear, site_year};
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::{Bed, BedKind, Garden};
use crate::season::{Date, in_growing_half};

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
pub(super) fn growth_factor(mean_c: f64) -> f64 {
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

/// Warmth and water of a bed, day by day of an ordinary year, and of the days that were measured.
#[derive(Clone, Debug)]
pub struct Weather {
    site: Arc<SiteYear>,
    /// Measured days count up to here: what lies ahead is not known.
    before: Date,
    held_mm: Spread,
    leached_unknown: Spread,
    bare: f64,
    /// The normal days by which crops grow; `None` without a climate.
    days: Option<NormalDays>,
    heat: HeatPolicy,
}

impl Weather {
    /// The weather of a bed, with the days measured before a day. Without a climate every day is
    /// taken at the reference temperature.
    #[must_use]
    pub fn of(garden: &Garden, bed: Option<&Bed>, policy: &Policy, before: Date) -> Self {
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
        Self {
            site: site_year(garden, policy),
            before,
            held_mm: Spread::supply(held) * depth_dm,
            leached_unknown: Spread::loss(policy.leached_unknown_winter),
            bare: policy.bare_soil_evaporation,
            days: Climate::of(garden).map(|climate| NormalDays::of(&climate, policy)),
            heat: HeatPolicy::of(policy),
        }
    }

    /// The warmth that a crop set on a day grows in, if the site's is known.
    pub(super) fn heat(&self, knowledge: &Knowledge, crop: CropId, start: Date) -> Option<Heat> {
        Heat::of(knowledge, self.heat, self.days.as_ref()?, crop, start)
    }

    /// The same with the days measured before another day.
    pub(super) fn known_before(&mut self, before: Date) {
        self.before = before;
    }

    /// Warmth from one day to another, in days at the reference temperature.
    #[must_use]
    pub fn warmth(&self, from: Date, to: Date) -> f64 {
        self.site.warmth(from, to, self.before)
    }

    /// Warmth of an ordinary year.
    #[must_use]
    pub fn warmth_of_year(&self) -> f64 {
        self.site.warmth_of_year()
    }

    /// Growing days from one day to another.
    #[must_use]
    pub fn growing_days(&self, from: Date, to: Date) -> f64 {
        self.site.growing_days(from, to, self.before)
    }

    /// Share of the free nitrate washed out between two days of one month, with or without a
    /// stand; nothing where evaporation takes all the rain.
    #[must_use]
    pub fn leached_share(&self, from: Date, to: Date, planted: bool) -> Spread {
        let days = (to - from).num_days() as f64;
        match self.site.rain {
            Rain::Known(months) => {
                let (rain, evaporation) = months[from.month0() as usize];
                let (more_rain, more_evaporation) =
                    self.site.more_rain_and_evaporation(from, to, self.before);
                let rain = rain * days + more_rain;
                let evaporation = evaporation * days + more_evaporation;
                let evaporated = evaporation * if planted { 1.0 } else { self.bare };
                let surplus = (rain - evaporated).max(0.0);
                if surplus <= 0.0 {
                    return Spread::ZERO;
                }
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
        matches!(self.site.rain, Rain::Known(_))
    }

    /// Rain left over in a month of a bare bed, mm; `None` without rain on record.
    #[must_use]
    pub fn surplus_mm(&self, month: u32) -> Option<f64> {
        match self.site.rain {
            Rain::Known(months) => {
                let (rain, evaporation) = months[(month as usize + 11) % 12];
                Some((rain - evaporation * self.bare).max(0.0) * 30.4)
            }
            Rain::Unknown(_) => None,
        }
    }
}

/// Share washed out of a mixed root zone by a surplus.
#[must_use]
pub(super) fn leached(surplus_mm: f64, held_mm: f64) -> f64 {
    1.0 - (-surplus_mm / held_mm.max(1.0)).exp()
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
