//! Yields of gardens with the row width they refer to. Raised beds and wide rows are different
//! bases and are never mixed.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, SOURCE, citation, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One yield.
#[derive(Clone, Debug)]
pub struct GardenYield {
    /// The crop, or `mixed_garden`.
    pub crop: Meant<CropId>,
    /// As printed, in `unit`.
    pub printed: Box<str>,
    /// Unit as printed.
    pub unit: Box<str>,
    /// Row width the figure refers to, inches; `None` where none is given.
    pub row_spacing_in: Option<Estimate>,
    /// Our conversion, kg a square metre; the low end is of wide rows.
    pub kg_per_m2: Option<Estimate>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, or mixed_garden"),
    Column::required("yield_as_published", Kind::Text(40), "as printed"),
    Column::required("unit", Kind::Text(80), "unit as printed"),
    Column::optional("row_spacing_in", Kind::Text(60), "row width, inches"),
    Column::optional("kg_per_m2", Kind::Text(20), "converted, a figure or low-high"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static YIELDS_GARDEN: Table = Table {
    file: "yields_garden.csv",
    text: include_str!("tables/yields_garden.csv"),
    columns: COLUMNS,
    subject: &["crop", "unit"],
    told_apart_by: &["yield_as_published", "row_spacing_in", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<GardenYield> {
    look.tables.read(&YIELDS_GARDEN, problems, |cells| {
        Some(GardenYield {
            crop: Meant::crop(look.crops, cells.text("crop")?),
            printed: cells.text("yield_as_published")?.into(),
            unit: cells.text("unit")?.into(),
            row_spacing_in: cells.text("row_spacing_in").and_then(written_range),
            kg_per_m2: cells.text("kg_per_m2").and_then(written_range),
            citation: citation(cells)?,
        })
    })
}
