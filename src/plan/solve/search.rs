//! Better plans: each place answers all others, and now and then a few are torn up and filled again.

use super::instance::{Instance, NO_FAMILY, Succession};
use super::path::{PlaceProblem, Worths};
use super::random::Random;
use super::value::{Plan, Totals, feasible_path, neighbour_charges};

/// A plan under work, with what it brings.
#[derive(Clone, Debug)]
pub(super) struct Working {
    pub(super) plan: Plan,
    totals: Vec<Totals>,
    sums: Vec<f64>,
    pub(super) value: f64,
}

/// What the search works on.
#[derive(Clone, Copy)]
pub(super) struct Search<'a> {
    pub(super) instance: &'a Instance,
    pub(super) succession: &'a dyn Succession,
    pub(super) problems: &'a [PlaceProblem],
    /// Labels a slot may keep while a place is filled.
    pub(super) cap: usize,
}

/// How far worths are shaken when places are filled again.
const SHAKE: f64 = 0.15;
/// Share of the value by which a plan may be worse and still be gone on from, at the start.
const WARMTH: f64 = 8e-4;

impl Search<'_> {
    /// Takes a plan in hand; `None` if it breaks a rule.
    pub(super) fn take(&self, plan: Plan) -> Option<Working> {
        let mut working = Working {
            totals: Vec::with_capacity(plan.paths.len()),
            sums: vec![0.0; self.instance.wishes.len()],
            value: 0.0,
            plan,
        };
        for (place, path) in working.plan.paths.iter().enumerate() {
            if !feasible_path(self.instance, place, path) {
                return None;
            }
            let totals = self.totals(place, path)?;
            add(&mut working.sums, &totals, 1.0);
            working.totals.push(totals);
        }
        working.value = self.value(&working);
        Some(working)
    }

    pub(super) fn totals(&self, place: usize, path: &[u32]) -> Option<Totals> {
        let shares = self.succession.exact(place, path)?;
        Some(Totals::of(self.instance, place, path, &shares))
    }

    fn value(&self, working: &Working) -> f64 {
        let own: f64 = working.totals.iter().map(|totals| totals.own).sum();
        let wishes = self.instance.wishes.iter().zip(&working.sums);
        own + wishes.map(|(wish, sum)| wish.value(*sum)).sum::<f64>()
            - neighbour_charges(self.instance, &working.plan)
    }

    /// Worth of each choice of a place, given what all others bring.
    fn worths(&self, working: &Working, place: usize) -> Vec<f64> {
        let mut worths: Vec<f64> = self.instance.places[place]
            .choices
            .iter()
            .map(|choice| {
                let wished = choice.amounts.iter().map(|(wish, amount)| {
                    let others = working.sums[*wish as usize];
                    let wish = &self.instance.wishes[*wish as usize];
                    wish.value(others + amount) - wish.value(others)
                });
                choice.own + wished.sum::<f64>()
            })
            .collect();
        for pair in &self.instance.neighbours {
            let other = match place {
                place if place == pair.one => pair.other,
                place if place == pair.other => pair.one,
                _ => continue,
            };
            for taken in &working.plan.paths[other] {
                let taken = &self.instance.places[other].choices[*taken as usize];
                if taken.family == NO_FAMILY {
                    continue;
                }
                for (worth, choice) in worths.iter_mut().zip(&self.instance.places[place].choices) {
                    if choice.family == taken.family {
                        let shared = choice.end.min(taken.end);
                        let shared = shared.saturating_sub(choice.start.max(taken.start));
                        *worth -= f64::from(shared) * pair.charge;
                    }
                }
            }
        }
        worths
    }

    /// Fills an empty place with its best answer to the others; the old sequence is kept if the new
    /// one is forbidden.
    fn fill(&self, working: &mut Working, place: usize, old: &[u32], shake: Option<&mut Random>) {
        let mut worths = self.worths(working, place);
        if let Some(random) = shake {
            for worth in &mut worths {
                *worth *= 1.0 + SHAKE * (2.0 * random.share() - 1.0);
            }
        }
        let answer = self.problems[place].good(&Worths::shared(worths), self.cap);
        let (path, totals) = match self.totals(place, &answer.choices) {
            Some(totals) if answer.worth.is_finite() => (answer.choices, totals),
            _ => (old.to_vec(), self.totals(place, old).unwrap_or_default()),
        };
        put(working, place, path, totals);
    }

    /// Every place in turn answers all others, until none gains.
    pub(super) fn settle(&self, working: &mut Working, rounds: usize) {
        for _ in 0..rounds {
            let before = working.value;
            for place in 0..working.plan.paths.len() {
                let kept = working.clone();
                let old = working.plan.paths[place].clone();
                clear(working, place);
                self.fill(working, place, &old, None);
                working.value = self.value(working);
                if working.value < kept.value {
                    *working = kept;
                }
            }
            if working.value <= before + 1e-9 * before.abs() {
                break;
            }
        }
    }

    /// So many tries at a better plan from a seed; the best plan met is returned.
    pub(super) fn improve(&self, start: &Working, tries: usize, seed: u64) -> Working {
        let mut random = Random::new(seed);
        let mut best = start.clone();
        let mut now = start.clone();
        let places = now.plan.paths.len();
        for step in 0..tries {
            let kept = now.clone();
            let count = (2 + random.below(4)).min(places);
            let mut torn: Vec<usize> = Vec::with_capacity(count);
            while torn.len() < count {
                let place = random.below(places);
                if !torn.contains(&place) {
                    torn.push(place);
                }
            }
            let old: Vec<Vec<u32>> =
                torn.iter().map(|place| now.plan.paths[*place].clone()).collect();
            for place in &torn {
                clear(&mut now, *place);
            }
            let shaken = random.below(3) > 0;
            for (place, old) in torn.iter().zip(&old) {
                self.fill(&mut now, *place, old, shaken.then_some(&mut random));
            }
            now.value = self.value(&now);
            if shaken && now.value < kept.value {
                // What was shaken is answered once more as it is.
                let place = torn[0];
                let old = now.plan.paths[place].clone();
                clear(&mut now, place);
                self.fill(&mut now, place, &old, None);
                now.value = self.value(&now);
            }
            let left = 1.0 - step as f64 / tries as f64;
            if now.value < kept.value - WARMTH * left * random.share() * kept.value.abs() {
                now = kept;
            }
            if now.value > best.value {
                best = now.clone();
            }
        }
        best
    }
}

fn clear(working: &mut Working, place: usize) {
    let totals = std::mem::take(&mut working.totals[place]);
    add(&mut working.sums, &totals, -1.0);
    working.plan.paths[place].clear();
}

fn put(working: &mut Working, place: usize, path: Vec<u32>, totals: Totals) {
    add(&mut working.sums, &totals, 1.0);
    working.totals[place] = totals;
    working.plan.paths[place] = path;
}

fn add(sums: &mut [f64], totals: &Totals, sign: f64) {
    for (wish, amount) in &totals.amounts {
        sums[*wish as usize] += sign * amount;
    }
}
