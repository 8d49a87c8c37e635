//! Every crop reaches a family, or the return times and the fallback to relatives fail in
//! silence. Fungi are no plants; a fallow is no single one.

use super::book::Book;
use super::{Fault, LintRule};
use crate::tabular::Problem;

/// Plants of no one family.
const MIXED: &[&str] = &["weedy_fallow"];

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let sheet = book.sheet("crops.csv");
    sheet
        .rows
        .iter()
        .filter(|row| {
            sheet.cell(row, "family").is_empty()
                && sheet.cell(row, "role") != "fungus"
                && !MIXED.contains(&sheet.cell(row, "key"))
        })
        .map(|row| {
            sheet.fault(
                LintRule::CropFamily,
                row,
                "family",
                Problem::Blank,
                "write the botanical family, like Fabaceae",
            )
        })
        .collect()
}
