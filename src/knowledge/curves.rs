//! Points of published curves: inoculum or disease against years, repeats, treatments. Units
//! differ from study to study, and an x of 0 often only stands for a category: read `x_name`.

use super::citation::Citation;
use super::ids::{CropId, PathogenId};
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, SOURCE, citation, note};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problems};

/// One point.
#[derive(Clone, Debug)]
pub struct CurvePoint {
    /// The study.
    pub study: Box<str>,
    /// The pathogen, or `rotation_general`; `None` where no disease is in play.
    pub pathogen: Option<Meant<PathogenId>>,
    /// The crop, or words.
    pub crop: Meant<CropId>,
    /// What x is.
    pub x_name: Box<str>,
    /// x as printed.
    pub x: Box<str>,
    /// x as a number, where it is one.
    pub x_number: Option<f64>,
    /// What y is.
    pub y_name: Box<str>,
    /// y.
    pub y: f64,
    /// Unit of y.
    pub unit: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("study", Kind::Text(80), "study"),
    Column::optional("pathogen", Kind::Text(60), "pathogen key, or rotation_general"),
    Column::required("crop", Kind::Text(60), "crop key, or words"),
    Column::required("x_name", Kind::Text(120), "what x is"),
    Column::optional("x_value", Kind::Text(60), "x"),
    Column::required("y_name", Kind::Text(120), "what y is"),
    Column::required("y_value", Kind::Number(-1e6, 1e12), "y"),
    Column::required("unit", Kind::Text(40), "unit of y"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static DISEASE_CURVES: Table = Table {
    file: "disease_curves.csv",
    text: include_str!("tables/disease_curves.csv"),
    columns: COLUMNS,
    subject: &["study", "pathogen", "crop", "x_name"],
    told_apart_by: &["x_value", "y_name"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<CurvePoint> {
    look.tables.read(&DISEASE_CURVES, problems, |cells| {
        let study = cells.text("study")?.into();
        let pathogen =
            cells.text("pathogen").map(|written| Meant::pathogen(look.pathogens, written));
        let crop = Meant::crop(look.crops, cells.text("crop")?);
        let x_name = cells.text("x_name")?.into();
        let x = note(cells, "x_value");
        Some(CurvePoint {
            study,
            pathogen,
            crop,
            x_name,
            x_number: x.parse::<f64>().ok(),
            x,
            y_name: cells.text("y_name")?.into(),
            y: cells.number("y_value")?,
            unit: cells.text("unit")?.into(),
            citation: citation(cells)?,
        })
    })
}
