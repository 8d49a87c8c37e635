//! What to type after an import that met problems, where one option settles many of them.

use crate::records::RecordKind;
use crate::tabular::{Column, Kind, Problem, RowProblem, header_words};

/// The commands that settle problems of columns and of days, with the folder's name filled in.
#[must_use]
pub fn import_hints(problems: &[RowProblem], from: &str) -> Vec<String> {
    let mut hints = Vec::new();
    let renamed: Vec<String> = problems.iter().filter_map(renamed).collect();
    if !renamed.is_empty() {
        let mut pairs = renamed;
        pairs.sort();
        pairs.dedup();
        hints.push(format!(
            "columns under other names are read with: --columns \"{}\"; `THEIRS=` leaves one out",
            pairs.join(",")
        ));
    }
    let turned = |problem: &&RowProblem| matches!(problem.problem, Problem::DayOrder);
    if problems.iter().filter(turned).count() > 1 {
        hints.push(format!(
            "if all days are written so: `breakcrop import {from} --date-order dmy`, or mdy, ymd"
        ));
    }
    hints
}

/// `theirs=ours` of a column that is not known: ours is the nearest, or nothing.
fn renamed(problem: &RowProblem) -> Option<String> {
    if !matches!(problem.problem, Problem::UnknownColumn) {
        return None;
    }
    let kind = RecordKind::of_file(&problem.file)?;
    let near = nearest(&header_words(&problem.value), kind.columns()).unwrap_or_default();
    Some(format!("{}={near}", problem.value))
}

/// The column meant, in the unit that the header names.
fn nearest(theirs: &str, columns: &'static [Column]) -> Option<String> {
    const NEAR: f64 = 0.88;
    columns
        .iter()
        .flat_map(names_of)
        .map(|name| (strsim::jaro_winkler(theirs, &name), name))
        .filter(|(likeness, _)| *likeness > NEAR)
        .max_by(|one, other| one.0.total_cmp(&other.0))
        .map(|(_, name)| name)
}

/// The names under which a column may stand: one for each unit it may be written in.
fn names_of(column: &'static Column) -> Vec<String> {
    let Kind::Measured(dimension, ..) = column.kind else { return vec![column.name.to_owned()] };
    let suffixes = dimension.suffixes().iter();
    suffixes.map(|(unit, _)| format!("{}_{unit}", column.bare_name())).collect()
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::import_hints;
    use crate::tabular::{Problem, RowProblem};

    fn problem(file: &str, value: &str, problem: Problem) -> RowProblem {
        RowProblem {
            file: Arc::from(file),
            line: 1,
            column: 1,
            field: None,
            value: value.to_owned(),
            excerpt: String::new(),
            problem,
            hint: None,
        }
    }

    #[test]
    fn unknown_columns_are_matched_to_ours_in_their_unit() {
        let problems = [
            problem("beds.csv", "Lenght (ft)", Problem::UnknownColumn),
            problem("beds.csv", "Notes", Problem::UnknownColumn),
            problem("plantings.csv", "Notes", Problem::UnknownColumn),
            problem("plantings.csv", "Moon", Problem::UnknownColumn),
        ];
        assert_eq!(
            import_hints(&problems, "mine"),
            ["columns under other names are read with: --columns \
                 \"Lenght (ft)=length_ft,Moon=,Notes=note\"; `THEIRS=` leaves one out"]
        );
    }

    #[test]
    fn days_in_one_order_are_told_once() {
        let day = problem("plantings.csv", "31/12/2025", Problem::DayOrder);
        assert!(import_hints(std::slice::from_ref(&day), "mine").is_empty(), "one may be a slip");
        assert_eq!(
            import_hints(&[day.clone(), day], "mine"),
            ["if all days are written so: `breakcrop import mine --date-order dmy`, or mdy, ymd"]
        );
    }
}
