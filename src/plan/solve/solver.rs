//! The whole: bound and plan, in stages that stop by count.

use super::bound::{Descent, Relaxed};
use super::instance::{Instance, Succession};
use super::path::PlaceProblem;
use super::prove::{Column, Lists};
use super::search::{Search, Working};
use super::threads::side_by_side;
use super::value::{Plan, neighbour_charges, value_of};

/// How much work is spent. Counts, never seconds: the same counts give the same plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// Most steps of the bound.
    pub steps: usize,
    /// Numbers of labels a slot may keep while the bound is sought.
    pub caps: Vec<usize>,
    /// The same for the last steps, which decide how tight it is.
    pub last_caps: Vec<usize>,
    /// Labels a slot may keep while the search fills a place.
    pub fill_cap: usize,
    /// Rounds of the search; after each its workers compare their plans.
    pub rounds: usize,
    /// Tries of each worker in a round.
    pub tries: usize,
    /// Most sequences a place may have for branching to be tried.
    pub listed: usize,
    /// Most nodes of the branching.
    pub nodes: usize,
    /// Gap at which the search may stop, a share of the value.
    pub enough: f64,
}

impl Default for Effort {
    fn default() -> Self {
        Self {
            steps: 60,
            caps: vec![16, 128],
            last_caps: vec![16, 128, 1024, 4096],
            fill_cap: 16,
            rounds: 12,
            tries: 60,
            listed: 4000,
            nodes: 12_000,
            enough: 1e-4,
        }
    }
}

impl Effort {
    /// Effort for an instance of a size: large ones take longer a try.
    #[must_use]
    pub fn of(instance: &Instance) -> Self {
        let cells = instance.places.len() * usize::from(instance.slots);
        let rounds = match cells {
            0..=400 => 4,
            401..=2000 => 60,
            _ => 40,
        };
        Self { rounds, ..Self::default() }
    }

    /// Effort for a garden: what each try asks of the bed model costs a thousand times what it asks of
    /// the optimiser.
    #[must_use]
    pub fn of_garden(_: &Instance) -> Self {
        Self { rounds: 3, tries: 24, nodes: 2_000, listed: 600, enough: 1e-3, ..Self::default() }
    }

    /// For small instances that are to be solved to the end.
    #[must_use]
    pub fn thorough() -> Self {
        Self {
            enough: 1e-9,
            last_caps: vec![16, 128, 1024, 8192],
            nodes: 100_000,
            ..Self::default()
        }
    }
}

/// Workers of the search. A part of what the seed means: another number gives another plan.
const WORKERS: u64 = 2;

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Seeking a low bound.
    Bound,
    /// Seeking better plans.
    Search,
}

/// How far it has come.
#[derive(Clone, Copy, Debug)]
pub struct Progress {
    /// The stage.
    pub stage: Stage,
    /// Share of the work done, 0 to 1.
    pub done: f64,
    /// Value of the best plan.
    pub value: f64,
    /// The bound.
    pub bound: f64,
}

/// A plan with the proof of how good it is.
#[derive(Clone, Debug, Default)]
pub struct Solved {
    /// The plan.
    pub plan: Plan,
    /// Its value.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// The seed it came from.
    pub seed: u64,
    /// Price of one more unit of each wish where the bound is lowest.
    pub prices: Vec<f64>,
}

impl Solved {
    /// How far the plan may be from the best, as a share of its value.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.value > 0.0 { ((self.bound - self.value) / self.value).max(0.0) } else { 0.0 }
    }
}

/// Solves an instance; `None` if the fixed choices contradict each other.
#[must_use]
pub fn solve(
    instance: &Instance,
    succession: &dyn Succession,
    effort: &Effort,
    seed: u64,
    told: &dyn Fn(Progress),
) -> Option<Solved> {
    let problems: Vec<PlaceProblem> =
        side_by_side(instance.places.len(), |place| PlaceProblem::new(instance, succession, place));
    let search = Search { instance, succession, problems: &problems, cap: effort.fill_cap };
    let mut found = first_plan(&search);
    let mut descent = Descent::new(instance);
    for step in 0..effort.steps {
        let relaxed = descent.step(instance, &problems, &effort.caps);
        let value = |found: &Option<Working>| found.as_ref().map_or(0.0, |found| found.value);
        if let Some(met) = plan_of(&search, &relaxed)
            && (found.is_none() || met.value > value(&found))
        {
            found = Some(met);
        }
        told(Progress {
            stage: Stage::Bound,
            done: step as f64 / effort.steps as f64,
            value: value(&found),
            bound: descent.bound,
        });
        let is_near = found
            .as_ref()
            .is_some_and(|found| descent.bound <= found.value * (1.0 + effort.enough));
        if descent.is_at_rest() || is_near {
            break;
        }
    }
    let mut best = found?;
    descent.tighten(instance, &problems, &effort.last_caps);
    let bound = descent.bound;
    search.settle(&mut best, 6);
    for round in 0..effort.rounds {
        if bound <= best.value * (1.0 + effort.enough) {
            break;
        }
        let round_seed = |worker: u64| {
            seed.wrapping_mul(1_000_003).wrapping_add(round as u64 * WORKERS + worker)
        };
        let met = side_by_side(2, |worker| {
            search.improve(&best, effort.tries, round_seed(worker as u64))
        });
        for mut plan in met {
            search.settle(&mut plan, 2);
            if plan.value > best.value {
                best = plan;
            }
        }
        told(Progress {
            stage: Stage::Search,
            done: (round + 1) as f64 / effort.rounds as f64,
            value: best.value,
            bound,
        });
    }
    let bound = match prove(&search, &descent, &mut best, effort) {
        Some(proven) => bound.min(proven),
        None => bound,
    };
    let value = value_of(instance, succession, &best.plan)?;
    // A plan that is proven best may pass its bound by what rounding leaves of some hundred sums.
    let bound = if value - bound <= 1e-9 * value.abs() { bound.max(value) } else { bound };
    Some(Solved { plan: best.plan, value, bound, seed, prices: descent.best.prices })
}

/// Branches over all sequences that could still be part of a better plan, if they are few; the bound
/// that leaves. A better plan met on the way is kept.
fn prove(
    search: &Search<'_>,
    descent: &Descent,
    best: &mut Working,
    effort: &Effort,
) -> Option<f64> {
    let gap = descent.best.bound - best.value;
    if effort.nodes == 0 || gap <= effort.enough * best.value.abs() {
        return None;
    }
    let prices = &descent.best.prices;
    let columns = side_by_side(search.problems.len(), |place| {
        let worths = PlaceProblem::worths(search.instance, place, prices);
        let least = descent.best.paths[place].at_most - gap - 1e-9 * gap.abs().max(1.0);
        let paths = search.problems[place].all_worth(&worths, least, effort.listed)?;
        let kept = paths.into_iter().filter_map(|path| {
            let totals = search.totals(place, &path)?;
            let column = Column::new(path, &totals);
            (column.priced(prices) >= least).then_some(column)
        });
        Some(kept.collect::<Vec<_>>())
    });
    let columns = columns.into_iter().collect::<Option<Vec<_>>>()?;
    // A place without a sequence that a better plan could hold: there is no better plan.
    if columns.iter().any(Vec::is_empty) {
        return Some(best.value);
    }
    let plan_of = |taken: &[u32]| Plan {
        paths: columns
            .iter()
            .zip(taken)
            .map(|(columns, at)| columns[*at as usize].path.clone())
            .collect(),
    };
    let charge = |taken: &[u32]| {
        if search.instance.neighbours.is_empty() {
            return 0.0;
        }
        neighbour_charges(search.instance, &plan_of(taken))
    };
    let lists = Lists {
        instance: search.instance,
        columns: &columns,
        charge: &charge,
        enough: effort.enough,
    };
    let proved = lists.search(prices, best.value, effort.nodes);
    if let Some(better) = proved.best.and_then(|taken| search.take(plan_of(&taken)))
        && better.value > best.value
    {
        *best = better;
    }
    Some(proved.bound)
}

/// The fixed choices alone.
fn first_plan(search: &Search<'_>) -> Option<Working> {
    let paths = search
        .instance
        .places
        .iter()
        .map(|place| {
            let fixed = (0..).zip(&place.choices).filter(|(_, choice)| choice.fixed);
            let mut fixed: Vec<(u8, u32)> = fixed.map(|(at, choice)| (choice.start, at)).collect();
            fixed.sort_unstable();
            fixed.into_iter().map(|(_, at)| at).collect()
        })
        .collect();
    search.take(Plan { paths })
}

/// The plan that the sequences of a relaxation make.
fn plan_of(search: &Search<'_>, relaxed: &Relaxed) -> Option<Working> {
    let paths = relaxed.paths.iter().map(|path| path.choices.clone()).collect();
    search.take(Plan { paths })
}
