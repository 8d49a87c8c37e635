//! Temperature of the soil from that of the air.
//!
//! Two mechanisms. [`annual_wave`] is the textbook wave through a uniform soil (Hillel 1982): it
//! shows that at sowing depth a season's soil is as warm as its surface. [`soil_mean_c`] is what
//! sowing questions use: at 10 cm, the mean of the air over the last eleven days (after Zheng,
//! Hunt and Running 1993, Climate Research 2:183-191, whose regressions missed 77 to 96 % of days
//! by less than 3.5 degrees). A sunny bare bed or a mulched one differs by several degrees; under
//! a standing crop the rise of spring is slowed by its leaves.

use super::Climate;
use crate::season::{Date, add_days};
use crate::units::{Celsius, Centimetres};

/// Days of air over which the soil at sowing depth averages.
const LAG_DAYS: i64 = 11;

/// Degrees by which the soil so estimated may be off either way.
pub const SOIL_TOLERANCE: Celsius = Celsius(3.0);

/// Share of the canopy's cooling for each unit of leaf area index.
const LEAF_SHADE: f64 = 0.5;

/// Soil at about 10 cm on a day, from the air of the eleven days up to it.
#[must_use]
pub fn soil_mean_c(climate: &Climate<'_>, date: Date) -> f64 {
    let days = (0..LAG_DAYS).map(|back| climate.mean_c(add_days(date, -(back as f64))));
    days.sum::<f64>() / LAG_DAYS as f64
}

/// Soil under a crop with a leaf area index, day after day from a start: what the air adds is
/// slowed by the leaves while it warms, not while it cools. The daily step of a quarter is from
/// memory of the same paper.
#[must_use]
pub fn soil_under_crop_c(climate: &Climate<'_>, from: Date, to: Date, leaf_area: f64) -> f64 {
    let days = (to - from).num_days().max(0);
    (0..days).fold(soil_mean_c(climate, from), |soil, day| {
        let step = climate.mean_c(add_days(from, day as f64)) - soil;
        let shade = if step > 0.0 { (-LEAF_SHADE * leaf_area.max(0.0)).exp() } else { 1.0 };
        soil + 0.25 * step * shade
    })
}

/// How the annual wave of the surface arrives at a depth: the factor on its height, and days late.
#[must_use]
pub fn annual_wave(depth: Centimetres, diffusivity_m2_per_day: f64) -> (f64, f64) {
    let omega = std::f64::consts::TAU / 365.0;
    let damping_depth_m = (2.0 * diffusivity_m2_per_day / omega).sqrt();
    let relative = depth.0 / 100.0 / damping_depth_m;
    ((-relative).exp(), relative / omega)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{day, garden};
    use super::*;

    #[test]
    fn the_wave_at_10_and_50_cm() {
        // Worked for a clay soil of 0.027 to 0.034 m2 a day: damping depth 1.8 to 2.0 m; at 10 cm
        // 5 % less and 3 days late, at 50 cm 22 % less and 15 days late.
        let (height, late) = annual_wave(Centimetres(10.0), 0.034);
        assert!((height - 0.95).abs() < 0.01 && (late - 3.0).abs() < 0.3, "{height} {late}");
        let (height, late) = annual_wave(Centimetres(50.0), 0.034);
        assert!((height - 0.78).abs() < 0.01 && (late - 15.0).abs() < 1.0, "{height} {late}");
    }

    #[test]
    fn soil_lags_behind_a_warming_spring_and_leaves_slow_it_more() {
        let normals = std::array::from_fn(|month| {
            let warmth = 12.0 - 10.0 * ((month as f64) * std::f64::consts::TAU / 12.0).cos();
            (warmth - 5.0, warmth + 5.0)
        });
        let garden = garden(45.0, &normals);
        let climate = Climate::of(&garden).expect("twelve months");
        let spring = day("2025-04-20");
        let bare = soil_mean_c(&climate, spring);
        assert!(bare < climate.mean_c(spring));
        let covered = soil_under_crop_c(&climate, day("2025-03-01"), spring, 4.0);
        assert!(covered < bare);
    }
}
