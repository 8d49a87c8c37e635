//! A linear problem that grows: columns and rows are added, and the last answer is gone on from.
//!
//! Maximise `costs * x` under rows `coefficients * x <= limit`, `x >= 0`. The revised simplex method
//! with an explicit inverse of the basis (Dantzig & Orchard-Hays 1954): primal steps after new
//! columns, dual steps after new rows. It is here because a master problem needs both the shares of
//! its columns and the prices of its rows, and goes on from where it stood.

/// Rounding of sums of some hundred terms.
const CLOSE: f64 = 1e-9;
/// A pivot smaller than this is not trusted.
const LEAST_PIVOT: f64 = 1e-7;
/// Pivots after which the inverse is made anew.
const FRESH: u32 = 200;

#[derive(Clone, Debug)]
struct Column {
    cost: f64,
    entries: Vec<(u32, f64)>,
}

/// The problem with its last answer.
#[derive(Clone, Debug, Default)]
pub(super) struct Simplex {
    columns: Vec<Column>,
    limits: Vec<f64>,
    /// By row: the column that is basic in it; slacks count down from the end.
    basis: Vec<Basic>,
    /// By column: the row in which it is basic.
    row_of: Vec<Option<u32>>,
    /// By row: the row in which its slack is basic.
    slack_row: Vec<Option<u32>>,
    inverse: Vec<Vec<f64>>,
    level: Vec<f64>,
    pivots: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Basic {
    Slack(u32),
    Column(u32),
}

impl Simplex {
    /// Adds a row `entries * x <= limit` over columns that are there; its place.
    pub(super) fn add_row(&mut self, entries: &[(u32, f64)], limit: f64) -> u32 {
        let row = index(self.limits.len());
        for (column, factor) in entries {
            self.columns[*column as usize].entries.push((row, *factor));
        }
        // The new slack is basic: its row of the inverse takes off what the basic columns have in it.
        let mut inverse = vec![0.0; self.limits.len() + 1];
        let mut level = limit;
        for (column, factor) in entries {
            if let Some(at) = self.row_of[*column as usize] {
                let at = at as usize;
                level -= factor * self.level[at];
                for (value, known) in inverse.iter_mut().zip(&self.inverse[at]) {
                    *value -= factor * known;
                }
            }
        }
        inverse[self.limits.len()] = 1.0;
        for known in &mut self.inverse {
            known.push(0.0);
        }
        self.inverse.push(inverse);
        self.level.push(level);
        self.limits.push(limit);
        self.slack_row.push(Some(row));
        self.basis.push(Basic::Slack(row));
        row
    }

    /// Adds a column that is not yet taken; its place.
    pub(super) fn add_column(&mut self, cost: f64, entries: Vec<(u32, f64)>) -> u32 {
        self.columns.push(Column { cost, entries });
        self.row_of.push(None);
        index(self.columns.len() - 1)
    }

    /// Share of a column in the last answer.
    pub(super) fn share(&self, column: u32) -> f64 {
        self.row_of[column as usize].map_or(0.0, |row| self.level[row as usize].max(0.0))
    }

    /// Prices of the rows in the last answer.
    pub(super) fn prices(&self) -> Vec<f64> {
        let mut prices = vec![0.0; self.limits.len()];
        for (row, basic) in self.basis.iter().enumerate() {
            let Basic::Column(column) = basic else { continue };
            let cost = self.columns[*column as usize].cost;
            if cost.abs() > 0.0 {
                for (price, factor) in prices.iter_mut().zip(&self.inverse[row]) {
                    *price += cost * factor;
                }
            }
        }
        prices
    }

    /// What the last answer is worth.
    pub(super) fn value(&self) -> f64 {
        let basic = self.basis.iter().zip(&self.level);
        basic
            .map(|(basic, level)| match basic {
                Basic::Column(column) => self.columns[*column as usize].cost * level,
                Basic::Slack(_) => 0.0,
            })
            .sum()
    }

    /// Solves the problem as it stands, in at most so many pivots; whether the answer is the best.
    pub(super) fn solve(&mut self, most: usize) -> bool {
        let mut left = most;
        // Rows first, so that columns find an answer that keeps them all.
        self.keep_rows(&mut left) && self.gain(&mut left) && self.level.iter().all(|at| *at > -1e-7)
    }

    /// Primal steps: the column that gains most enters, until none gains.
    fn gain(&mut self, left: &mut usize) -> bool {
        let mut idle = 0;
        while *left > 0 {
            *left -= 1;
            let prices = self.prices();
            let Some(entering) = self.most_gaining(&prices, idle > 50) else { return true };
            let direction = self.direction(entering);
            let Some(leaving) = self.first_to_go(&direction, idle > 50) else { return false };
            let step = self.level[leaving].max(0.0) / direction[leaving];
            idle = if step > CLOSE { 0 } else { idle + 1 };
            self.pivot(entering, leaving, &direction);
        }
        false
    }

    /// The column or slack that gains most a unit; the first that gains if steps lead nowhere (Bland
    /// 1977), so that no circle is walked.
    fn most_gaining(&self, prices: &[f64], first: bool) -> Option<Basic> {
        let mut most = CLOSE;
        let mut found = None;
        for (at, column) in (0..).zip(&self.columns) {
            if self.row_of[at as usize].is_some() {
                continue;
            }
            let gain = column.cost - paid(&column.entries, prices);
            if gain > most {
                most = gain;
                found = Some(Basic::Column(at));
                if first {
                    return found;
                }
            }
        }
        for (at, price) in (0..).zip(prices) {
            if self.slack_row[at as usize].is_none() && -price > most {
                most = -price;
                found = Some(Basic::Slack(at));
                if first {
                    return found;
                }
            }
        }
        found
    }

    /// What one unit of a column takes from each basic one.
    fn direction(&self, entering: Basic) -> Vec<f64> {
        let one;
        let entries = match entering {
            Basic::Column(column) => &self.columns[column as usize].entries,
            Basic::Slack(row) => {
                one = vec![(row, 1.0)];
                &one
            }
        };
        self.inverse
            .iter()
            .map(|row| entries.iter().map(|(at, factor)| row[*at as usize] * factor).sum())
            .collect()
    }

    fn first_to_go(&self, direction: &[f64], by_order: bool) -> Option<usize> {
        let mut found: Option<(usize, f64)> = None;
        for (row, per_unit) in direction.iter().enumerate() {
            if *per_unit <= LEAST_PIVOT {
                continue;
            }
            let step = self.level[row].max(0.0) / per_unit;
            let better = found.is_none_or(|(best, least)| {
                if (step - least).abs() <= 1e-12 {
                    if by_order {
                        order(self.basis[row]) < order(self.basis[best])
                    } else {
                        *per_unit > direction[best]
                    }
                } else {
                    step < least
                }
            });
            if better {
                found = Some((row, step));
            }
        }
        found.map(|(row, _)| row)
    }

    /// Dual steps: what is below nothing leaves for what loses least.
    fn keep_rows(&mut self, left: &mut usize) -> bool {
        while *left > 0 {
            *left -= 1;
            let lowest = self.level.iter().enumerate().min_by(|a, b| a.1.total_cmp(b.1));
            let Some((leaving, _)) = lowest.filter(|(_, level)| **level < -CLOSE) else {
                return true;
            };
            let prices = self.prices();
            let row = &self.inverse[leaving];
            let mut found: Option<(Basic, f64, f64)> = None;
            let mut look = |basic: Basic, pivot: f64, loss: f64| {
                if pivot >= -LEAST_PIVOT {
                    return;
                }
                let ratio = loss.max(0.0) / -pivot;
                let better = found.is_none_or(|(_, least, known)| {
                    ratio < least - 1e-12 || (ratio < least + 1e-12 && pivot < known)
                });
                if better {
                    found = Some((basic, ratio, pivot));
                }
            };
            for (at, column) in (0..).zip(&self.columns) {
                if self.row_of[at as usize].is_none() {
                    let pivot = paid(&column.entries, row);
                    if pivot < -LEAST_PIVOT {
                        let loss = paid(&column.entries, &prices) - column.cost;
                        look(Basic::Column(at), pivot, loss);
                    }
                }
            }
            for (at, price) in (0..).zip(&prices) {
                if self.slack_row[at as usize].is_none() {
                    look(Basic::Slack(at), row[at as usize], *price);
                }
            }
            let Some((entering, ..)) = found else { return false };
            let direction = self.direction(entering);
            self.pivot(entering, leaving, &direction);
        }
        false
    }

    fn pivot(&mut self, entering: Basic, leaving: usize, direction: &[f64]) {
        match self.basis[leaving] {
            Basic::Column(column) => self.row_of[column as usize] = None,
            Basic::Slack(row) => self.slack_row[row as usize] = None,
        }
        self.basis[leaving] = entering;
        match entering {
            Basic::Column(column) => self.row_of[column as usize] = Some(index(leaving)),
            Basic::Slack(row) => self.slack_row[row as usize] = Some(index(leaving)),
        }
        eliminate(&mut self.inverse, &mut self.level, leaving, direction);
        self.pivots += 1;
        if self.pivots >= FRESH {
            self.refresh();
        }
    }

    /// The inverse made anew from the basis, so that rounding does not gather.
    fn refresh(&mut self) {
        self.pivots = 0;
        let rows = self.limits.len();
        let mut fresh = Self {
            columns: std::mem::take(&mut self.columns),
            limits: std::mem::take(&mut self.limits),
            basis: (0..).take(rows).map(Basic::Slack).collect(),
            row_of: Vec::new(),
            slack_row: (0..).take(rows).map(Some).collect(),
            inverse: (0..rows)
                .map(|row| (0..rows).map(|at| f64::from(u8::from(at == row))).collect())
                .collect(),
            level: Vec::new(),
            pivots: 0,
        };
        fresh.row_of = vec![None; fresh.columns.len()];
        fresh.level.clone_from(&fresh.limits);
        let taken: Vec<u32> = self
            .basis
            .iter()
            .filter_map(|basic| match basic {
                Basic::Column(column) => Some(*column),
                Basic::Slack(_) => None,
            })
            .collect();
        let mut free: Vec<bool> = self.slack_row.iter().map(Option::is_none).collect();
        for column in taken {
            let direction = fresh.direction(Basic::Column(column));
            // A row whose slack is not basic takes the column in which it weighs most.
            let row = (0..rows)
                .filter(|row| free[*row])
                .max_by(|a, b| direction[*a].abs().total_cmp(&direction[*b].abs()));
            let Some(row) = row.filter(|row| direction[*row].abs() > CLOSE) else { continue };
            free[row] = false;
            fresh.slack_row[row] = None;
            fresh.basis[row] = Basic::Column(column);
            fresh.row_of[column as usize] = Some(index(row));
            eliminate(&mut fresh.inverse, &mut fresh.level, row, &direction);
        }
        *self = fresh;
    }
}

/// Takes the leaving row out of all others. Most rows of a master are slack, and their columns of the
/// inverse empty: only what the leaving row holds is touched.
fn eliminate(inverse: &mut [Vec<f64>], level: &mut [f64], leaving: usize, direction: &[f64]) {
    let pivot = direction[leaving];
    let mut row = std::mem::take(&mut inverse[leaving]);
    let mut held = Vec::with_capacity(row.len());
    for (at, value) in row.iter_mut().enumerate() {
        if value.abs() > 0.0 {
            *value /= pivot;
            held.push((at, *value));
        }
    }
    level[leaving] /= pivot;
    let taken = level[leaving];
    let is_sparse = held.len() * 4 < row.len();
    for (at, factor) in direction.iter().enumerate() {
        if at == leaving || factor.abs() <= 0.0 {
            continue;
        }
        level[at] -= factor * taken;
        let other = &mut inverse[at];
        if is_sparse {
            for (column, unit) in &held {
                other[*column] -= factor * unit;
            }
        } else {
            for (value, unit) in other.iter_mut().zip(&row) {
                *value -= factor * unit;
            }
        }
    }
    inverse[leaving] = row;
}

fn paid(entries: &[(u32, f64)], prices: &[f64]) -> f64 {
    entries.iter().map(|(row, factor)| prices[*row as usize] * factor).sum()
}

fn order(basic: Basic) -> (bool, u32) {
    match basic {
        Basic::Column(column) => (false, column),
        Basic::Slack(row) => (true, row),
    }
}

fn index(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::solve::Random;

    /// Against the library's answer on random problems, columns and rows added in turn.
    #[test]
    fn it_answers_as_the_library_does_while_it_grows() {
        for seed in 0..60 {
            let mut random = Random::new(seed);
            let mut simplex = Simplex::default();
            let mut rows: Vec<(Vec<(u32, f64)>, f64)> = Vec::new();
            let mut costs: Vec<f64> = Vec::new();
            for _ in 0..3 {
                for _ in 0..4 {
                    let mut held: Vec<(u32, f64)> = Vec::new();
                    for at in 0..index(costs.len()) {
                        if random.below(2) == 0 {
                            held.push((at, random.share()));
                        }
                    }
                    let limit = 0.2 + random.share();
                    simplex.add_row(&held, limit);
                    rows.push((held, limit));
                }
                for _ in 0..6 {
                    let cost = random.share() - 0.1;
                    let mut entries = vec![(0, 0.5)];
                    rows[0].0.push((index(costs.len()), 0.5));
                    for (at, row) in rows.iter_mut().enumerate().skip(1) {
                        if random.below(2) == 0 {
                            let factor = random.share() - 0.3;
                            entries.push((index(at), factor));
                            row.0.push((index(costs.len()), factor));
                        }
                    }
                    simplex.add_column(cost, entries);
                    costs.push(cost);
                }
                assert!(simplex.solve(10_000), "seed {seed}");
                let expected = library(&costs, &rows);
                assert!((simplex.value() - expected).abs() < 1e-6, "seed {seed}");
                // The prices prove it: what the rows cost in all is what the answer is worth.
                let prices = simplex.prices();
                let cost: f64 = prices.iter().zip(&rows).map(|(price, row)| price * row.1).sum();
                assert!((cost - expected).abs() < 1e-6, "seed {seed}: {cost} {expected}");
                assert!(prices.iter().all(|price| *price > -1e-7));
            }
        }
    }

    fn library(costs: &[f64], rows: &[(Vec<(u32, f64)>, f64)]) -> f64 {
        use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOutcome};
        let mut problem = Problem::new(OptimizationDirection::Maximize);
        let columns: Vec<_> =
            costs.iter().map(|cost| problem.add_var(*cost, (0.0, f64::INFINITY))).collect();
        for (entries, limit) in rows {
            let terms: Vec<_> =
                entries.iter().map(|(at, factor)| (columns[*at as usize], *factor)).collect();
            problem.add_constraint(terms, ComparisonOp::Le, *limit);
        }
        match problem.solve() {
            Ok(SolveOutcome::Solution(solution)) => solution.objective(),
            other => panic!("{other:?}"),
        }
    }
}
