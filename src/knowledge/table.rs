//! Reading one knowledge table: the same located reading that the grower's files get.

use std::sync::Arc;

use super::citation::{Citation, How};
use crate::estimate::Estimate;
use crate::tabular::{Cells, Column, Kind, Problems, scan};

/// The columns that close every table: where a row comes from and how it is known.
pub(super) const SOURCE: Column =
    Column::required("source", Kind::Text(400), "keys of the sources table, joined by ;");
pub(super) const LOCATOR: Column = Column::optional(
    "locator",
    Kind::Text(600),
    "entry, table or page, or how the figure was derived",
);
pub(super) const HOW: Column =
    Column::required("how", Kind::Choice(How::WORDS), "read, memory or common practice");

/// Any number: bounds are the business of the lint, which knows what the number means.
pub(super) const ANY: Kind = Kind::Number(f64::NEG_INFINITY, f64::INFINITY);
/// A share or a count of years.
pub(super) const YEARS: Kind = Kind::Number(0.0, 100.0);
/// Free text of a note.
pub(super) const NOTE: Kind = Kind::Text(4000);
/// `true` or `false`.
pub(super) const FLAG: Kind = Kind::Choice(&["false", "true"]);

/// The source cells of a row.
pub(super) fn citation(cells: &mut Cells<'_>) -> Option<Citation> {
    let keys = cells.text("source");
    let locator = cells.text("locator").unwrap_or_default();
    let how = cells.choice("how").map(How::at);
    Some(Citation::new(keys?, locator, how?))
}

/// A range from two columns; `None` if both are blank, one figure if only one is there.
pub(super) fn range(cells: &mut Cells<'_>, low: &str, high: &str) -> Option<Estimate> {
    match (cells.number(low), cells.number(high)) {
        (Some(low), Some(high)) => Some(Estimate::between(low, high)),
        (Some(only), None) | (None, Some(only)) => Some(Estimate::exact(only)),
        (None, None) => None,
    }
}

/// `;`-joined words.
pub(super) fn words(text: Option<&str>) -> Vec<Box<str>> {
    text.into_iter()
        .flat_map(|text| text.split(';'))
        .map(str::trim)
        .filter(|word| !word.is_empty())
        .map(Box::from)
        .collect()
}

/// All sound rows of a table.
pub(super) fn rows<T>(
    file: &str,
    text: &str,
    columns: &'static [Column],
    problems: &mut Problems,
    mut read: impl FnMut(&mut Cells<'_>) -> Option<T>,
) -> Vec<T> {
    let mut rows = Vec::new();
    scan(&Arc::from(file), text.as_bytes(), columns, problems, |cells| {
        if let Some(row) = read(cells)
            && cells.is_sound()
        {
            rows.push(row);
        }
    });
    rows
}
