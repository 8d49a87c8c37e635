//! Plant-available nitrogen: of covers and residues by their nitrogen percent, of materials by
//! their yearly series.

use super::books::Spread;
use crate::estimate::Estimate;
use crate::knowledge::PanLine;

/// Share of a stand's carbon that ends in microbes, and their carbon to nitrogen: the textbook mass
/// balance of `pan_model` (`immobilisation_estimate`), 0.4 and 10, with 42 % carbon in dry matter.
const MICROBIAL_NITROGEN_PERCENT: f64 = 42.0 * 0.4 / 10.0;

/// Nitrogen set free within the season from residue, kilograms a tonne of dry matter, by percent of
/// nitrogen in dry matter. Below nil the residue ties nitrogen up.
///
/// On the published line between its ends. Above it no more than half of the nitrogen, as at its
/// upper end. Below it the source says little or none, and down to -56 kg/ha under pure cereals: the
/// line drawn on is the likely figure, none the best, the mass balance of rotting the worst.
#[must_use]
pub fn plant_available(line: &PanLine, n_percent: f64) -> Estimate {
    let on_line = line.slope * (n_percent - line.none_at);
    if n_percent < line.none_at {
        let balance = (n_percent - MICROBIAL_NITROGEN_PERCENT) * 10.0;
        return Estimate::new(on_line.min(balance), on_line, 0.0);
    }
    if n_percent > line.ends_at {
        let half = line.slope * (line.ends_at - line.none_at) / line.ends_at * n_percent;
        return Estimate::new(half, half, on_line);
    }
    Estimate::exact(on_line)
}

/// Share of a residue's nitrogen set free within the season. What ties nitrogen up takes it from the
/// soil, so that the share of a lean residue lies far below minus one.
#[must_use]
pub fn share_available(line: &PanLine, n_percent: f64) -> Estimate {
    let total = n_percent.max(0.05) * 10.0;
    plant_available(line, n_percent).map(|pan| pan / total)
}

/// Shares over a range of percents: the lean column from the poorest residue, the rich one from the
/// richest.
#[must_use]
pub(super) fn shares_available(line: &PanLine, n_percent: Estimate) -> Spread {
    let share = |percent| share_available(line, percent);
    Spread {
        lean: share(n_percent.low).low,
        likely: share(n_percent.likely).likely,
        rich: share(n_percent.high).high,
    }
}

/// How much of a tie-up is felt where the matter lies on the soil or may do so: a part of what it
/// would be if all were worked in. What comes free is left as it is.
#[must_use]
pub(super) fn tied_up_by(year1: Spread, felt: Estimate) -> Spread {
    year1.with(Spread::loss(felt), |share, felt| if share < 0.0 { share * felt } else { share })
}

/// Shares of a material's nitrogen set free year by year, and how fast within the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Series {
    /// First year; below nil for tie-up.
    pub year1: Spread,
    /// Second year. Each later year gives half of the year before.
    pub year2: Spread,
    /// Rate within the first year's warmth.
    pub rate: f64,
}

impl Series {
    /// Share set free by an age in years of warmth.
    ///
    /// ```
    /// use breakcrop::state::nutrients::{Series, Spread};
    /// let series = Series { year1: Spread::same(0.12), year2: Spread::same(0.06), rate: 3.0 };
    /// assert!((series.by(1.0).likely - 0.12).abs() < 1e-12);
    /// assert!((series.by(2.0).likely - 0.18).abs() < 1e-12);
    /// assert!((series.by(3.0).likely - 0.21).abs() < 1e-12);
    /// ```
    #[must_use]
    pub fn by(&self, age: f64) -> Spread {
        let age = age.max(0.0);
        // From the first year's end on the share is one: most of a soil's residues are that old.
        let first = if age < 1.0 {
            (1.0 - (-self.rate * age).exp()) / (1.0 - (-self.rate).exp())
        } else {
            1.0
        };
        let mut later = 0.0;
        let mut share = 1.0;
        let mut rest = age - 1.0;
        while rest > 0.0 && share > 1e-3 {
            later += share * rest.min(1.0);
            share /= 2.0;
            rest -= 1.0;
        }
        self.year1 * first + self.year2 * later
    }

    /// Share set free in the end.
    #[must_use]
    pub fn in_the_end(&self) -> Spread {
        self.by(20.0)
    }

    /// Share that ever comes free, tie-up not counted against it: what must be set aside for it.
    #[must_use]
    pub fn in_the_end_positive(&self) -> Spread {
        self.year1.positive() + self.year2.positive() * 2.0
    }

    /// The series with shares that add up to no more than all there is.
    #[must_use]
    pub fn bounded(mut self) -> Self {
        let year1 = self.year1.map(|share| share.min(1.0));
        // Years two and after come to twice the second year.
        let left = year1.map(|share| (1.0 - share.max(0.0)) / 2.0);
        self.year2 = self.year2.positive().at_most(left);
        self.year1 = year1;
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::Knowledge;

    #[test]
    fn poor_residue_ties_up_and_rich_residue_gives() {
        let knowledge = Knowledge::embedded();
        let line = knowledge.nutrients().pan_line();
        let straw = plant_available(line, 0.6);
        assert!(straw.likely < 0.0 && straw.high <= 0.0 && straw.low < straw.likely);
        let vetch = plant_available(line, 3.5);
        assert!((vetch.likely - 17.5).abs() < 1e-9);
        assert!((share_available(line, 3.5).likely - 0.5).abs() < 1e-9);
        assert!((share_available(line, 4.0).likely - 0.5).abs() < 1e-9);
    }

    #[test]
    fn a_series_never_gives_more_than_there_is() {
        let series = Series { year1: Spread::same(0.9), year2: Spread::same(0.4), rate: 16.0 };
        let all = series.bounded().in_the_end().likely;
        assert!((0.9..=1.0).contains(&all), "{all}");
    }
}
