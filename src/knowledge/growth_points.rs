//! How covers grow: dry matter against heat sum, stage or date, and heat sums of their stages.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One point.
#[derive(Clone, Debug)]
pub struct GrowthPoint {
    /// The cover, or a mix.
    pub cover: Meant<CropId>,
    /// What x is: degree-days, a month, a stage.
    pub x_name: Box<str>,
    /// x as printed.
    pub x: Box<str>,
    /// x as a number or range, where it is one.
    pub x_range: Option<Estimate>,
    /// Base of the heat sum, in degrees Celsius.
    pub base_c: Option<f64>,
    /// Dry matter, tonnes a hectare.
    pub dry_matter_t_ha: Option<Estimate>,
    /// Where.
    pub site: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("cover", Kind::Text(60), "crop key of the cover, or a mix"),
    Column::required("x_name", Kind::Text(120), "what x is"),
    Column::optional("x_value", Kind::Text(60), "x"),
    Column::optional("base_temp_c", Kind::Number(-20.0, 30.0), "base of the heat sum"),
    Column::optional("dry_matter_t_ha", Kind::Text(20), "dry matter, a figure or low-high"),
    Column::optional("site", Kind::Text(60), "where"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static COVER_GROWTH_CURVES: Table = Table {
    file: "cover_growth_curves.csv",
    text: include_str!("tables/cover_growth_curves.csv"),
    columns: COLUMNS,
    subject: &["cover", "x_name", "site"],
    told_apart_by: &["x_value", "base_temp_c", "dry_matter_t_ha", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<GrowthPoint> {
    look.tables.read(&COVER_GROWTH_CURVES, problems, |cells| {
        let cover = Meant::crop(look.crops, cells.text("cover")?);
        let x_name = cells.text("x_name")?.into();
        let x = note(cells, "x_value");
        Some(GrowthPoint {
            cover,
            x_name,
            x_range: written_range(&x),
            x,
            base_c: cells.number("base_temp_c"),
            dry_matter_t_ha: cells.text("dry_matter_t_ha").and_then(written_range),
            site: note(cells, "site"),
            citation: citation(cells)?,
        })
    })
}
