//! Gardens of the small size, made by a seed, are planned within a thousandth of their bound. The larger
//! sizes, with their times, are a benchmark: `cargo bench --bench plan_sizes`.

#[path = "support/plan_instances.rs"]
mod plan_instances;

use breakcrop::knowledge::Knowledge;
use breakcrop::plan::solve::{Effort, Plain, solve};
use plan_instances::{SMALL, generate};

#[test]
fn small_ones_are_planned_within_their_bound() {
    let knowledge = Knowledge::embedded();
    for seed in 1..=5 {
        let instance = generate(&knowledge, SMALL, seed);
        let solved = solve(&instance, &Plain, &Effort::of(&instance), 1, &|_| {}).expect("a plan");
        assert!(solved.gap() <= 1e-3 + 1e-9, "seed {seed}: {}", solved.gap());
    }
}
