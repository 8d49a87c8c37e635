//! Published models of plant-available nitrogen: one figure of one model a row. Bases differ
//! (total nitrogen, organic nitrogen, dry matter): the unit says which.

use super::citation::Citation;
use super::later::Look;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One figure of a model.
#[derive(Clone, Debug)]
pub struct AvailabilityPoint {
    /// The model.
    pub model: Box<str>,
    /// What goes in: a material, a crop, a nitrogen percentage.
    pub input: Box<str>,
    /// For which value of it: a year, a stage, a percentage.
    pub input_value: Box<str>,
    /// What comes out.
    pub output: Box<str>,
    /// As printed: a figure, a range, a formula or a word.
    pub printed: Box<str>,
    /// The figure, where it is one.
    pub figure: Option<Estimate>,
    /// Unit.
    pub unit: Box<str>,
    /// Under which conditions.
    pub conditions: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("model", Kind::Text(40), "model"),
    Column::required("input", Kind::Text(120), "what goes in"),
    Column::optional("input_value", Kind::Text(60), "for which value of it"),
    Column::required("output", Kind::Text(40), "what comes out"),
    Column::required("output_value", Kind::Text(80), "the figure, a range, a formula or a word"),
    Column::optional("unit", Kind::Text(60), "unit"),
    Column::optional("conditions", Kind::Text(200), "under which conditions"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static PAN_MODEL: Table = Table {
    file: "pan_model.csv",
    text: include_str!("tables/pan_model.csv"),
    columns: COLUMNS,
    subject: &["model", "input", "input_value", "output"],
    told_apart_by: &["conditions", "unit", "output_value"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<AvailabilityPoint> {
    look.tables.read(&PAN_MODEL, problems, |cells| {
        let model = cells.text("model")?.into();
        let input = cells.text("input")?.into();
        let input_value = note(cells, "input_value");
        let output = cells.text("output")?.into();
        let printed = cells.text("output_value")?;
        Some(AvailabilityPoint {
            model,
            input,
            input_value,
            output,
            figure: written_range(printed),
            printed: printed.into(),
            unit: note(cells, "unit"),
            conditions: note(cells, "conditions"),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
