//! Mixtures of covers: their members and what was measured on the whole.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, note, range, words};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problem, Problems};

/// One figure of a mixture.
#[derive(Clone, Debug)]
pub struct MixFigure {
    /// The mixture.
    pub mix: Box<str>,
    /// What it is sown of.
    pub members: Vec<CropId>,
    /// What is measured.
    pub field: Box<str>,
    /// The figure, if it is a number.
    pub range: Option<Estimate>,
    /// The word, if it is not.
    pub text: Box<str>,
    /// Unit.
    pub unit: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("mix", Kind::Text(60), "key of the mixture"),
    Column::required("members", Kind::Text(200), "crop keys of its members, joined by ;"),
    Column::required("field", Kind::Text(60), "what is measured"),
    Column::optional("low", ANY, "low end"),
    Column::optional("high", ANY, "high end"),
    Column::optional("text", Kind::Text(200), "a word, where the figure is not a number"),
    Column::optional("unit", Kind::Text(30), "unit"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static COVER_MIXES: Table = Table {
    file: "cover_mixes.csv",
    text: include_str!("tables/cover_mixes.csv"),
    columns: COLUMNS,
    subject: &["mix", "field"],
    told_apart_by: &["source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<MixFigure> {
    look.tables.read(&COVER_MIXES, problems, |cells| {
        let mix = cells.text("mix")?.into();
        let mut members = Vec::new();
        for member in words(cells.text("members")) {
            match look.crops.find(&member) {
                Some(crop) => members.push(crop),
                None => cells.problem("members", Problem::UnknownName { of: "crop" }, None),
            }
        }
        Some(MixFigure {
            mix,
            members,
            field: cells.text("field")?.into(),
            range: range(cells, "low", "high"),
            text: note(cells, "text"),
            unit: note(cells, "unit"),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
