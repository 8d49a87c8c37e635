//! How far apart a crop stands.

use super::Knowledge;
use super::citation::Citation;
use super::ids::CropId;
use crate::estimate::Estimate;
use crate::spacing::Spacing;
use crate::units::{Centimetres, SquareMetres};

/// The widest and the closest printed spacing of a crop.
#[derive(Clone, Debug)]
pub struct CropSpacing<'k> {
    /// Fewest plants.
    pub widest: Spacing,
    /// Most plants.
    pub closest: Spacing,
    /// Where the distance in the row is from.
    pub citation: &'k Citation,
}

impl CropSpacing<'_> {
    /// Plants for an area: fewest, in the middle of both spacings, most.
    #[must_use]
    pub fn plants_on(&self, area: SquareMetres) -> Estimate {
        let (few, many) = (self.widest.plants_on(area), self.closest.plants_on(area));
        Estimate::new(few.min(many), (few * many).sqrt(), few.max(many))
    }
}

impl Knowledge {
    /// How far apart a crop stands in a bed: as printed for beds, all round alike and so staggered,
    /// else in rows. `None` where nothing is printed.
    #[must_use]
    pub fn crop_spacing(&self, crop: CropId) -> Option<CropSpacing<'_>> {
        let field = |name| {
            let mut figures = self.crop_figures(crop, name).iter();
            figures.find_map(|figure| Some((figure.range?, &figure.citation)))
        };
        if let Some((apart, citation)) = field("equidistant_cm") {
            return Some(CropSpacing {
                widest: Spacing::staggered(Centimetres(apart.high)),
                closest: Spacing::staggered(Centimetres(apart.low)),
                citation,
            });
        }
        let (least, citation) = field("in_row_cm_min")?;
        let most = field("in_row_cm_max").map_or(least, |(most, _)| most);
        let (narrow, _) = field("between_row_cm_min")?;
        let wide = field("between_row_cm_max").map_or(narrow, |(wide, _)| wide);
        Some(CropSpacing {
            widest: Spacing::in_rows(Centimetres(wide.high), Centimetres(most.high)),
            closest: Spacing::in_rows(Centimetres(narrow.low), Centimetres(least.low)),
            citation,
        })
    }
}
