//! What to type after an import that met problems, where one option settles many of them.

use std::collections::BTreeMap;

use itertools::Itertools as _;

use crate::records::RecordKind;
use crate::season::PartOfADay;
use crate::tabular::{Problem, RowProblem, meant};

/// What settles problems of columns and of days that many rows share: a command, or what to write.
/// `from` is what was imported, `columns` what was told of columns already.
#[must_use]
pub fn import_hints(problems: &[RowProblem], from: &str, columns: Option<&str>) -> Vec<String> {
    let mut hints = Vec::new();
    let renamed = pairs(problems);
    if !renamed.is_empty() {
        let pairs: Vec<&str> =
            columns.into_iter().chain(renamed.iter().map(String::as_str)).collect();
        hints.push(format!(
            "columns under other names are read so (`THEIRS=` leaves one out): breakcrop import \
             {from} --columns \"{}\"",
            pairs.join(",")
        ));
    }
    let turned = |problem: &&RowProblem| matches!(problem.problem, Problem::DayOrder);
    if problems.iter().filter(turned).count() > 1 {
        let columns = columns.map_or_else(String::new, |told| format!(" --columns \"{told}\""));
        hints.push(format!(
            "if all days are written so: `breakcrop import {from}{columns} --date-order dmy`, or \
             mdy, ymd"
        ));
    }
    let part = |problem: &RowProblem| {
        matches!(problem.problem, Problem::NotADay) && PartOfADay::of(&problem.value).is_some()
    };
    if problems.iter().any(part) {
        hints.push(
            "where you do not know the day: of a sowing write the earliest it may have been, of a \
             clearing or a sickness the latest, and say so in the note; waits then come out too \
             long rather than too short"
                .to_owned(),
        );
    }
    hints
}

/// `theirs=ours` of the columns that are not known: ours is the one meant, or nothing. The file
/// stands before a pair only where the same heading means something else in another file.
fn pairs(problems: &[RowProblem]) -> Vec<String> {
    let mut meanings: BTreeMap<&str, BTreeMap<&str, String>> = BTreeMap::new();
    for problem in problems {
        if let (Problem::UnknownColumn, Some(kind)) =
            (&problem.problem, RecordKind::of_file(&problem.file))
        {
            let ours = meant(&problem.value, kind.columns()).unwrap_or_default();
            meanings.entry(&problem.value).or_default().insert(kind.word(), ours);
        }
    }
    let pairs = meanings.into_iter().flat_map(|(theirs, by_file)| {
        let one = by_file.values().all_equal_value().ok().cloned();
        one.map_or_else(
            || by_file.iter().map(|(file, ours)| format!("{file}:{theirs}={ours}")).collect(),
            |ours| vec![format!("{theirs}={ours}")],
        )
    });
    pairs.collect()
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
            problem("plantings.csv", "From", Problem::UnknownColumn),
            problem("treatments.csv", "From", Problem::UnknownColumn),
        ];
        assert_eq!(
            import_hints(&problems, "mine", None),
            ["columns under other names are read so (`THEIRS=` leaves one out): breakcrop import \
              mine --columns \"plantings:From=planted,treatments:From=start,Lenght \
              (ft)=length_ft,Moon=,Notes=note\""]
        );
    }

    #[test]
    fn days_in_one_order_are_told_once() {
        let day = problem("plantings.csv", "31/12/2025", Problem::DayOrder);
        assert!(
            import_hints(std::slice::from_ref(&day), "mine", None).is_empty(),
            "one may be a slip"
        );
        assert_eq!(
            import_hints(&[day.clone(), day], "mine", Some("A=bed")),
            [
                "if all days are written so: `breakcrop import mine --columns \"A=bed\" --date-order \
              dmy`, or mdy, ymd"
            ]
        );
    }
}
