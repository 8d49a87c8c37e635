//! Linear problems: the prices that make the bound lowest, and areas under linear rules.
//!
//! [`Master`] finds the prices at which the bound is lowest, given the sequences met so far: the dual
//! of the column generation's master problem, so that each sequence is a row and the prices are
//! what is solved for. [`areas`] is the same solver on the oldest planning problem there is: how much
//! of each crop under rows of land, labour and rotation.

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOutcome, Variable};

use super::instance::Instance;

/// Prices from the sequences met so far.
pub struct Master {
    problem: Problem,
    prices: Vec<Variable>,
    places: Vec<Variable>,
}

impl Master {
    /// Begins without any sequence: every place is worth nothing.
    #[must_use]
    pub fn new(instance: &Instance) -> Self {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let prices = instance
            .wishes
            .iter()
            .map(|wish| {
                let (low, high) = wish.prices();
                problem.add_var(-wish.wanted, (low.min(high), high))
            })
            .collect();
        let places =
            instance.places.iter().map(|_| problem.add_var(1.0, (0.0, f64::INFINITY))).collect();
        Self { problem, prices, places }
    }

    /// Adds a sequence: own worth and amounts, each wish once.
    pub fn add(&mut self, place: usize, own: f64, amounts: &[(u32, f64)]) {
        let mut row = vec![(self.places[place], 1.0)];
        row.extend(amounts.iter().map(|(wish, amount)| (self.prices[*wish as usize], -amount)));
        self.problem.add_constraint(row, ComparisonOp::Ge, own);
    }

    /// Prices at which the sequences met so far are worth least; `None` if the solver gives up.
    #[must_use]
    pub fn prices(&self) -> Option<Vec<f64>> {
        match self.problem.solve() {
            Ok(SolveOutcome::Solution(solution)) => {
                Some(self.prices.iter().map(|price| solution.var_value(*price)).collect())
            }
            _ => None,
        }
    }
}

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
