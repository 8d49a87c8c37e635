//! Whether a crop would meet temperatures it grows in. Thin as yet: the monthly normals of the
//! first weeks against the published range of growth; daylength, frost and heat sums come later.

use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge};
use crate::season::{Date, add_days};

/// How the weeks after planting suit a crop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SeasonFit {
    /// Within the published range of growth.
    Fits,
    /// Colder than it grows in.
    TooCold,
    /// Hotter than it grows in.
    TooHot,
    /// No climate or no figure to tell by.
    Unknown,
}

/// Weeks looked at after planting.
const DAYS: f64 = 56.0;

/// How the eight weeks from a day suit a crop at a site.
#[must_use]
pub fn season_fit(
    knowledge: &Knowledge,
    climate: Option<&Climate<'_>>,
    crop: CropId,
    on: Date,
) -> SeasonFit {
    let Some(climate) = climate else {
        return SeasonFit::Unknown;
    };
    let figure = |field| -> Option<Estimate> {
        knowledge.crop_figures(crop, field).first().and_then(|figure| figure.range)
    };
    let (Some(least), Some(most)) = (figure("growth_min_c"), figure("growth_max_c")) else {
        return SeasonFit::Unknown;
    };
    let days = [0.0, DAYS / 3.0, 2.0 * DAYS / 3.0, DAYS];
    let mean = days.iter().map(|day| climate.mean_c(add_days(on, *day))).sum::<f64>() / 4.0;
    if mean < least.low {
        SeasonFit::TooCold
    } else if mean > most.high {
        SeasonFit::TooHot
    } else {
        SeasonFit::Fits
    }
}
