//! Every pathogen has a host row and a survival statement, its own or its group's, or says in
//! `unrecorded` that the tables do not hold them.

use std::collections::BTreeSet;

use super::book::{Book, Row, Sheet, parts};
use super::{Fault, LintRule};
use crate::tabular::Problem;

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let sheet = book.sheet("pathogens.csv");
    let with_hosts = book.values("hosts.csv", "pathogen");
    let with_survival: BTreeSet<&str> = sheet
        .rows
        .iter()
        .filter(|row| states_survival(sheet, row))
        .map(|row| sheet.cell(row, "key"))
        .collect();
    let groups = book.sheet("pathogen_groups.csv");
    let pairs: Vec<(&str, &str)> = groups
        .rows
        .iter()
        .map(|row| (groups.cell(row, "group"), groups.cell(row, "member")))
        .collect();
    let mut faults = Vec::new();
    for row in &sheet.rows {
        let key = sheet.cell(row, "key");
        let of_groups =
            || pairs.iter().filter(|(_, member)| *member == key).map(|(group, _)| *group);
        let members = pairs.iter().filter(|(group, _)| *group == key).map(|(_, member)| *member);
        // Host rows of a group hold for its members, and a group is the worst of its members.
        let has_hosts = std::iter::once(key)
            .chain(of_groups())
            .chain(members)
            .any(|kin| with_hosts.contains(kin));
        let has_survival =
            std::iter::once(key).chain(of_groups()).any(|kin| with_survival.contains(kin));
        for (rule, word, has) in [
            (LintRule::PathogenHosts, "hosts", has_hosts),
            (LintRule::PathogenSurvival, "survival", has_survival),
        ] {
            let unrecorded = parts(sheet.cell(row, "unrecorded")).any(|part| part == word);
            if !has && !unrecorded {
                let problem = if rule == LintRule::PathogenHosts {
                    Problem::Other("no row names a host of it, nor is that said")
                } else {
                    Problem::Other("nothing is said of its survival, nor that it is not recorded")
                };
                faults.push(sheet.fault(
                    rule,
                    row,
                    "unrecorded",
                    problem,
                    format!("add the rows, or write {word} here"),
                ));
            } else if has && unrecorded {
                faults.push(sheet.fault(
                    rule,
                    row,
                    "unrecorded",
                    Problem::Other("said not to be recorded, but a row records it"),
                    format!("take {word} out"),
                ));
            }
        }
    }
    faults
}

fn states_survival(sheet: &Sheet, row: &Row) -> bool {
    ["survival_years_min", "survival_years_max", "half_life_years_min", "half_life_years_max"]
        .iter()
        .any(|column| !sheet.cell(row, column).is_empty())
        || sheet.cell(row, "survival_open") == "true"
}
