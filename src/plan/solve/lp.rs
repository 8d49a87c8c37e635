//! The linear part of an instance, for a linear solver.
//!
//! `Master` finds the prices at which the bound is lowest, given the sequences met so far: the dual
//! of the column generation's master problem, so that each sequence is a row and the prices are
//! what is solved for.

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
