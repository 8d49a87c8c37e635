//! Clauses of published standards and rules, in our words, with the records that prove each.

use super::citation::Citation;
use super::ids::PathogenId;
use super::later::Look;
use super::table::{HOW, LOCATOR, SOURCE, citation, note, words};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problem, Problems};

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
    /// Rules of the audit that prove or disprove it from records.
    pub rules: Vec<Box<str>>,
    /// Why records cannot prove it; blank where rules can.
    pub not_provable: Box<str>,
    /// The diseases it speaks of.
    pub pathogens: Vec<PathogenId>,
    /// Its figure, in `unit`.
    pub figure: Option<f64>,
    /// `years_free`, `years_kept`, `days`, `g_m2_year`, `percent`, or `notice` for a duty to tell the
    /// authority.
    pub unit: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const UNITS: &[&str] = &["years_free", "years_kept", "days", "g_m2_year", "percent", "notice"];

const COLUMNS: &[Column] = &[
    Column::required("id", Kind::Text(30), "short id"),
    Column::required("clause", Kind::Text(120), "number of the clause"),
    Column::required("demands", Kind::Text(600), "what it demands, in our words"),
    Column::optional("records_that_prove_it", Kind::Text(300), "records that prove it"),
    Column::optional("rules", Kind::Text(200), "rules of the audit that speak of it, joined by ;"),
    Column::optional("not_provable", Kind::Text(300), "why records cannot prove it"),
    Column::optional("pathogens", Kind::Text(200), "keys of the diseases meant, joined by ;"),
    Column::optional("figure", Kind::Number(0.0, 1000.0), "its figure"),
    Column::optional("unit", Kind::Choice(UNITS), "unit of the figure, or `notice`"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static STANDARDS: Table = Table {
    file: "standards.csv",
    text: include_str!("tables/standards.csv"),
    columns: COLUMNS,
    subject: &["id"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Clause> {
    look.tables.read(&STANDARDS, problems, |cells| {
        let mut pathogens = Vec::new();
        for key in words(cells.text("pathogens")) {
            match look.pathogens.find(&key) {
                Some(pathogen) => pathogens.push(pathogen),
                None => cells.problem(
                    "pathogens",
                    Problem::UnknownName { of: "pathogen" },
                    Some(format!("`{key}` is not a pathogen key")),
                ),
            }
        }
        Some(Clause {
            id: cells.text("id")?.into(),
            clause: cells.text("clause")?.into(),
            demands: cells.text("demands")?.into(),
            proof: note(cells, "records_that_prove_it"),
            rules: words(cells.text("rules")),
            not_provable: note(cells, "not_provable"),
            pathogens,
            figure: cells.number("figure"),
            unit: cells.choice("unit").map_or("", |at| UNITS[at]).into(),
            citation: citation(cells)?,
        })
    })
}
