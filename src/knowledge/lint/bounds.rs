//! Figures in long tables have a unit that is known, and lie within what it allows. Columns that
//! always hold the same quantity carry their bounds themselves and are checked by their readers.

use super::book::{Book, Row, Sheet};
use super::units::{Bounds, ENDINGS, UNITS};
use super::{Fault, LintRule};
use crate::knowledge::table::written_range;
use crate::tabular::Problem;

/// File, column of the unit, columns of the figures.
const WITH_UNIT: &[(&str, &str, &[&str])] = &[
    ("cover_figures.csv", "unit", &["low", "high"]),
    ("cover_mixes.csv", "unit", &["low", "high"]),
    ("cover_classes.csv", "unit", &["low", "high"]),
    ("timing.csv", "unit", &["low", "high"]),
    ("intersow.csv", "timing_unit", &["timing_low", "timing_high"]),
    ("crop_thresholds.csv", "unit", &["value"]),
];

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, unit, columns) in WITH_UNIT {
        let sheet = book.sheet(file);
        for row in &sheet.rows {
            for column in *columns {
                let written = sheet.cell(row, unit);
                if let Some((low, high)) = ends(sheet.cell(row, column)) {
                    match UNITS.iter().find(|(known, ..)| *known == written) {
                        Some(bounds) => {
                            faults.extend(within(sheet, row, column, low, high, bounds));
                        }
                        None => faults.push(sheet.fault(
                            LintRule::Bounds,
                            row,
                            unit,
                            Problem::UnknownName { of: "unit" },
                            super::book::near(written, UNITS.iter().map(|(unit, ..)| *unit)),
                        )),
                    }
                }
            }
        }
    }
    let sheet = book.sheet("crop_figures.csv");
    for row in &sheet.rows {
        if let Some((low, high)) = ends(sheet.cell(row, "value")) {
            let field = sheet.cell(row, "field");
            match ENDINGS.iter().find(|(ending, ..)| field.ends_with(ending)) {
                Some(bounds) => faults.extend(within(sheet, row, "value", low, high, bounds)),
                None => faults.push(sheet.fault(
                    LintRule::Bounds,
                    row,
                    "field",
                    Problem::Other("a figure in a field whose name tells no unit"),
                    "end the name in its unit: _c, _cm, _days, _kg_m2_low ...",
                )),
            }
        }
    }
    faults
}

/// The ends of a figure as written, in the order written.
fn ends(cell: &str) -> Option<(f64, f64)> {
    written_range(cell).map(|range| (range.low, range.high))
}

fn within(
    sheet: &Sheet,
    row: &Row,
    column: &str,
    low: f64,
    high: f64,
    (unit, least, most): &Bounds,
) -> Option<Fault> {
    (low < *least || high > *most).then(|| {
        let unit = unit.trim_start_matches('_');
        sheet.fault(
            LintRule::Bounds,
            row,
            column,
            Problem::OutOfRange { least: *least, most: *most },
            format!("is it in `{unit}`, and is the decimal point in its place?"),
        )
    })
}
