//! The planner's optimiser against full enumeration, and the laws of its bound.

#[path = "support/plan_instances.rs"]
mod plan_instances;

use breakcrop::plan::solve::{
    Effort, Instance, Plan, Solved, Succession, feasible_path, solve, value_of,
};
use plan_instances::tiny;

fn solved(instance: &Instance, succession: &dyn Succession) -> Option<Solved> {
    solve(instance, succession, &Effort::thorough(), 7, &|_| {})
}

/// Every sequence of a place that keeps its rules.
fn sequences(instance: &Instance, succession: &dyn Succession, place: usize) -> Vec<Vec<u32>> {
    let choices = &instance.places[place].choices;
    let mut all = Vec::new();
    let mut open: Vec<Vec<u32>> = vec![Vec::new()];
    while let Some(sequence) = open.pop() {
        let free = sequence.last().map_or(0, |last| choices[*last as usize].end);
        for (at, choice) in (0..).zip(choices) {
            if choice.start >= free {
                let mut longer = sequence.clone();
                longer.push(at);
                open.push(longer);
            }
        }
        let kept = feasible_path(instance, place, &sequence);
        if kept && succession.exact(place, &sequence).is_some() {
            all.push(sequence);
        }
    }
    all
}

/// The best plan of all, by looking at each.
fn enumerated(instance: &Instance, succession: &dyn Succession) -> Option<f64> {
    let all: Vec<Vec<Vec<u32>>> =
        (0..instance.places.len()).map(|place| sequences(instance, succession, place)).collect();
    let mut best = None;
    let mut at = vec![0; all.len()];
    if all.iter().any(Vec::is_empty) {
        return None;
    }
    loop {
        let paths = all.iter().zip(&at).map(|(all, at)| all[*at].clone()).collect();
        let value = value_of(instance, succession, &Plan { paths });
        best = match (best, value) {
            (Some(best), Some(value)) => Some(f64::max(best, value)),
            (best, value) => best.or(value),
        };
        let Some(place) = (0..at.len()).find(|place| at[*place] + 1 < all[*place].len()) else {
            return best;
        };
        at[place] += 1;
        for earlier in &mut at[..place] {
            *earlier = 0;
        }
    }
}

#[test]
fn two_hundred_tiny_gardens_reach_the_enumerated_best() {
    let mut possible = 0;
    for seed in 0..200 {
        let (instance, pairs) = tiny(seed);
        let best = enumerated(&instance, &pairs);
        let found = solved(&instance, &pairs);
        match (best, found) {
            (Some(best), Some(found)) => {
                possible += 1;
                assert!(found.bound >= best - 1e-9, "seed {seed}: {} < {best}", found.bound);
                assert!(
                    (found.value - best).abs() < 1e-9,
                    "seed {seed}: {} instead of {best}",
                    found.value
                );
            }
            (None, None) => {}
            (best, found) => panic!("seed {seed}: {best:?} {found:?}"),
        }
    }
    assert!(possible > 150, "{possible} possible instances");
}
