//! A soil test against the books: an assertion that checks them and then sets them right.

use super::books::Nutrient;
use crate::estimate::Estimate;
use crate::origin::Origin;
use crate::season::Date;

/// What a test said beside what the books said on its day.
#[derive(Clone, Debug, PartialEq)]
pub struct SoilTestCheck {
    /// Where the test is written.
    pub origin: Origin,
    /// Day of sampling.
    pub date: Date,
    /// Which nutrient.
    pub nutrient: Nutrient,
    /// What the books had, g/m2.
    pub booked: Estimate,
    /// What the test found, g/m2: the figure within half of its last digit, over the mass of soil
    /// it stands for.
    pub tested: Estimate,
    /// Whether the books had a footing: an earlier test of the same nutrient by the same method.
    pub comparable: bool,
}

impl SoilTestCheck {
    /// By how much the test lies above (below: negative) the books, g/m2; nothing if the ranges
    /// meet.
    #[must_use]
    pub fn misses_by(&self) -> f64 {
        if self.tested.low > self.booked.high {
            self.tested.low - self.booked.high
        } else if self.tested.high < self.booked.low {
            self.tested.high - self.booked.low
        } else {
            0.0
        }
    }

    /// Whether test and books disagree although they can be compared.
    #[must_use]
    pub fn contradicts(&self) -> bool {
        self.comparable && self.misses_by().abs() > 0.0
    }
}

/// Half a unit of the last digit written: a test of 11 stands for 10.5 to 11.5, one of 4.1 for 4.05
/// to 4.15.
///
/// ```
/// use breakcrop::state::nutrients::half_of_last_digit;
/// assert!((half_of_last_digit(11.0) - 0.5).abs() < 1e-12);
/// assert!((half_of_last_digit(4.1) - 0.05).abs() < 1e-12);
/// ```
#[must_use]
pub fn half_of_last_digit(value: f64) -> f64 {
    let text = format!("{value}");
    let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    0.5 * 10.0_f64.powi(-i32::try_from(decimals).unwrap_or(0))
}

/// A written figure with the tolerance of its digits.
pub(super) fn within_digits(value: f64) -> Estimate {
    let half = half_of_last_digit(value);
    Estimate::new((value - half).max(0.0), value, value + half)
}
