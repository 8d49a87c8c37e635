//! Three sizes of garden, made by a seed: how near the plan comes to the proven bound, and how fast.
//!
//! `cargo bench --bench plan_sizes` prints value, bound, gap and time of each; on Linux the processor
//! time too, which other work on the machine does not lengthen.
//! `BREAKCROP_PLAN_EXPORT=FOLDER` writes the linear part of each instance there, for
//! `tests/plan_against_highs.py`.

#[path = "../support/plan_instances.rs"]
mod plan_instances;

use std::time::Instant;

use breakcrop::knowledge::Knowledge;
use breakcrop::plan::solve::{Effort, Plain, export_lp, solve, value_of};
use plan_instances::{LARGE, MEDIUM, SMALL, Size, generate};

/// Seconds of processor time so far, of all threads; `None` where the system does not tell in this way.
#[expect(clippy::disallowed_methods, reason = "figures of a benchmark")]
fn processor_seconds() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/self/stat").ok()?;
    let fields: Vec<&str> = text.rsplit(')').next()?.split_whitespace().collect();
    let ticks = |at: usize| -> Option<f64> { fields.get(at)?.parse().ok() };
    Some((ticks(11)? + ticks(12)?) / 100.0)
}

/// Plans an instance and prints how it went.
#[expect(clippy::print_stdout, clippy::disallowed_methods, reason = "figures of a benchmark")]
fn run(knowledge: &Knowledge, name: &str, size: Size, seed: u64) {
    let instance = generate(knowledge, size, seed);
    let (begun, worked) = (Instant::now(), processor_seconds());
    let solved = solve(&instance, &Plain, &Effort::of(&instance), 1, &|_| {}).expect("a plan");
    let seconds = begun.elapsed().as_secs_f64();
    let processor = worked
        .and_then(|before| Some(format!(", {:.2} s of processor", processor_seconds()? - before)))
        .unwrap_or_default();
    let value = value_of(&instance, &Plain, &solved.plan).expect("a plan that keeps the rules");
    assert!((value - solved.value).abs() <= 1e-9 * value);
    assert!(solved.bound >= value - 1e-9 * value);
    println!(
        "{name} {seed}: {} choices, value {:.4}, bound {:.4}, gap {:.3} %, {seconds:.2} s{processor}",
        instance.places.iter().map(|place| place.choices.len()).sum::<usize>(),
        solved.value,
        solved.bound,
        100.0 * solved.gap()
    );
    if let Some(folder) = std::env::var_os("BREAKCROP_PLAN_EXPORT") {
        let file = std::path::Path::new(&folder).join(format!("{name}{seed}.lp"));
        let head = format!(
            "\\ value {:.6} bound {:.6} seconds {seconds:.2}\n",
            solved.value, solved.bound
        );
        std::fs::write(file, head + &export_lp(&instance)).expect("the folder takes files");
    }
}

fn main() {
    let knowledge = Knowledge::embedded();
    for (name, size, seeds) in [("small", SMALL, 5), ("medium", MEDIUM, 3), ("large", LARGE, 2)] {
        for seed in 1..=seeds {
            run(&knowledge, name, size, seed);
        }
    }
}
