//! Waiting times, cut-down dates and thresholds of work with covers.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, note, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One time or threshold.
#[derive(Clone, Debug)]
pub struct TimingRule {
    /// What it is for: `sow_before_frost`, `wait_after_incorporation_maggots`, ...
    pub rule: Box<str>,
    /// The figure, in `unit`. One that has no high end is the least.
    pub range: Option<Estimate>,
    /// Whether only a least figure is given.
    pub at_least: bool,
    /// The word, where it is no figure.
    pub text: Box<str>,
    /// Unit.
    pub unit: Box<str>,
    /// Crop or group it applies to; `None` for all.
    pub applies_to: Option<Meant<CropId>>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("rule", Kind::Text(60), "what it is for"),
    Column::optional("low", ANY, "low end"),
    Column::optional("high", ANY, "high end"),
    Column::optional("text", Kind::Text(120), "a word, where it is no figure"),
    Column::optional("unit", Kind::Text(60), "unit"),
    Column::optional("applies_to", Kind::Text(60), "crop key, group key or mix"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static TIMING: Table = Table {
    file: "timing.csv",
    text: include_str!("tables/timing.csv"),
    columns: COLUMNS,
    subject: &["rule", "applies_to"],
    told_apart_by: &["low", "high", "text", "unit", "source", "note"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<TimingRule> {
    look.tables.read(&TIMING, problems, |cells| {
        let rule = cells.text("rule")?.into();
        let at_least = !cells.written("low").is_empty() && cells.written("high").is_empty();
        Some(TimingRule {
            rule,
            range: range(cells, "low", "high"),
            at_least,
            text: note(cells, "text"),
            unit: note(cells, "unit"),
            applies_to: cells.text("applies_to").map(|key| Meant::crop(look.crops, key)),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
