//! Quantities with their units in the type, and the units a grower may write in a header.

use serde::Serialize;

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident($symbol:literal);)*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit's symbol as printed.
            pub const SYMBOL: &'static str = $symbol;
        }

        impl std::ops::Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self { Self(self.0 + other.0) }
        }

        impl std::ops::Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self { Self(self.0 - other.0) }
        }

        impl std::ops::Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self { Self(self.0 * factor) }
        }

        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self { Self(parts.map(|part| part.0).sum()) }
        }
    )*};
}

quantities! {
    /// Length on the ground.
    Metres("m");
    /// Area of a bed, section or planting.
    SquareMetres("m2");
    /// Short lengths: soil depth, row and plant spacing, sowing depth.
    Centimetres("cm");
    /// Rain.
    Millimetres("mm");
    /// Mass of harvests and materials.
    Kilograms("kg");
    /// Mass of seed.
    Grams("g");
    /// Volume of materials.
    Litres("l");
    /// Air or soil temperature.
    Celsius("C");
    /// Percent of a mass or of plants.
    Percent("%");
    /// Parts per million of a nutrient in soil.
    Ppm("ppm");
    /// Length of a day, hours of a clock.
    Hours("h");
    /// Radiation over a day.
    MegajoulesPerSquareMetre("MJ/m2");
    /// Nutrients and seed over the ground.
    GramsPerSquareMetre("g/m2");
}

impl Metres {
    /// Area of a rectangle.
    #[must_use]
    pub fn by(self, width: Self) -> SquareMetres {
        SquareMetres(self.0 * width.0)
    }
}

impl GramsPerSquareMetre {
    /// Mass over an area.
    #[must_use]
    pub fn over(self, area: SquareMetres) -> Grams {
        Grams(self.0 * area.0)
    }

    /// From kilograms a hectare: 10 000 m2 and 1000 g.
    #[must_use]
    pub fn from_kg_per_ha(value: f64) -> Self {
        Self(value / 10.0)
    }
}

/// Phosphorus in its oxide P2O5, by mass.
pub const P_IN_P2O5: f64 = 0.4364;
/// Potassium in its oxide K2O, by mass.
pub const K_IN_K2O: f64 = 0.8301;

impl Centimetres {
    /// Volume of a layer so deep over an area: one centimetre over a square metre is ten litres.
    ///
    /// ```
    /// use breakcrop::units::{Centimetres, SquareMetres};
    /// assert_eq!(Centimetres(2.0).over(SquareMetres(3.0)).0, 60.0);
    /// ```
    #[must_use]
    pub fn over(self, area: SquareMetres) -> Litres {
        Litres(self.0 * area.0 * 10.0)
    }
}

impl Litres {
    /// Area that the volume covers so deep.
    #[must_use]
    pub fn covers(self, depth: Centimetres) -> SquareMetres {
        SquareMetres(self.0 / (depth.0 * 10.0))
    }
}

impl Kilograms {
    /// Mass spread evenly over an area.
    #[must_use]
    pub fn spread_over(self, area: SquareMetres) -> GramsPerSquareMetre {
        GramsPerSquareMetre(self.0 * 1000.0 / area.0)
    }
}

/// What a column measures; decides which unit suffixes its header may carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Metres.
    Length,
    /// Centimetres.
    ShortLength,
    /// Square metres.
    Area,
    /// Kilograms.
    Mass,
    /// Litres.
    Volume,
    /// Degrees Celsius.
    Temperature,
    /// A spread of degrees Celsius: no offset between scales.
    TemperatureSpread,
    /// Millimetres of rain.
    Rain,
}

/// Turns a written number into the unit kept: `kept = written * factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conversion {
    factor: f64,
    offset: f64,
}

impl Conversion {
    /// The number is already in the unit kept.
    pub const NONE: Self = Self { factor: 1.0, offset: 0.0 };

    /// The value in the unit kept.
    #[must_use]
    pub fn apply(self, written: f64) -> f64 {
        written * self.factor + self.offset
    }

    /// The number as it is written in this unit.
    #[must_use]
    pub fn back(self, kept: f64) -> f64 {
        (kept - self.offset) / self.factor
    }
}

/// The units in which quantities are shown and written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// Metres, kilograms, degrees Celsius: what is kept.
    #[default]
    Metric,
    /// Feet, pounds, degrees Fahrenheit.
    Us,
}

/// A number with as many digits as survive a change of unit and back: twelve, and no more than nine
/// after the point; zeros at the end are left out.
///
/// ```
/// use breakcrop::units::exact_digits;
/// assert_eq!(exact_digits(1.2192 / 0.3048), "4");
/// assert_eq!(exact_digits(-0.1 - 0.2), "-0.3");
/// ```
#[must_use]
pub fn exact_digits(value: f64) -> String {
    let before = value.abs().max(1.0).log10().floor() + 1.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and 9 by the clamp"
    )]
    let after = (12.0 - before).clamp(0.0, 9.0) as usize;
    let text = format!("{value:.after$}");
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

impl Dimension {
    /// Unit suffixes a header may end in, the one kept first, with their conversion.
    /// International foot, pound and US liquid gallon by definition.
    #[must_use]
    pub fn suffixes(self) -> &'static [(&'static str, Conversion)] {
        match self {
            Self::Length => LENGTH,
            Self::ShortLength => SHORT_LENGTH,
            Self::Area => AREA,
            Self::Mass => MASS,
            Self::Volume => VOLUME,
            Self::Temperature => TEMPERATURE,
            Self::TemperatureSpread => TEMPERATURE_SPREAD,
            Self::Rain => RAIN,
        }
    }
}

impl Dimension {
    /// The unit suffix in which a system writes it, with its conversion.
    #[must_use]
    pub fn shown_in(self, system: UnitSystem) -> (&'static str, Conversion) {
        let us = match self {
            Self::Length => "ft",
            Self::ShortLength | Self::Rain => "in",
            Self::Area => "ft2",
            Self::Mass => "lb",
            Self::Volume => "gal",
            Self::Temperature | Self::TemperatureSpread => "f",
        };
        let suffixes = self.suffixes();
        let wanted = suffixes.iter().find(|(suffix, _)| system == UnitSystem::Us && *suffix == us);
        *wanted.unwrap_or(&suffixes[0])
    }
}

type Suffixes = &'static [(&'static str, Conversion)];

const fn by(factor: f64) -> Conversion {
    Conversion { factor, offset: 0.0 }
}

const LENGTH: Suffixes =
    &[("m", by(1.0)), ("cm", by(0.01)), ("ft", by(0.3048)), ("in", by(0.0254))];
const SHORT_LENGTH: Suffixes =
    &[("cm", by(1.0)), ("m", by(100.0)), ("mm", by(0.1)), ("in", by(2.54)), ("ft", by(30.48))];
const AREA: Suffixes = &[("m2", by(1.0)), ("ft2", by(0.092_903_04)), ("sqft", by(0.092_903_04))];
const MASS: Suffixes =
    &[("kg", by(1.0)), ("g", by(0.001)), ("lb", by(0.453_592_37)), ("oz", by(0.028_349_523_125))];
const VOLUME: Suffixes = &[
    ("l", by(1.0)),
    ("m3", by(1000.0)),
    ("gal", by(3.785_411_784)),
    ("ft3", by(28.316_846_592)),
    ("yd3", by(764.554_857_984)),
];
const TEMPERATURE: Suffixes =
    &[("c", by(1.0)), ("f", Conversion { factor: 5.0 / 9.0, offset: -160.0 / 9.0 })];
const TEMPERATURE_SPREAD: Suffixes = &[("c", by(1.0)), ("f", by(5.0 / 9.0))];
const RAIN: Suffixes = &[("mm", by(1.0)), ("cm", by(10.0)), ("in", by(25.4))];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn freezing_and_boiling_convert_exactly() {
        let (_, fahrenheit) = Dimension::Temperature.suffixes()[1];
        assert!((fahrenheit.apply(32.0)).abs() < 1e-12);
        assert!((fahrenheit.apply(212.0) - 100.0).abs() < 1e-12);
    }

    #[test]
    fn a_bed_of_four_by_eight_feet() {
        let (_, foot) = Dimension::Length.suffixes()[2];
        let area = Metres(foot.apply(8.0)).by(Metres(foot.apply(4.0)));
        assert!((area.0 - 2.972_897_28).abs() < 1e-9);
    }
}
