//! Every group has members: a family or role named as a member has plants, and no group is its
//! own member.

use super::book::Book;
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let families = book.values("crops.csv", "family");
    let roles = book.values("crops.csv", "role");
    let mut faults = Vec::new();
    let sheet = book.sheet("crop_groups.csv");
    for row in &sheet.rows {
        let member = sheet.cell(row, "crop");
        let is_empty = match member.split_once(':') {
            Some(("family", family)) => !families.contains(family),
            Some(("role", role)) => !roles.contains(role),
            _ => false,
        };
        if is_empty {
            faults.push(sheet.fault(
                LintRule::GroupMembers,
                row,
                "crop",
                Problem::Other("no crop of the table is of this family or role"),
                "name crops one by one, or a family or role that has some",
            ));
        }
    }
    let sheet = book.sheet("pathogen_groups.csv");
    for row in &sheet.rows {
        if sheet.cell(row, "group") == sheet.cell(row, "member") {
            faults.push(sheet.fault(
                LintRule::GroupMembers,
                row,
                "member",
                Problem::Other("a group cannot be its own member"),
                "name the members",
            ));
        }
    }
    faults
}
