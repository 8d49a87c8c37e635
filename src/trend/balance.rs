//! What came to a bed and what left it, by year, from the books of N, P and K.

use std::ops::{Add, Mul};

use chrono::Datelike;

use crate::estimate::Estimate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Bed, Garden};
use crate::season::Date;
use crate::state::ledger;
use crate::state::nutrients::{Flow, Nutrient, Pool, Spread};

/// What came less what left, g/m2, in the three columns of the books.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Balance {
    /// Came: put on, and taken from the air by legumes.
    came: [Spread; 3],
    /// Left: picked, carried off, washed out, lost to the air.
    left: [Spread; 3],
}

impl Balance {
    /// What came of a nutrient.
    #[must_use]
    pub fn came(&self, nutrient: Nutrient) -> Estimate {
        self.came[nutrient as usize].range()
    }

    /// What left of it.
    #[must_use]
    pub fn left(&self, nutrient: Nutrient) -> Estimate {
        self.left[nutrient as usize].range()
    }

    /// What came less what left, column by column of the books.
    #[must_use]
    pub fn net(&self, nutrient: Nutrient) -> Estimate {
        (self.came[nutrient as usize] - self.left[nutrient as usize]).range()
    }
}

impl Add for Balance {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        let sum = |a: [Spread; 3], b: [Spread; 3]| std::array::from_fn(|at| a[at] + b[at]);
        Self { came: sum(self.came, other.came), left: sum(self.left, other.left) }
    }
}

impl Mul<f64> for Balance {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self {
            came: self.came.map(|spread| spread * factor),
            left: self.left.map(|spread| spread * factor),
        }
    }
}

impl std::iter::Sum for Balance {
    fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
        parts.fold(Self::default(), Add::add)
    }
}

/// The balances of a bed by calendar year, its sections by their part. What a soil test sets right
/// is neither gain nor loss.
#[must_use]
pub fn balances(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    bed: &Bed,
    today: Date,
) -> Vec<(i32, Balance)> {
    let places = garden.places(&bed.name);
    let part = 1.0 / places.len().max(1) as f64;
    let mut years: Vec<(i32, Balance)> = Vec::new();
    for place in &places {
        for month in ledger(garden, knowledge, policy, place, today).months {
            let mut balance = Balance::default();
            for nutrient in Nutrient::ALL {
                for posting in &month.account(nutrient).postings {
                    if matches!(posting.flow, Flow::SetByTest | Flow::Unexplained) {
                        continue;
                    }
                    let side = match (posting.from, posting.to) {
                        (Pool::Outside, _) => &mut balance.came,
                        (_, Pool::Outside) => &mut balance.left,
                        _ => continue,
                    };
                    side[nutrient as usize] = side[nutrient as usize] + posting.amount * part;
                }
            }
            let year = month.from.year();
            match years.iter_mut().find(|(known, _)| *known == year) {
                Some((_, sum)) => *sum = *sum + balance,
                None => years.push((year, balance)),
            }
        }
    }
    years.sort_by_key(|(year, _)| *year);
    years
}
