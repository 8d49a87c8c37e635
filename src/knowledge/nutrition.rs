//! What the tables say of a crop's nutrients: the first usable figure of each field, looked up once
//! a crop and kept, since books and judgments ask for the same few again and again.

use super::citation::Citation;
use super::ids::CropId;
use super::nitrogen_credits::NitrogenCredit;
use super::{Figure, Knowledge};
use crate::estimate::Estimate;

/// A figure with its row's source.
pub type Sourced = (Estimate, Citation);

/// A crop's figures on nutrients, yield and growth. `None`: nothing is published.
#[derive(Clone, Debug, Default)]
pub struct Nutrition {
    /// heavy, medium or light feeder, with the row that says so.
    pub demand: Option<(Box<str>, Citation)>,
    /// Nitrogen recommended, kg/ha: the low and the high end, each of its own row.
    pub recommended_kg_ha: [Option<Sourced>; 2],
    /// Typical yield, kg/m2.
    pub yield_kg_m2: Option<Estimate>,
    /// N, P and K that leave with the harvest, kg a tonne.
    pub removed_kg_per_t: [Option<Sourced>; 3],
    /// Nitrogen credited to what it leaves in the bed, g/m2.
    pub residue_credit: Option<Estimate>,
    /// Share of its nitrogen that it takes from the air, percent.
    pub ndfa_percent: Option<Estimate>,
    /// Days from sowing or setting out to the harvest; for a cover to a full stand.
    pub days_to_grow: Option<f64>,
    /// Temperature at which growth begins, and the lowest and highest it is best at, Celsius.
    pub growth_c: Option<[f64; 3]>,
    /// Days of picking.
    pub picking_days: f64,
    /// Dry matter of a full stand as a cover, t/ha.
    pub dry_matter_t_ha: Option<Estimate>,
    /// Nitrogen in dry matter at bloom, percent.
    pub n_percent_bloom: Option<Estimate>,
    /// Nitrogen in dry matter before bloom, percent.
    pub n_percent_vegetative: Option<Estimate>,
    /// Nitrogen of a full stand as a cover, kg/ha.
    pub n_total_kg_ha: Option<Estimate>,
    /// Days to a full stand as a cover.
    pub days_to_cover: Option<f64>,
}

impl Nutrition {
    pub(super) fn of(knowledge: &Knowledge, crop: CropId) -> Self {
        let sourced = |field| first(knowledge.crop_figures(crop, field));
        let of_crop = |field| sourced(field).map(|figure| figure.0);
        let of_cover = |field| first(knowledge.cover_figures(crop, field)).map(|figure| figure.0);
        let days_to_cover = of_cover("days_to_cover").map(|days| days.likely);
        let demand = knowledge.crop_figures(crop, "demand_class").first();
        Self {
            demand: demand.map(|row| (row.text.clone(), row.citation.clone())),
            recommended_kg_ha: [
                sourced("n_recommendation_kg_ha_low"),
                sourced("n_recommendation_kg_ha_high"),
            ],
            yield_kg_m2: typical_yield(knowledge, crop),
            removed_kg_per_t: [
                sourced("n_removed_kg_per_t"),
                sourced("p_removed_kg_per_t"),
                sourced("k_removed_kg_per_t"),
            ],
            residue_credit: knowledge
                .nitrogen_credits()
                .iter()
                .filter(|row| row.crop.is(crop) && &*row.measure == "residue_credit")
                .find_map(NitrogenCredit::grams_m2),
            ndfa_percent: of_cover("ndfa_percent"),
            days_to_grow: of_crop("days_to_maturity_max")
                .or_else(|| of_crop("days_to_maturity_min"))
                .map(|days| days.likely)
                .or(days_to_cover),
            growth_c: of_crop("base_temp_c").zip(of_crop("growth_opt_low_c")).map(|(base, low)| {
                let high = of_crop("growth_opt_high_c").unwrap_or(low);
                [base.likely, low.likely, high.likely]
            }),
            picking_days: of_crop("harvest_span_days").map_or(0.0, |days| days.likely),
            dry_matter_t_ha: of_cover("dry_matter_t_ha"),
            n_percent_bloom: of_cover("n_percent_bloom"),
            n_percent_vegetative: of_cover("n_percent_vegetative"),
            n_total_kg_ha: of_cover("n_total_kg_ha"),
            days_to_cover,
        }
    }
}

/// The first figure that is a number.
fn first(figures: &[Figure]) -> Option<Sourced> {
    figures.iter().find_map(|figure| Some((figure.range?, figure.citation.clone())))
}

/// The yield of gardens per square metre, else that of fields, else that of rows in a garden.
fn typical_yield(knowledge: &Knowledge, crop: CropId) -> Option<Estimate> {
    let figure = |field| first(knowledge.crop_figures(crop, field)).map(|figure| figure.0);
    match (figure("yield_kg_m2_low"), figure("yield_kg_m2_high")) {
        (Some(low), Some(high)) => Some(Estimate::between(low.low, high.high)),
        _ => figure("yield_t_ha_typical").map(|tonnes| tonnes.map(|tonnes| tonnes / 10.0)).or_else(
            || {
                let of_crop = knowledge.garden_yields().iter().filter(|row| row.crop.is(crop));
                of_crop.into_iter().find_map(|row| row.kg_per_m2)
            },
        ),
    }
}
