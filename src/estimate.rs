//! A quantity that is not known exactly: low, likely, high.

use std::ops::{Add, Mul};

/// A range with its likely value. The order low <= likely <= high holds by construction.
///
/// Products and sums combine like ends with like ends, which is the widest honest range when
/// nothing is known of how the parts go together.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize)]
pub struct Estimate {
    /// Lower end of the range.
    pub low: f64,
    /// The single value to use where one is needed.
    pub likely: f64,
    /// Upper end of the range.
    pub high: f64,
}

impl Estimate {
    /// One, exactly: a factor that changes nothing.
    pub const ONE: Self = Self { low: 1.0, likely: 1.0, high: 1.0 };
    /// Zero, exactly.
    pub const ZERO: Self = Self { low: 0.0, likely: 0.0, high: 0.0 };

    /// A range; the three values are put in order and the likely one kept between the ends.
    ///
    /// ```
    /// use breakcrop::estimate::Estimate;
    /// let years = Estimate::new(4.0, 2.0, 3.0);
    /// assert_eq!((years.low, years.likely, years.high), (2.0, 3.0, 4.0));
    /// ```
    #[must_use]
    pub fn new(a: f64, b: f64, c: f64) -> Self {
        let mut ordered = [a, b, c];
        ordered.sort_by(f64::total_cmp);
        Self { low: ordered[0], likely: ordered[1], high: ordered[2] }
    }

    /// A value known exactly.
    #[must_use]
    pub fn exact(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// A published range; the likely value is its geometric mean (arithmetic where an end is not
    /// positive), because survival times and doses spread by factors, not by steps.
    #[must_use]
    pub fn between(low: f64, high: f64) -> Self {
        let likely =
            if low > 0.0 && high > 0.0 { (low * high).sqrt() } else { f64::midpoint(low, high) };
        Self::new(low, likely, high)
    }

    /// Applies a function that may turn the order round.
    #[must_use]
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self::new(f(self.low), f(self.likely), f(self.high))
    }

    /// The narrower of two claims is not taken: the range that holds both.
    #[must_use]
    pub fn spanning(self, other: Self) -> Self {
        Self {
            low: self.low.min(other.low),
            likely: f64::midpoint(self.likely, other.likely),
            high: self.high.max(other.high),
        }
    }

    /// Whether a value lies within the range.
    #[must_use]
    pub fn brackets(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

impl Mul for Estimate {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        Self::new(self.low * other.low, self.likely * other.likely, self.high * other.high)
    }
}

impl Add for Estimate {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.low + other.low, self.likely + other.likely, self.high + other.high)
    }
}
