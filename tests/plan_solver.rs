//! The planner's optimiser against full enumeration, and the laws of its bound.
#![expect(clippy::disallowed_methods, reason = "the test reads fixture files")]

#[path = "support/plan_instances.rs"]
mod plan_instances;

use breakcrop::plan::solve::lp::{AreaRow, areas};
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

#[test]
fn the_bound_is_never_below_the_value_and_more_room_never_costs() {
    for seed in 1000..1060 {
        let (instance, pairs) = tiny(seed);
        let Some(tight) = solved(&instance, &pairs) else { continue };
        assert!(tight.bound >= tight.value - 1e-9, "seed {seed}");
        let slack = tight.gap() * tight.value + 1e-9;
        // One place more: the pairs know it by the choices of the last.
        let mut more = instance.clone();
        let last = instance.places.len() - 1;
        more.places.push(instance.places[last].clone());
        for choice in &mut more.places[last + 1].choices {
            choice.fixed = false;
        }
        let pairs_of_more = pairs.with_last_place_again();
        let wider = solved(&more, &pairs_of_more).expect("what was possible stays so");
        assert!(wider.value >= tight.value - slack, "seed {seed}: a place more");
        // Relatives may follow each other at once.
        let mut free = instance.clone();
        for choice in free.places.iter_mut().flat_map(|place| &mut place.choices) {
            choice.free_slots = 0;
        }
        let loose = solved(&free, &pairs).expect("what was possible stays so");
        assert!(loose.value >= tight.value - slack, "seed {seed}: return times lifted");
        // Nothing decided beforehand.
        let mut open = instance.clone();
        for choice in open.places.iter_mut().flat_map(|place| &mut place.choices) {
            choice.fixed = false;
        }
        let open = solved(&open, &pairs).expect("what was possible stays so");
        assert!(open.value >= tight.value - slack, "seed {seed}: nothing kept");
    }
}

#[test]
fn the_same_seed_gives_the_same_plan() {
    let knowledge = breakcrop::knowledge::Knowledge::embedded();
    let instance = plan_instances::generate(&knowledge, plan_instances::SMALL, 9);
    let effort = Effort { nodes: 50, ..Effort::of(&instance) };
    let solve_once = || solve(&instance, &breakcrop::plan::solve::Plain, &effort, 3, &|_| {});
    let (one, other) = (solve_once().expect("a plan"), solve_once().expect("a plan"));
    assert_eq!(one.plan, other.plan);
    assert!((one.value - other.value).abs() < 1e-12);
    assert!(one.bound >= one.value - 1e-9);
}

/// Hazell 1971, four vegetables under land, labour and a rotation row: the published areas, and the
/// optimum of the rounded coefficients.
#[test]
fn hazells_four_crops_get_their_published_areas() {
    let text = std::fs::read(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("fixtures/published/planning_instances.csv"),
    )
    .expect("the published instances");
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(&text[..]);
    let rows: Vec<csv::StringRecord> = reader
        .records()
        .map(|row| row.expect("a row"))
        .filter(|row| &row[0] == "hazell_1971")
        .collect();
    let figure = |item: &str, attribute: &str| -> f64 {
        let row = rows.iter().find(|row| &row[1] == item && row[2].starts_with(attribute));
        row.unwrap_or_else(|| panic!("{item} {attribute}"))[3].parse().expect("a number")
    };
    let crops = ["carrot", "celery", "cucumber", "pepper"];
    let worths: Vec<f64> = crops.iter().map(|crop| figure(crop, "objective coefficient")).collect();
    let row = |attribute: &str, item: &str| AreaRow {
        coefficients: crops.iter().map(|crop| figure(crop, attribute)).collect(),
        most: figure(item, "right-hand side"),
    };
    let land = AreaRow { coefficients: vec![1.0; 4], most: figure("land", "right-hand side") };
    let rules =
        [land, row("labour need", "labour"), row("coefficient in rotation row", "rotation")];
    let found = areas(&worths, &rules).expect("a plan");
    for (crop, area) in crops.iter().zip(&found) {
        let published = figure(crop, "published optimum area");
        println!("{crop}: {area:.5} acres, published {published}");
        assert!((area - published).abs() < 1e-4, "{crop}: {area} instead of {published}");
    }
    let value: f64 = worths.iter().zip(&found).map(|(worth, area)| worth * area).sum();
    assert!((value - figure("objective", "optimum")).abs() < 0.01, "{value}");
}
