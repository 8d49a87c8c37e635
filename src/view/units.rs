//! Quantities in the units a grower asked for: kept metric, shown metric or as in the US.

use super::words;
use crate::estimate::Estimate;
use crate::units::{Dimension, UnitSystem};

/// Grams of a pound, and square metres of the thousand square feet by which home gardens are fed.
const GRAMS_M2_OF_LB_1000_FT2: f64 = 453.592_37 / 92.903_04;

/// Grams of an ounce avoirdupois.
const GRAMS_OF_OUNCE: f64 = 28.349_523_125;

/// The units in which a page shows quantities.
#[derive(Clone, Copy, Debug, Default)]
pub struct Units(pub UnitSystem);

impl Units {
    fn shown(self, dimension: Dimension, kept: f64) -> f64 {
        dimension.shown_in(self.0).1.back(kept)
    }

    /// What stands for degrees: `C` or `F`.
    #[must_use]
    pub fn degree_sign(self) -> &'static str {
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

    /// A figure over the ground that is already in the unit shown: whole from ten up, one decimal below. Below one US units
    /// get a second, since five grams a square metre are one pound a thousand square feet.
    #[must_use]
    pub fn figure(self, shown: f64) -> String {
        if self.0 == UnitSystem::Metric || shown.abs() >= 0.995 {
            return words::rounded(shown);
        }
        let text = format!("{shown:.2}");
        let text = text.trim_end_matches('0').trim_end_matches('.');
        if text == "-0" { "0".to_owned() } else { text.to_owned() }
    }

    /// `8 to 20`, one figure if both round alike; ends already in the unit shown.
    #[must_use]
    pub fn figures(self, low: f64, high: f64) -> String {
        let (low, high) = (self.figure(low), self.figure(high));
        if low == high { low } else { format!("{low} to {high}") }
    }

    /// `12 (8 to 20)`; a figure and its range already in the unit shown.
    fn with_range(self, shown: Estimate) -> String {
        let likely = self.figure(shown.likely);
        let range = self.figures(shown.low, shown.high);
        if range.contains(" to ") { format!("{likely} ({range})") } else { likely }
    }

    /// `12 (8 to 20) g/m2` or `2.5 (1.6 to 4.1) lb/1000 ft2`.
    #[must_use]
    pub fn nutrients(self, grams_m2: Estimate) -> String {
        format!("{} {}", self.nutrient_figures(grams_m2), self.over_ground_sign())
    }

    /// The figures of [`Units::nutrients`] without the unit.
    #[must_use]
    pub fn nutrient_figures(self, grams_m2: Estimate) -> String {
        self.with_range(grams_m2.map(|grams| self.over_ground(grams)))
    }

    /// One figure over the ground, without its unit.
    #[must_use]
    pub fn nutrient_figure(self, grams_m2: f64) -> String {
        self.figure(self.over_ground(grams_m2))
    }

    /// `8 to 20` over the ground, without the unit.
    #[must_use]
    pub fn nutrient_span(self, low_m2: f64, high_m2: f64) -> String {
        self.figures(self.over_ground(low_m2), self.over_ground(high_m2))
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

    /// What is weighed on a kitchen scale, seed and the nitrogen of a bed: `g` or `oz`.
    #[must_use]
    pub fn small_mass_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "g",
            UnitSystem::Us => "oz",
        }
    }

    /// Grams in the unit shown.
    #[must_use]
    pub fn small_mass(self, grams: f64) -> f64 {
        match self.0 {
            UnitSystem::Metric => grams,
            UnitSystem::Us => grams / GRAMS_OF_OUNCE,
        }
    }

    /// `8 to 20`, grams in the unit shown, without it.
    #[must_use]
    pub fn small_mass_span(self, low_g: f64, high_g: f64) -> String {
        self.figures(self.small_mass(low_g), self.small_mass(high_g))
    }

    /// `12 (8 to 20) g` or `0.42 (0.28 to 0.71) oz`.
    #[must_use]
    pub fn small_mass_range(self, grams: Estimate) -> String {
        let shown = self.with_range(grams.map(|grams| self.small_mass(grams)));
        format!("{shown} {}", self.small_mass_sign())
    }

    /// What a harvest gives of the ground: `2.4 kg/m2` or `0.49 lb/ft2`.
    #[must_use]
    pub fn harvest_over_ground(self, kg_m2: f64) -> f64 {
        self.mass(kg_m2) / self.shown(Dimension::Area, 1.0)
    }

    /// What stands for harvests over the ground.
    #[must_use]
    pub fn harvest_over_ground_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "kg/m2",
            UnitSystem::Us => "lb/ft2",
        }
    }

    /// Area of a bed or a planting: `m2` or `ft2`.
    #[must_use]
    pub fn area_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "m2",
            UnitSystem::Us => "ft2",
        }
    }

    /// Square metres in the unit shown.
    #[must_use]
    pub fn area(self, square_metres: f64) -> f64 {
        self.shown(Dimension::Area, square_metres)
    }

    /// An area without its unit, with so many decimals if metric; a square foot is a tenth of a
    /// square metre, so it is shown with one less.
    #[must_use]
    pub fn area_figure(self, square_metres: f64, decimals: usize) -> String {
        let decimals = match self.0 {
            UnitSystem::Metric => decimals,
            UnitSystem::Us => decimals.saturating_sub(1),
        };
        format!("{:.decimals$}", self.area(square_metres))
    }

    /// `4 by 1.2 m` or `13.1 by 3.9 ft`.
    #[must_use]
    pub fn sides(self, length_m: f64, width_m: f64) -> String {
        let side = |metres| words::number(self.shown(Dimension::Length, metres));
        format!("{} by {} {}", side(length_m), side(width_m), self.length_sign())
    }

    /// The bar that shows the scale of a plan: its length in metres, and its words.
    #[must_use]
    pub fn scale_bar(self) -> (f64, &'static str) {
        match self.0 {
            UnitSystem::Metric => (1.0, "1 m"),
            UnitSystem::Us => (0.9144, "3 ft"),
        }
    }

    /// Sides of beds: `m` or `ft`.
    #[must_use]
    pub fn length_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "m",
            UnitSystem::Us => "ft",
        }
    }

    /// Spacings and depths: `cm` or `in`.
    #[must_use]
    pub fn short_length_sign(self) -> &'static str {
        match self.0 {
            UnitSystem::Metric => "cm",
            UnitSystem::Us => "in",
        }
    }

    /// A spacing without its unit, to the centimetre or the half inch.
    #[must_use]
    pub fn short_length_figure(self, centimetres: f64) -> String {
        match self.0 {
            UnitSystem::Metric => format!("{centimetres:.0}"),
            UnitSystem::Us => {
                words::number((self.shown(Dimension::ShortLength, centimetres) * 2.0).round() / 2.0)
            }
        }
    }

    /// `25 cm` or `10 in`.
    #[must_use]
    pub fn short_length(self, centimetres: f64) -> String {
        format!("{} {}", self.short_length_figure(centimetres), self.short_length_sign())
    }

    /// `2.5 to 5 cm` or `1 to 2 in`.
    #[must_use]
    pub fn short_length_range(self, centimetres: Estimate) -> String {
        let shown = centimetres.map(|cm| self.shown(Dimension::ShortLength, cm));
        format!("{} {}", words::range(shown.low, shown.high), self.short_length_sign())
    }

    /// A range of a table in its unit as the table names it, turned where there is a customary one.
    #[must_use]
    pub fn tabled(self, range: Estimate, unit: &str) -> String {
        let over_ground = |grams_m2: f64| {
            let range = range.map(|value| value * grams_m2);
            format!("{} {}", self.nutrient_span(range.low, range.high), self.over_ground_sign())
        };
        match (self.0, unit) {
            (UnitSystem::Us, "C") => self.whole_degree_range(range),
            (UnitSystem::Us, "cm") => self.short_length_range(range),
            (UnitSystem::Us, "g/m2") => over_ground(1.0),
            (UnitSystem::Us, "kg/ha") => over_ground(0.1),
            (UnitSystem::Us, "t/ha") => over_ground(100.0),
            (UnitSystem::Us, "kg/m2") => {
                let range = range.map(|kg_m2| self.harvest_over_ground(kg_m2));
                let sign = self.harvest_over_ground_sign();
                format!("{} {sign}", self.figures(range.low, range.high))
            }
            (_, "") => words::range(range.low, range.high),
            (_, unit) => format!("{} {unit}", words::range(range.low, range.high)),
        }
    }

    /// Rain: `120 mm` or `4.7 in`.
    #[must_use]
    pub fn rain(self, millimetres: f64) -> String {
        match self.0 {
            UnitSystem::Metric => format!("{millimetres:.0} mm"),
            UnitSystem::Us => {
                format!("{} in", self.figure(self.shown(Dimension::Rain, millimetres)))
            }
        }
    }

    /// A temperature as whole degrees, where tenths would be false: `12 C` or `54 F`.
    #[must_use]
    pub fn whole_degrees(self, celsius: f64) -> String {
        format!("{} {}", self.whole_degree_figure(celsius), self.degree_sign())
    }

    /// A range of whole degrees, one figure if both ends round alike: `-8 to -6 C`.
    #[must_use]
    pub fn whole_degree_range(self, celsius: Estimate) -> String {
        let (low, high) =
            (self.whole_degree_figure(celsius.low), self.whole_degree_figure(celsius.high));
        if low == high {
            format!("{low} {}", self.degree_sign())
        } else {
            format!("{low} to {high} {}", self.degree_sign())
        }
    }

    /// Degree-days in the degrees shown.
    #[must_use]
    pub fn heat_sum(self, kelvin_days: f64) -> f64 {
        self.shown(Dimension::TemperatureSpread, kelvin_days)
    }

    /// The figure of [`Units::whole_degrees`].
    #[must_use]
    pub fn whole_degree_figure(self, celsius: f64) -> String {
        // Half a degree below nought is nought, not `-0`.
        format!("{:.0}", self.shown(Dimension::Temperature, celsius).round() + 0.0)
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
        assert_eq!(us.nutrients(Estimate::new(1.0, 2.0, 6.0)), "0.41 (0.2 to 1.2) lb/1000 ft2");
        assert_eq!(metric.nutrient_span(0.96, 12.3), "1 to 12");
        assert_eq!(us.small_mass_range(Estimate::new(20.0, 30.0, 40.0)), "1.1 (0.71 to 1.4) oz");
        assert_eq!(us.sides(2.4384, 1.2192), "8 by 4 ft");
        assert_eq!(metric.sides(4.0, 1.2), "4 by 1.2 m");
        assert_eq!(
            (metric.area_figure(3.456, 1), us.area_figure(9.290_304, 1)),
            ("3.5".into(), "100".into())
        );
        assert_eq!(us.short_length(25.0), "10 in");
        assert_eq!(us.short_length_range(Estimate::new(2.54, 3.0, 5.08)), "1 to 2 in");
        assert_eq!((metric.rain(120.4), us.rain(120.4)), ("120 mm".into(), "4.7 in".into()));
        assert_eq!(
            (metric.whole_degrees(-0.3), us.whole_degrees(12.0)),
            ("0 C".into(), "54 F".into())
        );
        let tons = Estimate::new(4.5, 7.0, 10.0);
        assert_eq!(metric.tabled(tons, "t/ha"), "4.5 to 10 t/ha");
        assert_eq!(us.tabled(tons, "t/ha"), "92 to 205 lb/1000 ft2");
        assert_eq!(us.tabled(Estimate::exact(-9.0), "C"), "16 F");
        assert_eq!(us.tabled(Estimate::exact(3.0), ""), "3");
        // Half a pound a square foot, as garden bulletins count yields.
        assert!((us.harvest_over_ground(2.441) - 0.5).abs() < 1e-3);
    }
}
