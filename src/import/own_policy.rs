//! `policy.csv` in a folder of own tables: own values laid over the choices of the project.

use std::sync::Arc;

use crate::policy::{OwnChoice, OwnPolicy, OwnValue, Policy};
use crate::tabular::{Column, Kind, Problem, Problems, Resolved, RowProblem, scan};

/// Name of the file, in a folder of own tables.
pub const OWN_POLICY_FILE: &str = "policy.csv";

/// Its columns.
pub const OWN_POLICY_COLUMNS: &[Column] = &[
    Column::required("choice", Kind::Name("choice"), "name of the choice, as `policy` prints it"),
    Column::optional("low", Kind::Number(-1e6, 1e6), "lower end, if the choice is a range"),
    Column::required("likely", Kind::Number(-1e6, 1e6), "the figure, or the likely value"),
    Column::optional("high", Kind::Number(-1e6, 1e6), "upper end, if the choice is a range"),
    Column::required("reason", Kind::Text(400), "why it holds here, for whoever reads the advice"),
];

/// Reads `policy.csv`.
///
/// # Errors
/// Every row that cannot stand, located: an unknown choice, one named twice, a value that the
/// choice cannot take.
pub fn own_policy(file: &Arc<str>, bytes: &[u8]) -> Result<OwnPolicy, Vec<RowProblem>> {
    let mut laid = OwnPolicy::default();
    let mut problems = Problems::default();
    scan(file, bytes, OWN_POLICY_COLUMNS, &mut problems, |cells| {
        let choice = cells.name("choice", choice_named);
        let (low, likely, high) =
            (cells.number("low"), cells.number("likely"), cells.number("high"));
        let reason = cells.text("reason");
        let (Some(choice), Some(likely), Some(reason)) = (choice, likely, reason) else { return };
        if let Some(earlier) = laid.own.iter().find(|own| own.choice == choice) {
            let earlier = format!("line {}", earlier.origin.line);
            cells.problem("choice", Problem::Duplicate { earlier }, None);
            return;
        }
        match laid.policy.lay(choice, OwnValue { low, likely, high }) {
            Ok(()) if cells.is_sound() => {
                laid.own.push(OwnChoice { choice, reason: reason.into(), origin: cells.origin() });
            }
            Ok(()) => {}
            Err(refused) => cells.problem("likely", Problem::Other(refused.why()), None),
        }
    });
    if problems.is_empty() { Ok(laid) } else { Err(problems.list) }
}

/// The choice of that name, or the names near it.
fn choice_named(written: &str) -> Resolved<&'static str> {
    const NEAR: f64 = 0.84;
    if let Some(found) = Policy::NAMES.iter().find(|name| **name == written) {
        return Ok(found);
    }
    let near = Policy::NAMES
        .iter()
        .map(|name| (strsim::jaro_winkler(written, name), name))
        .filter(|(likeness, _)| *likeness > NEAR)
        .max_by(|one, other| one.0.total_cmp(&other.0));
    Err(near.map(|(_, name)| (*name).to_owned()).into_iter().collect())
}
