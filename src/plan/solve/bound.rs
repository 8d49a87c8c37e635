//! The bound that no plan beats: Lagrangian relaxation of the wishes.
//!
//! A wish is concave in its amount, so that for any price between what a unit beyond is worth and what
//! a unit wanted is worth, `value(x) <= price * x + (worth - price) * wanted`. Ceilings that whole
//! plantings keep (`faces`) may take a part of the worth off the price. With prices and ceilings
//! weighed, the places no longer see each other, and the sum of their best sequences is a bound.
//! Low weights are found by column generation: each sequence met is a column of a small linear
//! problem, and a step goes part of the way to its prices (in-out separation, Ben-Ameur & Neto
//! 2007). Where it rests, ceilings that its mixture of sequences passes are added. Whatever weights
//! it ends at, the bound holds.

use std::collections::{BTreeMap, BTreeSet};

use super::faces::{Face, face};
use super::instance::Instance;
use super::master::{Master, Met};
use super::path::{PathAnswer, PlaceProblem, Worths};
use super::served::Served;
use super::threads::side_by_side;

/// How the worth of each wish is parted.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Weights {
    /// By wish: price of a unit.
    pub(super) prices: Vec<f64>,
    /// By face: its part of the worth.
    pub(super) faces: Vec<f64>,
}

/// The relaxation at one set of weights.
#[derive(Clone, Debug, Default)]
pub(super) struct Relaxed {
    pub(super) weights: Weights,
    /// The bound.
    pub(super) bound: f64,
    /// What the bound would be if the sequences found were the best: steers the descent while few
    /// labels are kept.
    pub(super) estimate: f64,
    /// By place: its best sequence at the weights.
    pub(super) paths: Vec<PathAnswer>,
}

/// What does not change while the bound is sought.
#[derive(Clone, Copy)]
pub(super) struct Relaxation<'a> {
    pub(super) instance: &'a Instance,
    pub(super) problems: &'a [PlaceProblem],
    pub(super) served: &'a Served,
}

impl Relaxation<'_> {
    /// Worth of each choice of a place at weights.
    pub(super) fn worths(&self, place: usize, weights: &Weights, faces: &[Face]) -> Worths {
        let choices = &self.instance.places[place].choices;
        let shared = choices.iter().map(|choice| {
            let wished = choice.amounts.iter();
            choice.own
                + wished.map(|(wish, amount)| amount * weights.prices[*wish as usize]).sum::<f64>()
        });
        let mut worths = Worths::shared(shared.collect());
        for (face, weight) in faces.iter().zip(&weights.faces) {
            if *weight > 0.0 {
                let items = &self.served.by_wish[face.wish as usize].items;
                let first = items.partition_point(|item| (item.place as usize) < place);
                for (item, adds) in items[first..].iter().zip(&face.adds[first..]) {
                    if item.place as usize != place {
                        break;
                    }
                    worths.flat[item.choice as usize] += weight * adds;
                }
            }
        }
        worths
    }

    /// What the wishes are worth by themselves at weights.
    fn slack(&self, weights: &Weights, faces: &[Face]) -> f64 {
        let mut left: Vec<f64> = self
            .instance
            .wishes
            .iter()
            .zip(&weights.prices)
            .map(|(wish, price)| wish.worth - price)
            .collect();
        let mut slack = 0.0;
        for (face, weight) in faces.iter().zip(&weights.faces) {
            left[face.wish as usize] -= weight;
            slack += weight * face.at_none;
        }
        let wishes = self.instance.wishes.iter().zip(&left);
        slack + wishes.map(|(wish, left)| left.max(0.0) * wish.wanted).sum::<f64>()
    }

    /// Weights in their range, one for each face.
    pub(super) fn in_range(&self, weights: &Weights, faces: usize) -> Weights {
        let prices = self.instance.wishes.iter().zip(&weights.prices).map(|(wish, price)| {
            let (low, high) = wish.prices();
            price.clamp(low.min(high), high)
        });
        let mut weights = Weights {
            prices: prices.collect(),
            faces: weights.faces.iter().map(|weight| weight.max(0.0)).collect(),
        };
        weights.faces.resize(faces, 0.0);
        weights
    }

    /// Solves the relaxation at weights, which are taken into their range first.
    pub(super) fn at(
        &self,
        weights: &Weights,
        faces: &[Face],
        caps: &[usize],
        known: &(dyn Fn(usize, &Weights) -> PathAnswer + Sync),
    ) -> Relaxed {
        let weights = self.in_range(weights, faces.len());
        let paths = side_by_side(self.problems.len(), |place| {
            let worths = self.worths(place, &weights, faces);
            self.problems[place].best(&worths, caps, known(place, &weights))
        });
        let slack = self.slack(&weights, faces);
        let bound = slack + paths.iter().map(|path| path.at_most).sum::<f64>();
        let estimate = slack + paths.iter().map(|path| path.worth).sum::<f64>();
        Relaxed { weights, bound, estimate, paths }
    }
}

/// A descent towards low weights; each step may be looked at, since its sequences make a plan.
#[derive(Clone)]
pub(super) struct Descent {
    pub(super) master: Master,
    known: BTreeSet<(usize, Vec<u32>)>,
    next: Weights,
    /// Ceilings found so far.
    pub(super) faces: Vec<Face>,
    /// By wish and item: how much it was taken so far, to lift first what comes near.
    near: Vec<Vec<f64>>,
    /// Where the sequences found are worth least.
    pub(super) best: Relaxed,
    /// Lowest bound met.
    pub(super) bound: f64,
    stale: u32,
    rounds: usize,
}

/// How far a step goes from the best weights towards those of the master problem. All the way is
/// quick to swing and slow to settle.
const TOWARDS: f64 = 0.35;
/// Steps without gain after which the descent rests.
const PATIENCE: u32 = 5;
/// A descent this near to the master's value has nothing to gain but by ceilings.
const NEAR: f64 = 2e-4;

impl Descent {
    /// Begins where a wish is worth three fifths of its worth: most wishes end between the two ends.
    pub(super) fn new(relaxation: &Relaxation<'_>) -> Self {
        let prices = relaxation.instance.wishes.iter().map(|wish| {
            let (low, high) = wish.prices();
            low + 0.6 * (high - low)
        });
        Self {
            master: Master::new(relaxation),
            known: BTreeSet::new(),
            next: Weights { prices: prices.collect(), faces: Vec::new() },
            faces: Vec::new(),
            near: relaxation
                .served
                .by_wish
                .iter()
                .map(|serving| vec![0.0; serving.items.len()])
                .collect(),
            best: Relaxed { estimate: f64::INFINITY, bound: f64::INFINITY, ..Relaxed::default() },
            bound: f64::INFINITY,
            stale: 0,
            rounds: 0,
        }
    }

    /// One step; returns the relaxation at the step's weights.
    pub(super) fn step(
        &mut self,
        relaxation: &Relaxation<'_>,
        caps: &[usize],
        rounds: usize,
    ) -> Relaxed {
        let now = relaxation
            .at(&self.next, &self.faces, caps, &|place, weights| self.known(place, weights));
        self.bound = self.bound.min(now.bound);
        let known = self.known.len();
        for (place, path) in now.paths.iter().enumerate() {
            if path.worth.is_finite() {
                self.take(relaxation, place, &path.choices);
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
        if !self.master.solve() {
            self.stale = PATIENCE;
            return now;
        }
        let near = self.best.estimate - self.master.value() <= NEAR * self.best.estimate.abs();
        if (near || self.stale >= PATIENCE) && self.rounds < rounds && self.cut(relaxation) {
            self.rounds += 1;
            self.stale = 0;
            if !self.master.solve() {
                self.stale = PATIENCE;
                return now;
            }
        }
        let aim = self.master.weights();
        self.best.weights.faces.resize(self.faces.len(), 0.0);
        // Where nothing new was met the master already knows what lies on the way.
        let towards = if self.known.len() == known { 1.0 } else { TOWARDS };
        let mix = |best: &[f64], aim: &[f64]| {
            best.iter().zip(aim).map(|(best, aim)| best + towards * (aim - best)).collect()
        };
        self.next = Weights {
            prices: mix(&self.best.weights.prices, &aim.prices),
            faces: mix(&self.best.weights.faces, &aim.faces),
        };
        now
    }

    /// The best sequence that the master knows of a place.
    pub(super) fn known(&self, place: usize, weights: &Weights) -> PathAnswer {
        match self.master.best_of(place, weights) {
            Some((met, worth)) => {
                PathAnswer { choices: met.path.clone(), worth, ..PathAnswer::default() }
            }
            None => PathAnswer::default(),
        }
    }

    /// Adds a sequence to the master; whether it was new to it.
    pub(super) fn take(&mut self, relaxation: &Relaxation<'_>, place: usize, path: &[u32]) -> bool {
        if !self.known.insert((place, path.to_vec())) {
            return false;
        }
        let problem = &relaxation.problems[place];
        let amounts = gathered(&problem.amounts(path));
        let own = problem.own(path);
        self.master.add(
            relaxation,
            &self.faces,
            Met { place, path: path.to_vec(), own, amounts, adds: Vec::new() },
        );
        true
    }

    /// Adds ceilings that the master's mixture passes; whether there were any.
    fn cut(&mut self, relaxation: &Relaxation<'_>) -> bool {
        let shares = self.master.item_shares(relaxation.served);
        for (near, shares) in self.near.iter_mut().zip(&shares) {
            for (near, share) in near.iter_mut().zip(shares) {
                *near = 0.7 * *near + share;
            }
        }
        let wishes = &relaxation.instance.wishes;
        let seek = |wish: usize| {
            let serving = &relaxation.served.by_wish[wish];
            let near = |group: usize| -> f64 {
                serving.groups[group].clone().map(|at| self.near[wish][at]).sum()
            };
            let mut order: Vec<usize> = (0..serving.groups.len()).collect();
            order.sort_by(|a, b| near(*b).total_cmp(&near(*a)).then(a.cmp(b)));
            let number = u32::try_from(wish).unwrap_or(u32::MAX);
            let (face, ceiling) =
                face(number, wishes[wish].wanted, serving, &shares[wish], &order)?;
            let (low, high) = wishes[wish].prices();
            let passed = (self.master.met(wish) - ceiling) * (high - low);
            (passed > 1e-6 * self.best.estimate.abs()).then_some(face)
        };
        let found = side_by_side(wishes.len(), seek);
        let mut any = false;
        for face in found.into_iter().flatten() {
            any = true;
            self.master.add_face(relaxation.served, &face);
            self.faces.push(face);
        }
        any
    }

    /// The same master without the ceilings that weigh nothing, for what is to be quick.
    pub(super) fn lean(&self, relaxation: &Relaxation<'_>) -> Self {
        let mut lean = Self::new(relaxation);
        let weights = self.master.weights().faces;
        for (face, weight) in self.faces.iter().zip(weights) {
            if weight > 1e-9 {
                lean.master.add_face(relaxation.served, face);
                lean.faces.push(face.clone());
            }
        }
        for (met, _) in &self.master.met {
            lean.take(relaxation, met.place, &met.path);
        }
        lean
    }

    /// Takes the best weights again with more labels, for a tighter bound.
    pub(super) fn tighten(&mut self, relaxation: &Relaxation<'_>, caps: &[usize]) {
        let known = |place: usize, weights: &Weights| self.known(place, weights);
        let now = relaxation.at(&self.best.weights, &self.faces, caps, &known);
        self.bound = self.bound.min(now.bound);
        self.best = now;
    }

    /// Whether further steps would gain next to nothing.
    pub(super) fn is_at_rest(&self) -> bool {
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
