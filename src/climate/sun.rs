//! Where the sun stands: declination, equation of time, sunrise, sunset, length of the day.
//!
//! Two definitions of the day's length are kept apart, because they differ by 7 minutes at the
//! equator and by half an hour in high summer at 60 degrees. [`daylight`] is what a grower sees:
//! upper limb, refraction counted (the low-precision equations of Meeus as the United States
//! weather service's solar calculator uses them). [`daylength_fao56`] is the geometry of Allen et
//! al. 1998, Irrigation and Drainage Paper 56, equations 24, 25 and 34: centre of the disc, no
//! refraction; its sums of radiation use it. Hills and trees matter more than either's error.

use chrono::Datelike;

use crate::season::{Date, day_number};
use crate::units::{Hours, MegajoulesPerSquareMetre};

/// Zenith angle of the sun's centre as its upper limb meets a flat horizon: 34' of refraction and
/// 16' of half its width below a right angle, less 8.8" because the grower stands on the earth's
/// surface and the equations are for its centre.
const HORIZON_ZENITH_DEG: f64 = 90.833 - 8.794 / 3600.0;

/// The sun at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sun {
    /// Angle above the equator, radians, north positive.
    pub declination: f64,
    /// Minutes by which the sundial is ahead of the clock.
    pub equation_of_time_min: f64,
}

/// What the sun does on one day at one place. Hours count from midnight of Universal Time of the
/// day named; away from Greenwich they may lie below 0 or above 24.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Daylight {
    /// The sun does not set.
    PolarDay,
    /// The sun does not rise.
    PolarNight,
    /// It rises and sets.
    Rises {
        /// Hour of sunrise.
        sunrise: Hours,
        /// Hour of sunset.
        sunset: Hours,
    },
}

impl Daylight {
    /// Length of the day.
    #[must_use]
    pub fn length(self) -> Hours {
        match self {
            Self::PolarDay => Hours(24.0),
            Self::PolarNight => Hours(0.0),
            Self::Rises { sunrise, sunset } => sunset - sunrise,
        }
    }
}

/// The sun at an hour of Universal Time on a day.
#[must_use]
pub fn sun_at(date: Date, hour: f64) -> Sun {
    // 1970-01-01 00:00 is Julian day 2440587.5; centuries count from noon of 2000-01-01.
    let centuries = (day_number(date) as f64 + hour / 24.0 - 10_957.5) / 36_525.0;
    let t = centuries;
    let mean_longitude = (280.466_46 + t * (36_000.769_83 + t * 0.000_303_2)).to_radians();
    let anomaly = (357.529_11 + t * (35_999.050_29 - t * 0.000_153_7)).to_radians();
    let eccentricity = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
    let centre = (1.914_602 - t * (0.004_817 + t * 0.000_014)) * anomaly.sin()
        + (0.019_993 - t * 0.000_101) * (2.0 * anomaly).sin()
        + 0.000_289 * (3.0 * anomaly).sin();
    let node = (125.04 - 1_934.136 * t).to_radians();
    let longitude = mean_longitude + (centre - 0.005_69 - 0.004_78 * node.sin()).to_radians();
    let obliquity_arcsec = 21.448 - t * (46.815 + t * (0.000_59 - t * 0.001_813));
    let obliquity =
        (23.0 + (26.0 + obliquity_arcsec / 60.0) / 60.0 + 0.002_56 * node.cos()).to_radians();
    let y = (obliquity / 2.0).tan().powi(2);
    let equation = y * (2.0 * mean_longitude).sin() - 2.0 * eccentricity * anomaly.sin()
        + 4.0 * eccentricity * y * anomaly.sin() * (2.0 * mean_longitude).cos()
        - 0.5 * y * y * (4.0 * mean_longitude).sin()
        - 1.25 * eccentricity * eccentricity * (2.0 * anomaly).sin();
    Sun {
        declination: (obliquity.sin() * longitude.sin()).asin(),
        equation_of_time_min: 4.0 * equation.to_degrees(),
    }
}

/// Cosine of the hour angle at which the sun meets the horizon; beyond one either way it does not.
fn horizon_cosine(latitude: f64, declination: f64) -> f64 {
    let phi = latitude.to_radians();
    (HORIZON_ZENITH_DEG.to_radians().cos() - phi.sin() * declination.sin())
        / (phi.cos() * declination.cos())
}

/// Sunrise and sunset of the day whose noon by the mean sun at the longitude falls on the date.
///
/// The sun moves on between noon and the horizon, so each end is sought again with the sun as it
/// stands then; near the polar circle that is worth a minute.
#[must_use]
pub fn daylight(latitude: f64, longitude: f64, date: Date) -> Daylight {
    // At the pole itself the cosine divides by nothing; a millionth of a degree beside it does not.
    let latitude = latitude.clamp(-89.999_999, 89.999_999);
    let mean_noon = 12.0 - longitude / 15.0;
    let noon = sun_at(date, mean_noon);
    let cosine = horizon_cosine(latitude, noon.declination);
    if cosine >= 1.0 {
        return Daylight::PolarNight;
    }
    if cosine <= -1.0 {
        return Daylight::PolarDay;
    }
    let end = |sign: f64| {
        let mut hour = mean_noon;
        for _ in 0..8 {
            let sun = sun_at(date, hour);
            let half = horizon_cosine(latitude, sun.declination).clamp(-1.0, 1.0).acos();
            hour = mean_noon - sun.equation_of_time_min / 60.0 + sign * half.to_degrees() / 15.0;
        }
        Hours(hour)
    };
    Daylight::Rises { sunrise: end(-1.0), sunset: end(1.0) }
}

/// Length of the day as a grower sees it, sunrise to sunset.
///
/// ```
/// use breakcrop::climate::sun::daylength;
/// use breakcrop::season::iso_day;
/// let midsummer = daylength(52.0, 5.7, iso_day("2025-06-21").unwrap());
/// assert!((midsummer.0 - 16.75).abs() < 0.05);
/// ```
#[must_use]
pub fn daylength(latitude: f64, longitude: f64, date: Date) -> Hours {
    daylight(latitude, longitude, date).length()
}

/// Equation 24 of FAO-56: declination from the day of the year alone.
fn fao56_declination(day: u32) -> f64 {
    0.409 * (std::f64::consts::TAU * f64::from(day) / 365.0 - 1.39).sin()
}

/// Equation 25 of FAO-56: hour angle of sunset, radians; 0 in polar night, pi in polar day.
fn fao56_sunset_angle(latitude: f64, declination: f64) -> f64 {
    (-latitude.to_radians().tan() * declination.tan()).clamp(-1.0, 1.0).acos()
}

/// Length of the day by FAO-56, equation 34. Shorter than sunrise to sunset.
#[must_use]
pub fn daylength_fao56(latitude: f64, day_of_year: u32) -> Hours {
    Hours(
        24.0 / std::f64::consts::PI * fao56_sunset_angle(latitude, fao56_declination(day_of_year)),
    )
}

/// Radiation on a level surface above the air (Ra) over a day: FAO-56, equations 21 and 23.
#[must_use]
pub fn radiation_above_air(latitude: f64, day_of_year: u32) -> MegajoulesPerSquareMetre {
    let phi = latitude.to_radians();
    let declination = fao56_declination(day_of_year);
    let angle = fao56_sunset_angle(latitude, declination);
    let nearness = 1.0 + 0.033 * (std::f64::consts::TAU * f64::from(day_of_year) / 365.0).cos();
    MegajoulesPerSquareMetre(
        24.0 * 60.0 / std::f64::consts::PI
            * 0.0820
            * nearness
            * (angle * phi.sin() * declination.sin() + phi.cos() * declination.cos() * angle.sin()),
    )
}

/// Light for growth over a day, in mol/m2 (the trade's daily light integral), from how far the
/// day's temperatures spread: FAO-56 equation 50 with its coefficient for inland or coast, capped
/// at a clear sky (equation 37 at sea level), and 2.06 mol of growing light a megajoule (45 % of
/// it, 4.57 mol/MJ). The coefficients are from memory.
#[must_use]
pub fn growing_light(latitude: f64, date: Date, spread_c: f64, coastal: bool) -> f64 {
    let above = radiation_above_air(latitude, date.ordinal()).0;
    let coefficient = if coastal { 0.19 } else { 0.16 };
    (coefficient * spread_c.max(0.0).sqrt()).min(0.75) * above * 2.06
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::iso_day;

    fn day(text: &str) -> Date {
        iso_day(text).expect("a day")
    }

    #[test]
    fn fao56_example_10_day_of_september_at_20_south() {
        // FAO-56 example 10: 20 S, 3 September, N = 11.7 h (unrounded 11.66559).
        assert!((daylength_fao56(-20.0, 246).0 - 11.665_59).abs() < 1e-4);
    }

    #[test]
    fn fao56_example_8_radiation_at_20_south() {
        // FAO-56 example 8: same place and day, Ra = 32.2 MJ m-2 d-1.
        assert!((radiation_above_air(-20.0, 246).0 - 32.194).abs() < 1e-3);
    }

    #[test]
    fn sunrise_comes_before_noon_and_sunset_after() {
        let Daylight::Rises { sunrise, sunset } = daylight(34.0, -118.3, day("2025-03-20")) else {
            panic!("the sun rises there");
        };
        // Los Angeles, 20 March 2025: 6:56 and 19:04 by the clock (UTC-7), thus 13:56 and 2:04.
        assert!((sunrise.0 - 13.93).abs() < 0.05, "{sunrise:?}");
        assert!((sunset.0 - 26.07).abs() < 0.05, "{sunset:?}");
    }

    #[test]
    fn the_sundial_is_furthest_ahead_early_in_november() {
        let equation = sun_at(day("2025-11-03"), 12.0).equation_of_time_min;
        assert!((equation - 16.4).abs() < 0.1, "{equation}");
    }

    #[test]
    fn polar_day_and_polar_night_have_no_sunrise() {
        assert_eq!(daylight(78.2, 15.6, day("2025-06-21")), Daylight::PolarDay);
        assert_eq!(daylight(78.2, 15.6, day("2025-12-21")), Daylight::PolarNight);
        assert_eq!(daylight(90.0, 0.0, day("2025-06-21")), Daylight::PolarDay);
        assert_eq!(daylight(-90.0, 0.0, day("2025-06-21")), Daylight::PolarNight);
    }

    #[test]
    fn ten_hour_dates_of_37_and_52_degrees() {
        // Worked spells below ten hours, 2025: 37 N from 23 Nov to 19 Jan (57 d), 52 N from
        // 26 Oct to 16 Feb (113 d), 38 S from 18 May to 25 Jul; never at 31 N.
        let short = |latitude: f64, from: &str, to: &str| {
            assert!(daylength(latitude, 0.0, day(from)).0 < 10.0, "{latitude} {from}");
            assert!(daylength(latitude, 0.0, day(to)).0 < 10.0, "{latitude} {to}");
        };
        let long = |latitude: f64, text: &str| {
            assert!(daylength(latitude, 0.0, day(text)).0 >= 10.0, "{latitude} {text}");
        };
        short(37.0, "2025-11-24", "2025-01-18");
        long(37.0, "2025-11-22");
        long(37.0, "2025-01-20");
        short(52.0, "2025-10-27", "2025-02-15");
        long(52.0, "2025-10-25");
        long(52.0, "2025-02-17");
        short(-38.0, "2025-05-19", "2025-07-24");
        long(-38.0, "2025-05-17");
        long(-38.0, "2025-07-26");
        long(31.0, "2025-12-21");
    }

    #[test]
    fn onion_daylengths_at_37_north() {
        // Worked: 12 h on 17 March, 13 h on 11 April, 14 h on 10 May, 14.7 h at the most.
        for (text, hours) in [("2025-03-17", 12.0), ("2025-04-11", 13.0), ("2025-05-10", 14.0)] {
            assert!((daylength(37.0, 0.0, day(text)).0 - hours).abs() < 0.04, "{text}");
        }
        assert!((daylength(37.0, 0.0, day("2025-06-21")).0 - 14.7).abs() < 0.05);
    }

    #[test]
    fn growing_light_on_a_clear_day_at_37_north() {
        // Worked clear-sky sums: 24 mol late in December, 46 at the equinox, 65 in June.
        for (text, mol) in [("2025-12-25", 24.0), ("2025-03-20", 46.0), ("2025-06-21", 65.0)] {
            let light = growing_light(37.0, day(text), 25.0, true);
            assert!((light - mol).abs() < 1.5, "{text}: {light}");
        }
    }
}
