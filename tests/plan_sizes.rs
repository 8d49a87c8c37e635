//! Three sizes of garden, made by a seed: how near the plan comes to the proven bound, and how fast.

#[path = "support/plan_instances.rs"]
mod plan_instances;

use std::time::Instant;

use breakcrop::knowledge::Knowledge;
use breakcrop::plan::solve::{Effort, Instance, Plain, Solved, solve, value_of};
use plan_instances::{LARGE, MEDIUM, SMALL, Size, generate};

fn run(knowledge: &Knowledge, size: Size, effort: &Effort, seed: u64) -> (Instance, Solved, f64) {
    let instance = generate(knowledge, size, seed);
    let begun = Instant::now();
    let solved = solve(&instance, &Plain, effort, 1, &|told| {
        if std::env::var_os("TRACE").is_some() {
            eprintln!(
                "{:6.2} {:?} {:.2} {:.4} {:.4}",
                begun.elapsed().as_secs_f64(),
                told.stage,
                told.done,
                told.value,
                told.bound
            );
        }
    })
    .expect("a plan");
    let seconds = begun.elapsed().as_secs_f64();
    let value = value_of(&instance, &Plain, &solved.plan).expect("a plan that keeps the rules");
    assert!((value - solved.value).abs() <= 1e-9 * value);
    println!(
        "{size:?} seed {seed}: {} choices, value {:.3}, bound {:.3}, gap {:.3} %, {seconds:.2} s",
        instance.places.iter().map(|place| place.choices.len()).sum::<usize>(),
        solved.value,
        solved.bound,
        100.0 * solved.gap()
    );
    (instance, solved, seconds)
}

#[test]
#[ignore = "a figure for release builds: cargo test --release --test plan_sizes -- --ignored --nocapture"]
fn small_medium_and_large() {
    let knowledge = Knowledge::embedded();
    let only = std::env::var("SIZE").ok();
    for (name, size, seeds) in [("small", SMALL, 4), ("medium", MEDIUM, 2), ("large", LARGE, 1)] {
        if only.as_deref().is_some_and(|only| only != name) {
            continue;
        }
        for seed in 1..=seeds {
            run(&knowledge, size, &Effort::of(&generate(&knowledge, size, seed)), seed);
        }
    }
}
