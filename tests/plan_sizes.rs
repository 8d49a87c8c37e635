//! A garden of the small size, made by a seed, is planned within a thousandth of its bound. The larger
//! sizes, with their times, are a benchmark: `cargo bench --bench plan_sizes`.

#[path = "support/plan_instances.rs"]
mod plan_instances;

use breakcrop::knowledge::Knowledge;
use breakcrop::plan::solve::{Effort, Plain, solve};
use plan_instances::{SMALL, generate};

#[test]
fn a_small_one_is_planned_within_its_bound() {
    let knowledge = Knowledge::embedded();
    let instance = generate(&knowledge, SMALL, 2);
    let effort = Effort { enough: 1e-3, ..Effort::of(&instance) };
    let solved = solve(&instance, &Plain, &effort, 1, &|_| {}).expect("a plan");
    assert!(solved.gap() <= 1e-3 + 1e-9, "{}", solved.gap());
}
