//! No two rows of a table are the same: same subject, and alike in what tells rows apart.

use std::collections::BTreeMap;

use super::book::Book;
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for sheet in book.sheets() {
        let key: Vec<&str> =
            sheet.table.subject.iter().chain(sheet.table.told_apart_by).copied().collect();
        let mut seen = BTreeMap::new();
        for row in &sheet.rows {
            if let Some(earlier) = seen.insert(sheet.cells(row, &key), row.place()) {
                faults.push(sheet.fault(
                    LintRule::UniqueKey,
                    row,
                    key[0],
                    Problem::Duplicate { earlier },
                    format!("leave one of the two, or let them differ in: {}", key.join(", ")),
                ));
            }
        }
    }
    faults
}
