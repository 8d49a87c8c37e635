//! Quantities in the units a grower asked for: kept metric, shown metric or as in the US.

use super::words;
use crate::estimate::Estimate;
use crate::units::{Dimension, UnitSystem};

/// Grams of a pound, and square metres of the thousand square feet by which home gardens are fed.
const GRAMS_M2_OF_LB_1000_FT2: f64 = 453.592_37 / 92.903_04;

/// The units in which a page shows quantities.
#[derive(Clone, Copy, Debug, Default)]
pub struct Units(pub UnitSystem);

impl Units {
    fn shown(self, dimension: Dimension, kept: f64) -> f64 {
        dimension.shown_in(self.0).1.back(kept)
    }

    fn degree_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "C",
            UnitSystem::Us => "F",
        }
    }

    /// A temperature: `12.5 C` or `54.5 F`.
    #[must_use]
    pub fn degrees(self, celsius: f64) -> String {
        let shown = self.shown(Dimension::Temperature, celsius);
        format!("{} {}", words::number(shown), self.degree_sign())
    }

    /// A range of temperatures, one figure if both ends are the same.
    #[must_use]
    pub fn degree_range(self, range: Estimate) -> String {
        if (range.high - range.low).abs() < 0.05 {
            return self.degrees(range.low);
        }
        let end = |celsius| words::number(self.shown(Dimension::Temperature, celsius));
        format!("{} to {} {}", end(range.low), end(range.high), self.degree_sign())
    }

    /// A difference of temperatures or a heat sum, without its sign.
    #[must_use]
    pub fn degrees_apart(self, kelvin: f64) -> String {
        words::number(self.shown(Dimension::TemperatureSpread, kelvin))
    }

    /// What stands for nutrients over the ground: `g/m2` or `lb/1000 ft2`.
    #[must_use]
    pub fn over_ground_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "g/m2",
            UnitSystem::Us => "lb/1000 ft2",
        }
    }

    /// Grams a square metre in the unit shown.
    #[must_use]
    pub fn over_ground(self, grams_m2: f64) -> f64 {
        match self.0 {
            UnitSystem::Metric => grams_m2,
            UnitSystem::Us => grams_m2 / GRAMS_M2_OF_LB_1000_FT2,
        }
    }

    /// `12 (8 to 20) g/m2` or `2.5 (1.6 to 4.1) lb/1000 ft2`.
    #[must_use]
    pub fn nutrients(self, grams_m2: Estimate) -> String {
        format!("{} {}", self.nutrient_figures(grams_m2), self.over_ground_sign())
    }

    /// The figures of [`Units::nutrients`] without the unit.
    #[must_use]
    pub fn nutrient_figures(self, grams_m2: Estimate) -> String {
        words::with_range(grams_m2.map(|grams| self.over_ground(grams)))
    }

    /// Mass of materials and harvests: `kg` or `lb`.
    #[must_use]
    pub fn mass_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "kg",
            UnitSystem::Us => "lb",
        }
    }

    /// Kilograms in the unit shown.
    #[must_use]
    pub fn mass(self, kilograms: f64) -> f64 {
        self.shown(Dimension::Mass, kilograms)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_figures_in_both_systems() {
        let (metric, us) = (Units(UnitSystem::Metric), Units(UnitSystem::Us));
        assert_eq!(metric.degrees(12.5), "12.5 C");
        assert_eq!(us.degrees(12.5), "54.5 F");
        assert_eq!(us.degree_range(Estimate::new(10.0, 12.0, 15.0)), "50 to 59 F");
        assert_eq!(us.degrees_apart(2.5), "4.5");
        // Twenty grams of nitrogen a square metre are the four pounds a thousand square feet of
        // garden bulletins.
        assert_eq!(us.nutrients(Estimate::exact(20.0)), "4.1 lb/1000 ft2");
        assert_eq!(metric.nutrients(Estimate::exact(20.0)), "20 g/m2");
        assert!((us.mass(1.0) - 2.204_622_6).abs() < 1e-6);
    }
}
