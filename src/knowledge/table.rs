//! Reading one knowledge table: the same located reading that the grower's files get.

use std::sync::Arc;

use super::tables::is_own;

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
    let mut citation = Citation::new(keys?, locator, how?);
    if is_own(cells.file()) {
        citation.own = Some(cells.origin());
    }
    Some(citation)
}

/// A range from two columns; `None` if both are blank, one figure if only one is there.
pub(super) fn range(
    cells: &mut Cells<'_>,
    low: &'static str,
    high: &'static str,
) -> Option<Estimate> {
    match (cells.number(low), cells.number(high)) {
        (Some(low), Some(high)) => Some(Estimate::between(low, high)),
        (Some(only), None) | (None, Some(only)) => Some(Estimate::exact(only)),
        (None, None) => None,
    }
}

/// A range as written in one cell: `45.7-61`, `-12 to -9`, `80`, `-8`; `None` for words.
pub(super) fn written_range(written: &str) -> Option<Estimate> {
    if let Ok(number) = written.parse::<f64>() {
        return Some(Estimate::exact(number));
    }
    let (low, high) = if let Some(ends) = written.split_once(" to ") {
        ends
    } else {
        // A sign may stand before the first figure.
        let first = written.chars().next()?.len_utf8();
        let dash = written[first..].find('-')? + first;
        (&written[..dash], &written[dash + 1..])
    };
    let low = low.trim().parse::<f64>().ok().filter(|low| low.is_finite())?;
    let high = high.trim().parse::<f64>().ok().filter(|high| high.is_finite())?;
    Some(Estimate::between(low, high))
}

/// Text of an optional cell.
pub(super) fn note(cells: &mut Cells<'_>, name: &'static str) -> Box<str> {
    cells.text(name).unwrap_or_default().into()
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
    text: impl AsRef<[u8]>,
    columns: &'static [Column],
    problems: &mut Problems,
    mut read: impl FnMut(&mut Cells<'_>) -> Option<T>,
) -> Vec<T> {
    let mut rows = Vec::new();
    scan(&Arc::from(file), text.as_ref(), columns, problems, |cells| {
        if let Some(row) = read(cells)
            && cells.is_sound()
        {
            rows.push(row);
        }
    });
    rows
}

#[cfg(test)]
mod tests {
    use super::written_range;

    #[test]
    fn ranges_and_negative_figures_are_told_apart() {
        let range = |text| written_range(text).map(|range| (range.low, range.high));
        assert_eq!(range("45.7-61"), Some((45.7, 61.0)));
        assert_eq!(range("-8"), Some((-8.0, -8.0)));
        assert_eq!(range("-12--8"), Some((-12.0, -8.0)));
        assert_eq!(range("-12 to -9"), Some((-12.0, -9.0)));
        assert_eq!(range("medium"), None);
        assert_eq!(range("°-3"), None);
    }
}
