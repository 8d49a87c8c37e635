//! Clauses of published standards and rules, in our words, with the records that prove each.

use super::citation::Citation;
use super::later::Look;
use super::table::{HOW, LOCATOR, SOURCE, citation, note};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problems};

/// One clause.
#[derive(Clone, Debug)]
pub struct Clause {
    /// Short id.
    pub id: Box<str>,
    /// Number of the clause.
    pub clause: Box<str>,
    /// What it demands.
    pub demands: Box<str>,
    /// Records that prove it.
    pub proof: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("id", Kind::Text(30), "short id"),
    Column::required("clause", Kind::Text(120), "number of the clause"),
    Column::required("demands", Kind::Text(600), "what it demands, in our words"),
    Column::optional("records_that_prove_it", Kind::Text(300), "records that prove it"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) const STANDARDS: Table = Table {
    file: "standards.csv",
    text: include_str!("tables/standards.csv"),
    columns: COLUMNS,
    subject: &["id"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Clause> {
    look.tables.read(&STANDARDS, problems, |cells| {
        Some(Clause {
            id: cells.text("id")?.into(),
            clause: cells.text("clause")?.into(),
            demands: cells.text("demands")?.into(),
            proof: note(cells, "records_that_prove_it"),
            citation: citation(cells)?,
        })
    })
}
