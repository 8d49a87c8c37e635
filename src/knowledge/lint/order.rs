//! Low ends come before high ends: within a row, within a cell, and between the fields of one
//! source on one crop.

use std::collections::BTreeMap;

use super::book::{Book, Row, Sheet};
use super::{Fault, LintRule};
use crate::tabular::Problem;

/// Endings of columns whose cells stand low to high.
const PAIRS: &[(&str, &str)] =
    &[("low", "high"), ("_min", "_max"), ("low_percent", "high_percent"), ("tmin_c", "tmax_c")];

/// Columns with ranges written in one cell.
const RANGES: &[(&str, &str)] = &[
    ("crop_figures.csv", "value"),
    ("crop_thresholds.csv", "value"),
    ("garden_disease_outcomes.csv", "percent"),
    ("yields_garden.csv", "kg_per_m2"),
    ("cover_growth_curves.csv", "dry_matter_t_ha"),
];

/// Fields of the crops' figures that rise from left to right.
const RISING: &[&[&str]] = &[
    &["germ_soil_min_c", "germ_soil_opt_c", "germ_soil_max_c"],
    &["growth_min_c", "growth_opt_low_c", "growth_opt_high_c", "growth_max_c"],
    &["days_to_maturity_min", "days_to_maturity_max"],
    &["in_row_cm_min", "in_row_cm_max"],
    &["between_row_cm_min", "between_row_cm_max"],
    &["yield_kg_m2_low", "yield_kg_m2_high"],
    &["n_recommendation_kg_ha_low", "n_recommendation_kg_ha_high"],
];

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for sheet in book.sheets() {
        for (low, high) in pairs(sheet) {
            for row in &sheet.rows {
                faults.extend(falling(sheet, row, low, high));
            }
        }
    }
    let trials = book.sheet("rotation_yield.csv");
    for row in &trials.rows {
        faults.extend(falling(trials, row, "low_percent", "relative_yield_percent"));
        faults.extend(falling(trials, row, "relative_yield_percent", "high_percent"));
    }
    for (file, column) in RANGES {
        let sheet = book.sheet(file);
        for row in &sheet.rows {
            if turned_round(sheet.cell(row, column)) {
                faults.push(sheet.fault(
                    LintRule::LowToHigh,
                    row,
                    column,
                    Problem::Other("the low end lies above the high end"),
                    "exchange the two figures, if both are right",
                ));
            }
        }
    }
    faults.extend(rising(book.sheet("crop_figures.csv")));
    faults
}

/// The pairs of columns of a table that stand low to high.
fn pairs(sheet: &Sheet) -> Vec<(&'static str, &'static str)> {
    let names: Vec<&'static str> = sheet.table.columns.iter().map(|column| column.name).collect();
    let mut pairs = Vec::new();
    for (low, high) in PAIRS {
        for name in &names {
            if let Some(stem) = name.strip_suffix(low)
                && let Some(partner) =
                    names.iter().find(|other| other.strip_suffix(high) == Some(stem))
            {
                pairs.push((*name, *partner));
            }
        }
    }
    pairs
}

fn falling(sheet: &Sheet, row: &Row, low: &str, high: &str) -> Option<Fault> {
    let (least, most) = (sheet.number(row, low)?, sheet.number(row, high)?);
    (least > most).then(|| {
        sheet.fault(
            LintRule::LowToHigh,
            row,
            low,
            Problem::Other("the low end lies above the high end"),
            format!("`{high}` is {most}: exchange the two, if both are right"),
        )
    })
}

/// Whether a range in one cell is written high to low.
fn turned_round(cell: &str) -> bool {
    let ends = cell.split_once(" to ").or_else(|| {
        let first = cell.chars().next()?.len_utf8();
        let dash = cell[first..].find('-')? + first;
        Some((&cell[..dash], &cell[dash + 1..]))
    });
    ends.is_some_and(|(low, high)| match (low.trim().parse::<f64>(), high.trim().parse::<f64>()) {
        (Ok(low), Ok(high)) => low > high,
        _ => false,
    })
}

/// Figures of one source on one crop, with the grade and the place they share.
type FiguresOf<'r> = BTreeMap<Vec<&'r str>, Vec<(&'r str, f64, &'r Row)>>;

fn rising(sheet: &Sheet) -> Vec<Fault> {
    let mut of_source: FiguresOf<'_> = BTreeMap::new();
    for row in &sheet.rows {
        if let Some(value) = sheet.number(row, "value") {
            of_source
                .entry(sheet.cells(row, &["crop", "source", "locator", "standing"]))
                .or_default()
                .push((sheet.cell(row, "field"), value, row));
        }
    }
    let mut faults = Vec::new();
    for figures in of_source.values() {
        for fields in RISING {
            for pair in fields.windows(2) {
                let of = |field| figures.iter().filter(move |(name, ..)| *name == field);
                for (_, low, row) in of(pair[0]) {
                    if let Some((_, high, _)) = of(pair[1]).find(|(_, high, _)| low > high) {
                        faults.push(sheet.fault(
                            LintRule::LowToHigh,
                            row,
                            "value",
                            Problem::Other("the low end lies above the high end"),
                            format!("`{}` of the same source is {high}", pair[1]),
                        ));
                    }
                }
            }
        }
    }
    faults
}
