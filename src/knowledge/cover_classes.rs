//! Figures of whole classes of covers, for a cover that has none of its own.

use super::citation::Citation;
use super::figures::{Preference, STANDINGS, preference};
use super::later::Look;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, note, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One figure of a class.
#[derive(Clone, Debug)]
pub struct ClassFigure {
    /// The class, a key of the crop groups.
    pub group: Box<str>,
    /// What is measured.
    pub field: Box<str>,
    /// The figure, if it is a number.
    pub range: Option<Estimate>,
    /// The word, if it is not.
    pub text: Box<str>,
    /// Unit.
    pub unit: Box<str>,
    /// Whether to prefer it.
    pub preference: Preference,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("group", Kind::Text(60), "key of a crop group"),
    Column::required("field", Kind::Text(60), "what is measured"),
    Column::optional("low", ANY, "low end"),
    Column::optional("high", ANY, "high end"),
    Column::optional("text", Kind::Text(200), "a word, where the figure is not a number"),
    Column::optional("unit", Kind::Text(30), "unit"),
    Column::required("standing", Kind::Choice(STANDINGS), "preferred, second, weak"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static COVER_CLASSES: Table = Table {
    file: "cover_classes.csv",
    text: include_str!("tables/cover_classes.csv"),
    columns: COLUMNS,
    subject: &["group", "field"],
    told_apart_by: &["source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<ClassFigure> {
    look.tables.read(&COVER_CLASSES, problems, |cells| {
        Some(ClassFigure {
            group: cells.text("group")?.into(),
            field: cells.text("field")?.into(),
            range: range(cells, "low", "high"),
            text: note(cells, "text"),
            unit: note(cells, "unit"),
            preference: preference(cells.choice("standing")?),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
