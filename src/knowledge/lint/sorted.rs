//! Rows stand in the order of what they are about, numbers as numbers: a new row has one place,
//! and two people's rows meet without a clash.

use std::cmp::Ordering;

use super::book::Book;
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for sheet in book.sheets() {
        for pair in sheet.rows.windows(2) {
            let before = sheet.cells(&pair[0], sheet.table.subject);
            let row = sheet.cells(&pair[1], sheet.table.subject);
            if pair[0].same_file(&pair[1]) && compare(&before, &row) == Ordering::Greater {
                faults.push(sheet.fault(
                    LintRule::RowsSorted,
                    &pair[1],
                    sheet.table.subject[0],
                    Problem::Other("the row stands after one that comes later in order"),
                    format!("sort by {}", sheet.table.subject.join(", ")),
                ));
            }
        }
    }
    faults
}

/// Numbers before words, numbers by value.
fn compare(one: &[&str], other: &[&str]) -> Ordering {
    one.iter()
        .zip(other)
        .map(|(one, other)| match (one.parse::<f64>(), other.parse::<f64>()) {
            (Ok(one), Ok(other)) => one.total_cmp(&other),
            (Ok(_), Err(_)) => Ordering::Less,
            (Err(_), Ok(_)) => Ordering::Greater,
            (Err(_), Err(_)) => one.cmp(other),
        })
        .find(|order| order.is_ne())
        .unwrap_or(Ordering::Equal)
}
