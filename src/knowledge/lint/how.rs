//! How a row is known agrees with its source: what is remembered says so in both columns.

use super::book::{Book, parts};
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for sheet in book.sheets().filter(|sheet| sheet.has("how")) {
        for row in &sheet.rows {
            let sources: Vec<&str> = parts(sheet.cell(row, "source")).collect();
            let how = sheet.cell(row, "how").replace(' ', "_");
            let wrong = if sources.contains(&"memory") != (how == "memory") {
                Some((
                    Problem::Other("`memory` stands in one of source and how, not in both"),
                    "write memory in both; if it was read, name the source and write read",
                ))
            } else if how == "common_practice" && !sources.contains(&"common_practice") {
                Some((
                    Problem::Other("known as common practice, but the source does not say so"),
                    "add common_practice to the source, or write read",
                ))
            } else if sources == ["common_practice"] && how != "common_practice" {
                Some((
                    Problem::Other("the source is common practice, but known otherwise"),
                    "write common practice",
                ))
            } else {
                None
            };
            if let Some((problem, hint)) = wrong {
                faults.push(sheet.fault(LintRule::HowAgrees, row, "how", problem, hint));
            }
        }
    }
    faults
}
