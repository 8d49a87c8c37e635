//! The whole: bound and plan, in stages that stop by count.

use super::bound::{Descent, Relaxation, Relaxed};
use super::dive::dive;
use super::instance::{Instance, Succession};
use super::listed::prove;
use super::path::PlaceProblem;
use super::random::Random;
use super::search::{Search, Working};
use super::served::Served;
use super::threads::side_by_side;
use super::value::{Plan, value_of};

/// How much work is spent. Counts, never seconds: the same counts give the same plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// Most steps of the bound.
    pub steps: usize,
    /// Most rounds in which ceilings are sought.
    pub cuts: usize,
    /// Numbers of labels a slot may keep while the bound is sought.
    pub caps: Vec<usize>,
    /// The same for the last steps, which decide how tight it is.
    pub last_caps: Vec<usize>,
    /// Labels a slot may keep while the search fills a place.
    pub fill_cap: usize,
    /// Plans sought by deciding one place after another.
    pub dives: usize,
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
            steps: 100,
            cuts: 50,
            caps: vec![16, 128],
            last_caps: vec![16, 128, 1024, 4096],
            fill_cap: 16,
            dives: 4,
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
        let (dives, rounds) = match cells {
            0..=400 => (4, 4),
            401..=2000 => (6, 8),
            _ => (1, 2),
        };
        // The master of a large one grows slow with its ceilings.
        let (steps, cuts) = if cells > 2000 { (50, 2) } else { (100, 50) };
        Self { steps, cuts, dives, rounds, ..Self::default() }
    }

    /// Effort for a garden: what each try asks of the bed model costs a thousand times what it asks of
    /// the optimiser.
    #[must_use]
    pub fn of_garden(_: &Instance) -> Self {
        Self {
            rounds: 3,
            dives: 1,
            tries: 24,
            nodes: 2_000,
            listed: 600,
            enough: 1e-3,
            ..Self::default()
        }
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

/// How far dives after the first may stray from the shares.
const NOISE: f64 = 0.3;
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
    let served = Served::new(instance, &problems);
    let relaxation = Relaxation { instance, problems: &problems, served: &served };
    let work = Work { search, relaxation, effort, seed, told };
    let (descent, mut best) = work.bound()?;
    search.settle(&mut best, 6);
    work.dives(&descent, &mut best);
    work.rounds(descent.bound, &mut best);
    let bound = match prove(&search, &relaxation, &descent, &mut best, effort) {
        Some(proven) => descent.bound.min(proven),
        None => descent.bound,
    };
    let value = value_of(instance, succession, &best.plan)?;
    // A plan that is proven best may pass its bound by what rounding leaves of some hundred sums.
    let bound = if value - bound <= 1e-9 * value.abs() { bound.max(value) } else { bound };
    Some(Solved { plan: best.plan, value, bound, seed })
}

/// What the stages share.
struct Work<'a> {
    search: Search<'a>,
    relaxation: Relaxation<'a>,
    effort: &'a Effort,
    seed: u64,
    told: &'a dyn Fn(Progress),
}

impl Work<'_> {
    fn is_enough(&self, bound: f64, value: f64) -> bool {
        bound <= value * (1.0 + self.effort.enough)
    }

    /// Lowers the bound; the sequences met on the way make a first plan.
    fn bound(&self) -> Option<(Descent, Working)> {
        let mut found = first_plan(&self.search);
        let mut descent = Descent::new(&self.relaxation);
        for step in 0..self.effort.steps {
            let relaxed = descent.step(&self.relaxation, &self.effort.caps, self.effort.cuts);
            let value = found.as_ref().map(|found| found.value);
            if let Some(met) = plan_of(&self.search, &relaxed)
                && value.is_none_or(|value| met.value > value)
            {
                found = Some(met);
            }
            (self.told)(Progress {
                stage: Stage::Bound,
                done: step as f64 / self.effort.steps as f64,
                value: found.as_ref().map_or(0.0, |found| found.value),
                bound: descent.bound,
            });
            let is_near =
                found.as_ref().is_some_and(|found| self.is_enough(descent.bound, found.value));
            if descent.is_at_rest() || is_near {
                break;
            }
        }
        let found = found?;
        descent.tighten(&self.relaxation, &self.effort.last_caps);
        Some((descent, found))
    }

    /// Plans by deciding one place after another, from where the bound is lowest.
    fn dives(&self, descent: &Descent, best: &mut Working) {
        if self.effort.dives == 0 || self.is_enough(descent.bound, best.value) {
            return;
        }
        let lean = descent.lean(&self.relaxation);
        let mut random = Random::new(self.seed);
        for turn in 0..self.effort.dives {
            let noise = if turn == 0 { 0.0 } else { NOISE };
            let met = dive(&self.relaxation, lean.clone(), &self.effort.caps, noise, &mut random);
            if let Some(mut met) = met.and_then(|plan| self.search.take(plan)) {
                self.search.settle(&mut met, 6);
                if met.value > best.value {
                    *best = met;
                }
            }
            self.tell(turn + 1, best.value, descent.bound);
            if self.is_enough(descent.bound, best.value) {
                return;
            }
        }
    }

    /// Plans by tearing up what there is and filling it again.
    fn rounds(&self, bound: f64, best: &mut Working) {
        for round in 0..self.effort.rounds {
            if self.is_enough(bound, best.value) {
                return;
            }
            let round_seed = |worker: u64| {
                self.seed.wrapping_mul(1_000_003).wrapping_add(round as u64 * WORKERS + worker)
            };
            let (search, tries, start) = (self.search, self.effort.tries, &*best);
            let seeds = [round_seed(0), round_seed(1)];
            let met =
                side_by_side(seeds.len(), |worker| search.improve(start, tries, seeds[worker]));
            for mut plan in met {
                self.search.settle(&mut plan, 2);
                if plan.value > best.value {
                    *best = plan;
                }
            }
            self.tell(self.effort.dives + round + 1, best.value, bound);
        }
    }

    fn tell(&self, done: usize, value: f64, bound: f64) {
        let all = self.effort.dives + self.effort.rounds;
        let done = done as f64 / all as f64;
        (self.told)(Progress { stage: Stage::Search, done, value, bound });
    }
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
