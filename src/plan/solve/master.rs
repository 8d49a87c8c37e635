//! The master problem: which mixture of the sequences met so far is worth most.
//!
//! Its value is below the bound, its prices are where the bound is sought next, and its mixture shows
//! which whole plantings it tears in two (Dantzig & Wolfe 1960).

use super::bound::{Relaxation, Weights};
use super::faces::Face;
use super::served::Served;
use super::simplex::Simplex;

/// A sequence met.
#[derive(Clone, Debug)]
pub(super) struct Met {
    pub(super) place: usize,
    pub(super) path: Vec<u32>,
    /// Worth of its own, charges taken off.
    pub(super) own: f64,
    /// Amounts, each wish once.
    pub(super) amounts: Vec<(u32, f64)>,
    /// By face: what it adds, where it adds anything.
    pub(super) adds: Vec<(u32, f64)>,
}

impl Met {
    /// What it is worth at weights.
    fn worth(&self, weights: &Weights) -> f64 {
        let wished = self.amounts.iter().map(|(at, amount)| amount * weights.prices[*at as usize]);
        let faces = self.adds.iter().map(|(at, adds)| adds * weights.faces[*at as usize]);
        self.own + wished.sum::<f64>() + faces.sum::<f64>()
    }
}

/// The problem and its last answer.
#[derive(Clone, Debug)]
pub(super) struct Master {
    simplex: Simplex,
    /// By place: at most one sequence is taken.
    places: Vec<u32>,
    /// By wish: what counts is no more than what is brought.
    brought: Vec<u32>,
    /// By wish: what counts, a column.
    counts: Vec<u32>,
    /// By face: what counts is no more than its ceiling.
    faces: Vec<u32>,
    pub(super) met: Vec<(Met, u32)>,
    /// By place: added to each sequence where one must be taken, and so to the value.
    musts: Vec<f64>,
    /// By wish: worth of a unit beyond.
    beyond: Vec<f64>,
}

/// Pivots after which the master gives up.
const MOST_PIVOTS: usize = 20_000;

impl Master {
    /// Begins without any sequence.
    pub(super) fn new(relaxation: &Relaxation<'_>) -> Self {
        let mut simplex = Simplex::default();
        // Rows are a hair apart, so that steps lead somewhere; a bound does not rest on the answer.
        let mut hair = 0.0;
        let mut apart = || {
            hair += 1e-9;
            hair
        };
        let places =
            relaxation.problems.iter().map(|_| simplex.add_row(&[], 1.0 + apart())).collect();
        let mut brought = Vec::new();
        let mut counts = Vec::new();
        for wish in &relaxation.instance.wishes {
            let row = simplex.add_row(&[], apart() * wish.wanted);
            let most = simplex.add_row(&[], wish.wanted * (1.0 + apart()));
            let (low, high) = wish.prices();
            counts.push(simplex.add_column(high - low.min(high), vec![(row, 1.0), (most, 1.0)]));
            brought.push(row);
        }
        let all: f64 = relaxation.instance.wishes.iter().map(|wish| wish.worth * wish.wanted).sum();
        let musts = relaxation.instance.places.iter().map(|place| {
            if place.choices.iter().any(|choice| choice.fixed) { all + 1.0 } else { 0.0 }
        });
        let beyond = relaxation.instance.wishes.iter().map(|wish| wish.prices().0);
        Self {
            simplex,
            places,
            brought,
            counts,
            faces: Vec::new(),
            met: Vec::new(),
            musts: musts.collect(),
            beyond: beyond.collect(),
        }
    }

    /// Adds a sequence.
    pub(super) fn add(&mut self, relaxation: &Relaxation<'_>, faces: &[Face], mut met: Met) {
        let mut entries = vec![(self.places[met.place], 1.0)];
        let mut cost = met.own + self.musts[met.place];
        for (wish, amount) in &met.amounts {
            entries.push((self.brought[*wish as usize], -amount));
            cost += amount * self.beyond[*wish as usize];
        }
        for ((at, row), face) in (0..).zip(&self.faces).zip(faces) {
            let adds = face.added(relaxation.served, met.place, &met.path);
            if adds > 0.0 {
                entries.push((*row, -adds));
                met.adds.push((at, adds));
            }
        }
        let column = self.simplex.add_column(cost, entries);
        self.met.push((met, column));
    }

    /// Adds a ceiling.
    pub(super) fn add_face(&mut self, served: &Served, face: &Face) {
        let mut entries = vec![(self.counts[face.wish as usize], 1.0)];
        let number = u32::try_from(self.faces.len()).unwrap_or(u32::MAX);
        for (met, column) in &mut self.met {
            let adds = face.added(served, met.place, &met.path);
            if adds > 0.0 {
                entries.push((*column, -adds));
                met.adds.push((number, adds));
            }
        }
        let hair = 1e-9 * (1.0 + self.faces.len() as f64);
        self.faces.push(self.simplex.add_row(&entries, face.at_none * (1.0 + hair)));
    }

    /// Solves it as it stands; whether it got to the end.
    pub(super) fn solve(&mut self) -> bool {
        self.simplex.solve(MOST_PIVOTS)
    }

    /// What the mixture is worth.
    pub(super) fn value(&self) -> f64 {
        self.simplex.value() - self.musts.iter().sum::<f64>()
    }

    /// What counts for a wish in the mixture.
    pub(super) fn met(&self, wish: usize) -> f64 {
        self.simplex.share(self.counts[wish])
    }

    /// Weights at which the sequences met are worth least.
    pub(super) fn weights(&self) -> Weights {
        let prices = self.simplex.prices();
        Weights {
            prices: self
                .brought
                .iter()
                .zip(&self.beyond)
                .map(|(row, beyond)| beyond + prices[*row as usize])
                .collect(),
            faces: self.faces.iter().map(|row| prices[*row as usize]).collect(),
        }
    }

    /// The sequence of a place that is worth most at weights.
    pub(super) fn best_of(&self, place: usize, weights: &Weights) -> Option<(&Met, f64)> {
        let met = self.met.iter().filter(|(met, _)| met.place == place);
        met.map(|(met, _)| (met, met.worth(weights))).max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The sequence of a place with the largest share in the mixture.
    pub(super) fn most_taken(&self, place: usize) -> Option<(usize, f64)> {
        let met = self.met.iter().enumerate().filter(|(_, (met, _))| met.place == place);
        met.map(|(number, (_, column))| (number, self.simplex.share(*column)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    pub(super) fn path(&self, number: usize) -> &[u32] {
        &self.met[number].0.path
    }

    /// Takes a sequence whole.
    pub(super) fn decide(&mut self, number: usize) {
        self.simplex.add_row(&[(self.met[number].1, -1.0)], -1.0);
    }

    /// By wish and item: its share in the mixture.
    pub(super) fn item_shares(&self, served: &Served) -> Vec<Vec<f64>> {
        let mut shares: Vec<Vec<f64>> =
            served.by_wish.iter().map(|serving| vec![0.0; serving.items.len()]).collect();
        for (met, column) in &self.met {
            let share = self.simplex.share(*column);
            if share > 1e-9 {
                for choice in &met.path {
                    for (wish, at) in &served.of_choice[met.place][*choice as usize] {
                        shares[*wish as usize][*at as usize] += share;
                    }
                }
            }
        }
        shares
    }
}
