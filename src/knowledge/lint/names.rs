//! A name stands for one thing, however it is spelt, and that thing exists.

use std::collections::{BTreeMap, BTreeSet};

use super::book::{Book, near};
use super::{Fault, LintRule};
use crate::knowledge::names::fold;
use crate::tabular::Problem;

/// Causes that are words of the records, not rows: nothing ailed, or nobody knows.
const SAID_OF_RECORDS: &[&str] = &["healthy", "unknown"];

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = ambiguous(book);
    faults.extend(stolen(book));
    faults.extend(without_key(book));
    faults
}

/// Two rows that fold to one name and mean different things.
fn ambiguous(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, context, key) in
        [("names.csv", "kind", "key"), ("disease_names.csv", "crop", "pathogen")]
    {
        let sheet = book.sheet(file);
        let mut meant: BTreeMap<(&str, String), &str> = BTreeMap::new();
        for row in &sheet.rows {
            let name = (sheet.cell(row, context), fold(sheet.cell(row, "name")));
            let stands_for = sheet.cell(row, key);
            let first = *meant.entry(name).or_insert(stands_for);
            if first != stands_for {
                faults.push(sheet.fault(
                    LintRule::NameUnambiguous,
                    row,
                    "name",
                    Problem::Other("the name already stands for something else"),
                    format!("it stands for `{first}` as well as `{stands_for}`: keep one"),
                ));
            }
        }
    }
    faults
}

/// A synonym that is the key or printed name of another row.
fn stolen(book: &Book) -> Vec<Fault> {
    let mut own: BTreeMap<(&str, String), BTreeSet<&str>> = BTreeMap::new();
    for (kind, file, columns) in [
        ("crop", "crops.csv", &["key", "name"][..]),
        ("pathogen", "pathogens.csv", &["key", "scientific_name"]),
        ("cause", "causes.csv", &["key", "name"]),
    ] {
        let sheet = book.sheet(file);
        for row in &sheet.rows {
            for column in columns {
                let name = fold(sheet.cell(row, column));
                if !name.is_empty() {
                    own.entry((kind, name)).or_default().insert(sheet.cell(row, "key"));
                }
            }
        }
    }
    let sheet = book.sheet("names.csv");
    sheet
        .rows
        .iter()
        .filter_map(|row| {
            let name = (sheet.cell(row, "kind"), fold(sheet.cell(row, "name")));
            let owners = own.get(&name)?;
            (!owners.contains(sheet.cell(row, "key"))).then(|| {
                let owners: Vec<&str> = owners.iter().copied().collect();
                sheet.fault(
                    LintRule::NameUnambiguous,
                    row,
                    "name",
                    Problem::Other("the name is that of another row"),
                    format!("`{}` has this name itself", owners.join("`, `")),
                )
            })
        })
        .collect()
}

fn without_key(book: &Book) -> Vec<Fault> {
    let crops = book.values("crops.csv", "key");
    let pathogens = book.values("pathogens.csv", "key");
    let materials = book.values("amendments.csv", "material");
    let mut causes = book.values("causes.csv", "key");
    causes.extend(SAID_OF_RECORDS);
    let sheet = book.sheet("names.csv");
    let mut faults = Vec::new();
    for row in &sheet.rows {
        let known = match sheet.cell(row, "kind") {
            "crop" => &crops,
            "pathogen" => &pathogens,
            "material" => &materials,
            "cause" => &causes,
            // A practice is made by being named: the records hold no list of their own.
            _ => continue,
        };
        let key = sheet.cell(row, "key");
        if !known.contains(key) {
            faults.push(sheet.fault(
                LintRule::SynonymKey,
                row,
                "key",
                Problem::UnknownName { of: "key" },
                near(key, known.iter().copied()),
            ));
        }
    }
    faults
}
