//! How far apart a crop stands.

use super::Knowledge;
use super::citation::Citation;
use super::figures::Preference;
use super::ids::CropId;
use crate::estimate::Estimate;
use crate::spacing::Spacing;
use crate::units::{Centimetres, SquareMetres};

/// Distances printed for one way of laying out a crop.
#[derive(Clone, Copy, Debug)]
pub struct PrintedSpacing<'k> {
    /// Fewest plants.
    pub widest: Spacing,
    /// Most plants.
    pub closest: Spacing,
    /// Where the distance between plants is from.
    pub citation: &'k Citation,
}

impl PrintedSpacing<'_> {
    /// Plants for an area: fewest, in the middle of both spacings, most.
    #[must_use]
    pub fn plants_on(&self, area: SquareMetres) -> Estimate {
        let (few, many) = (self.widest.plants_on(area), self.closest.plants_on(area));
        in_between(few.min(many), few.max(many))
    }
}

/// The printed spacings of a crop: rows are wide enough to walk or hoe between, a bed reached from
/// its paths needs none and takes several times the plants. Which of the two a garden does no table
/// knows, so neither outweighs the other.
#[derive(Clone, Copy, Debug)]
pub struct CropSpacing<'k> {
    /// In rows.
    pub rows: Option<PrintedSpacing<'k>>,
    /// All round alike, each plant as far from all its neighbours.
    pub all_round: Option<PrintedSpacing<'k>>,
}

impl CropSpacing<'_> {
    /// Plants for an area, from the widest of all printed spacings to the closest.
    #[must_use]
    pub fn plants_on(&self, area: SquareMetres) -> Option<Estimate> {
        let each = [self.rows, self.all_round].into_iter().flatten();
        let plants = each.map(|printed| printed.plants_on(area));
        plants.reduce(|one, other| in_between(one.low.min(other.low), one.high.max(other.high)))
    }
}

/// The middle of numbers that lie times apart.
fn in_between(few: f64, many: f64) -> Estimate {
    Estimate::new(few, (few * many).sqrt(), many)
}

impl Knowledge {
    /// How far apart a crop stands, in rows and all round alike, as far as each is printed; `None`
    /// where neither is.
    #[must_use]
    pub fn crop_spacing(&self, crop: CropId) -> Option<CropSpacing<'_>> {
        let field = |name| {
            let mut figures = self.crop_figures(crop, name).iter();
            figures.find_map(|figure| Some((figure.range?, &figure.citation)))
        };
        let in_rows = || {
            let (least, citation) = field("in_row_cm_min")?;
            let most = field("in_row_cm_max").map_or(least, |(most, _)| most);
            let (narrow, _) = field("between_row_cm_min")?;
            let wide = field("between_row_cm_max").map_or(narrow, |(wide, _)| wide);
            Some(PrintedSpacing {
                widest: Spacing::in_rows(Centimetres(wide.high), Centimetres(most.high)),
                closest: Spacing::in_rows(Centimetres(narrow.low), Centimetres(least.low)),
                citation,
            })
        };
        let rows = in_rows();
        // A stand-in is the distance in a row laid all round by a rule of thumb: beans at a hand's
        // breadth in rows two feet apart would be ten times as many. It counts where nothing else is.
        let apart = self.crop_figures(crop, "equidistant_cm").iter().find(|figure| {
            let is_printed = figure.preference != Preference::Weak;
            figure.range.is_some() && (is_printed || rows.is_none())
        });
        let all_round = apart.and_then(|figure| {
            let apart = figure.range?;
            Some(PrintedSpacing {
                widest: Spacing::staggered(Centimetres(apart.high)),
                closest: Spacing::staggered(Centimetres(apart.low)),
                citation: &figure.citation,
            })
        });
        (rows.is_some() || all_round.is_some()).then_some(CropSpacing { rows, all_round })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Garlic is printed at 3 to 5 inches in rows of 12 to 18, and at 4 inches all round: some 17 to
    /// 43 and 111 to the square metre. A grower of the demo garden sets 20 by 12 cm, which is 42.
    #[test]
    fn rows_and_beds_both_count() {
        let knowledge = Knowledge::embedded();
        let ground = SquareMetres(1.0);
        let garlic = knowledge.crops.find("garlic").expect("a crop");
        let garlic = knowledge.crop_spacing(garlic).expect("a printed spacing");
        let rows = garlic.rows.expect("rows").plants_on(ground);
        let bed = garlic.all_round.expect("all round").plants_on(ground);
        assert!((rows.low - 17.2).abs() < 0.1 && (rows.high - 43.1).abs() < 0.1, "{rows:?}");
        assert!((bed.low - 111.0).abs() < 0.5 && bed.low <= bed.high, "{bed:?}");
        let all = garlic.plants_on(ground).expect("plants");
        assert!((all.low - rows.low).abs() < 1e-9 && (all.high - bed.high).abs() < 1e-9);
        assert!(all.low < 42.0 && 42.0 < all.high && all.likely < bed.low);
    }

    /// Broad beans are printed in rows only: the closest is 22 to the square metre, not the 200 of
    /// their distance in the row laid all round.
    #[test]
    fn a_distance_in_the_row_is_no_distance_all_round() {
        let knowledge = Knowledge::embedded();
        let beans = knowledge.crops.find("fava_bean").expect("a crop");
        let beans = knowledge.crop_spacing(beans).expect("a printed spacing");
        assert!(beans.all_round.is_none());
        let plants = beans.plants_on(SquareMetres(1.0)).expect("plants");
        assert!((8.0..23.0).contains(&plants.low) && plants.high < 23.0, "{plants:?}");
    }

    /// No bed is fuller than its closest spacing, nor emptier than its widest.
    #[test]
    fn the_whole_range_holds_each_way() {
        let knowledge = Knowledge::embedded();
        let ground = SquareMetres(2.0);
        let mut both = 0;
        for (crop, _) in knowledge.crops.iter() {
            let Some(spacing) = knowledge.crop_spacing(crop) else { continue };
            let all = spacing.plants_on(ground).expect("plants");
            for printed in [spacing.rows, spacing.all_round].into_iter().flatten() {
                let each = printed.plants_on(ground);
                assert!(all.low <= each.low && each.high <= all.high);
            }
            both += usize::from(spacing.rows.is_some() && spacing.all_round.is_some());
        }
        assert!(both > 60, "{both}");
    }
}
