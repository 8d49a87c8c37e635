//! The bound that no plan beats: Lagrangian relaxation of the wishes.
//!
//! A wish is concave in its amount, so that for any price between what a unit beyond is worth and what
//! a unit wanted is worth, `value(x) <= price * x + (worth - price) * wanted`. With a price for each
//! wish the places no longer see each other, and the sum of their best sequences is a bound. Low
//! prices are found by cutting planes: each sequence met is a row of a small linear problem, and a
//! step goes part of the way to its answer (in-out separation, Ben-Ameur & Neto 2007). Whatever
//! prices it ends at, the bound holds.

use std::collections::{BTreeMap, BTreeSet};

use super::instance::Instance;
use super::lp::Master;
use super::path::{PathAnswer, PlaceProblem};
use super::threads::side_by_side;

/// The relaxation at one set of prices.
#[derive(Clone, Debug, Default)]
pub struct Relaxed {
    /// Price of a unit of each wish.
    pub prices: Vec<f64>,
    /// The bound.
    pub bound: f64,
    /// What the bound would be if the sequences found were the best: steers the descent while few
    /// labels are kept.
    pub estimate: f64,
    /// By place: its best sequence at the prices.
    pub paths: Vec<PathAnswer>,
}

/// Solves the relaxation at prices, which are taken into their range first.
#[must_use]
pub fn relax(
    instance: &Instance,
    problems: &[PlaceProblem],
    prices: &[f64],
    caps: &[usize],
) -> Relaxed {
    let prices: Vec<f64> = instance
        .wishes
        .iter()
        .zip(prices)
        .map(|(wish, price)| {
            let (low, high) = wish.prices();
            price.clamp(low.min(high), high)
        })
        .collect();
    let paths = side_by_side(problems.len(), |place| {
        problems[place].best(&PlaceProblem::worths(instance, place, &prices), caps)
    });
    let slack = instance.wishes.iter().zip(&prices);
    let slack: f64 = slack.map(|(wish, price)| (wish.worth - price) * wish.wanted).sum();
    let bound = slack + paths.iter().map(|path| path.at_most).sum::<f64>();
    let estimate = slack + paths.iter().map(|path| path.worth).sum::<f64>();
    Relaxed { prices, bound, estimate, paths }
}

/// A descent towards low prices; each step may be looked at, since its sequences make a plan.
pub struct Descent {
    master: Master,
    known: BTreeSet<(usize, Vec<u32>)>,
    next: Vec<f64>,
    /// Where the sequences found are worth least.
    pub best: Relaxed,
    /// Lowest bound met.
    pub bound: f64,
    stale: u32,
}

/// How far a step goes from the best prices towards those of the master problem. All the way is
/// quick to swing and slow to settle.
const TOWARDS: f64 = 0.35;
/// Steps without gain after which the descent rests.
const PATIENCE: u32 = 5;

impl Descent {
    /// Begins where a wish is worth three fifths of its worth: most wishes end between the two ends.
    #[must_use]
    pub fn new(instance: &Instance) -> Self {
        let prices = instance.wishes.iter().map(|wish| {
            let (low, high) = wish.prices();
            low + 0.6 * (high - low)
        });
        Self {
            master: Master::new(instance),
            known: BTreeSet::new(),
            next: prices.collect(),
            best: Relaxed { estimate: f64::INFINITY, ..Relaxed::default() },
            bound: f64::INFINITY,
            stale: 0,
        }
    }

    /// One step; returns the relaxation at the step's prices.
    pub fn step(
        &mut self,
        instance: &Instance,
        problems: &[PlaceProblem],
        caps: &[usize],
    ) -> Relaxed {
        let now = relax(instance, problems, &self.next, caps);
        self.bound = self.bound.min(now.bound);
        for (place, path) in now.paths.iter().enumerate() {
            if path.worth.is_finite() && self.known.insert((place, path.choices.clone())) {
                let amounts = gathered(&problems[place].amounts(&path.choices));
                let wished =
                    amounts.iter().map(|(wish, amount)| now.prices[*wish as usize] * amount);
                self.master.add(place, path.worth - wished.sum::<f64>(), &amounts);
            }
        }
        if now.estimate < self.best.estimate - 2e-6 * now.estimate.abs() {
            self.stale = 0;
        } else {
            self.stale += 1;
        }
        if now.estimate < self.best.estimate {
            self.best = now.clone();
        }
        match self.master.prices() {
            Some(aim) => {
                let mixed = self.best.prices.iter().zip(&aim);
                self.next = mixed.map(|(best, aim)| best + TOWARDS * (aim - best)).collect();
            }
            None => self.stale = PATIENCE,
        }
        now
    }

    /// Takes the best prices again with more labels, for a tighter bound.
    pub fn tighten(&mut self, instance: &Instance, problems: &[PlaceProblem], caps: &[usize]) {
        let now = relax(instance, problems, &self.best.prices, caps);
        self.bound = self.bound.min(now.bound);
        self.best = now;
    }

    /// Whether further steps would gain next to nothing.
    #[must_use]
    pub fn is_at_rest(&self) -> bool {
        self.stale >= PATIENCE
    }
}

/// Amounts with each wish once.
pub(super) fn gathered(amounts: &[(u32, f64)]) -> Vec<(u32, f64)> {
    let mut sums: BTreeMap<u32, f64> = BTreeMap::new();
    for (wish, amount) in amounts {
        *sums.entry(*wish).or_default() += amount;
    }
    sums.into_iter().collect()
}
