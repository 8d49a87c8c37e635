//! Plants on the ground: how many stand at a spacing, in rows or staggered.
//!
//! The printed form is plants an acre = 43 560 square feet / (feet between rows x feet in the row);
//! the rest is its geometry. Paths and the edges of beds are the caller's: an area is ground that is
//! planted.

use crate::units::{Centimetres, SquareMetres};

/// How plants stand: between rows, and within the row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// From row to row.
    pub rows: Centimetres,
    /// From plant to plant in the row.
    pub within: Centimetres,
}

impl Spacing {
    /// In rows.
    #[must_use]
    pub fn in_rows(rows: Centimetres, within: Centimetres) -> Self {
        Self { rows, within }
    }

    /// In a square grid.
    #[must_use]
    pub fn square(distance: Centimetres) -> Self {
        Self { rows: distance, within: distance }
    }

    /// Every plant as far from each of its six neighbours: rows are half the root of three apart, so
    /// that 15 % more stand than in a square grid.
    ///
    /// ```
    /// use breakcrop::spacing::Spacing;
    /// use breakcrop::units::{Centimetres, SquareMetres};
    /// let bed = SquareMetres(1000.0);
    /// let distance = Centimetres(30.0);
    /// let staggered = Spacing::staggered(distance).plants_on(bed);
    /// let more = staggered / Spacing::square(distance).plants_on(bed);
    /// assert!((more - 1.1547).abs() < 1e-4);
    /// ```
    #[must_use]
    pub fn staggered(distance: Centimetres) -> Self {
        Self { rows: distance * (3.0_f64.sqrt() / 2.0), within: distance }
    }

    /// Ground of one plant.
    #[must_use]
    pub fn ground(self) -> SquareMetres {
        SquareMetres(self.rows.0 * self.within.0 / 10_000.0)
    }

    /// Plants that stand on an area, edges left out of account.
    ///
    /// ```
    /// use breakcrop::spacing::Spacing;
    /// use breakcrop::units::{Centimetres, SquareMetres};
    /// // A bed of 4 by 8 feet, one plant every foot: 32.
    /// let foot = Spacing::square(Centimetres(30.48));
    /// assert!((foot.plants_on(SquareMetres(1.2192 * 2.4384)) - 32.0).abs() < 1e-9);
    /// ```
    #[must_use]
    pub fn plants_on(self, area: SquareMetres) -> f64 {
        area.0 / self.ground().0
    }
}
