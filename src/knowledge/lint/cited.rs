//! Every source cited is in the table of sources, and every source there is cited.

use std::collections::BTreeSet;

use super::book::{Book, near, parts};
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let known = book.values("sources.csv", "key");
    let mut cited = BTreeSet::new();
    let mut faults = Vec::new();
    for sheet in book.sheets().filter(|sheet| sheet.has("source")) {
        for row in &sheet.rows {
            for key in parts(sheet.cell(row, "source")) {
                cited.insert(key);
                if !known.contains(key) {
                    faults.push(sheet.fault(
                        LintRule::SourceExists,
                        row,
                        "source",
                        Problem::UnknownName { of: "source" },
                        near(key, known.iter().copied()),
                    ));
                }
            }
        }
    }
    let sources = book.sheet("sources.csv");
    for row in &sources.rows {
        if !cited.contains(sources.cell(row, "key")) {
            faults.push(sources.fault(
                LintRule::SourceCited,
                row,
                "key",
                Problem::Other("no row cites this source"),
                "take the row out, or cite it where it was used",
            ));
        }
    }
    faults
}
