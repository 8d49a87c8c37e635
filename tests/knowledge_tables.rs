//! The built-in tables are sound: every cell reads, every key is known.

use breakcrop::knowledge::{Knowledge, Tables};
use pretty_assertions::assert_eq;

#[test]
fn every_row_of_every_table_reads() {
    let problems: Vec<String> = Knowledge::problems(&Tables::built_in())
        .iter()
        .map(|problem| {
            format!(
                "{}:{}:{} {:?} {:?} {:?}",
                problem.file,
                problem.line,
                problem.column,
                problem.field,
                problem.value,
                problem.problem
            )
        })
        .collect();
    assert_eq!(problems, Vec::<String>::new());
}
