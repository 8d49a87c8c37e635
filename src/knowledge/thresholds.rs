//! Thresholds of crops: fruit set, ripening, bolting, kill, light, growth by month.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One threshold.
#[derive(Clone, Debug)]
pub struct Threshold {
    /// The crop, a form of it (`tomato_cherry`), or `soil`.
    pub crop: Meant<CropId>,
    /// What is limited: `fruit_set_night_min_c`, `kill_c`, ...
    pub trait_name: Box<str>,
    /// The figure, if it is one.
    pub range: Option<Estimate>,
    /// As printed.
    pub text: Box<str>,
    /// Unit.
    pub unit: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, a form of a crop, or soil"),
    Column::required("trait", Kind::Text(60), "what is limited"),
    Column::required("value", Kind::Text(120), "the figure, a range low-high, or a word"),
    Column::required("unit", Kind::Text(30), "unit"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) const CROP_THRESHOLDS: Table = Table {
    file: "crop_thresholds.csv",
    text: include_str!("tables/crop_thresholds.csv"),
    columns: COLUMNS,
    subject: &["crop", "trait"],
    told_apart_by: &["value", "source", "note"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Threshold> {
    look.tables.read(&CROP_THRESHOLDS, problems, |cells| {
        let crop = Meant::crop(look.crops, cells.text("crop")?);
        let trait_name = cells.text("trait")?.into();
        let text = cells.text("value")?;
        Some(Threshold {
            crop,
            trait_name,
            range: written_range(text),
            text: text.into(),
            unit: cells.text("unit")?.into(),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
