//! Areas under linear rules: the oldest planning problem there is, how much of each crop under rows
//! of land, labour and rotation.

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOutcome, Variable};

/// A row that areas must keep: coefficients by crop, and the most that their sum may be.
#[derive(Clone, Debug, PartialEq)]
pub struct AreaRow {
    /// By crop.
    pub coefficients: Vec<f64>,
    /// The most.
    pub most: f64,
}

/// The areas of crops, each worth so much a unit, that keep all rows and are worth most; `None` if
/// there is no such plan or no end to it.
#[must_use]
pub fn areas(worths: &[f64], rows: &[AreaRow]) -> Option<Vec<f64>> {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let crops: Vec<Variable> =
        worths.iter().map(|worth| problem.add_var(*worth, (0.0, f64::INFINITY))).collect();
    for row in rows {
        let terms = crops.iter().zip(&row.coefficients);
        let terms: Vec<(Variable, f64)> = terms.map(|(crop, factor)| (*crop, *factor)).collect();
        problem.add_constraint(terms, ComparisonOp::Le, row.most);
    }
    match problem.solve() {
        Ok(SolveOutcome::Solution(solution)) => {
            Some(crops.iter().map(|crop| solution.var_value(*crop)).collect())
        }
        _ => None,
    }
}
