//! What one judgment costs, on the bed of the demo garden with the most records, every crop
//! proposed in turn: the judgment alone, the state it needs, and the ranking of all crops.
//!
//! `cargo bench --bench assess`; the goal is 50 microseconds a judgment.

use std::hint::black_box;
use std::path::Path;

use breakcrop::advise::follow;
use breakcrop::assess::{Proposal, assess};
use breakcrop::import::{Options, import, read_folder};
use breakcrop::knowledge::{CropId, Knowledge};
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::season::{Date, iso_day};
use breakcrop::state::BedState;
use breakcrop::store::Store;
use criterion::{Criterion, criterion_group, criterion_main};

fn demo(knowledge: &Knowledge, today: Date) -> Garden {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/gardens/gullcombe_terrace");
    let (files, _) = read_folder(&folder).expect("the garden reads");
    let mut store = Store::in_memory().expect("a store");
    let options = Options { today, dry_run: false, withdraw: false };
    import(&mut store, knowledge, &files, "demo", options).expect("imports");
    store.garden(knowledge).expect("the garden reads")
}

/// The bed with the most plantings and observations.
fn largest(garden: &Garden) -> Place {
    let records = |name: &str| {
        let plantings = garden.plantings.iter().filter(|one| &*one.place.bed == name).count();
        let seen = garden.observations.iter().filter(|one| &*one.place.bed == name).count();
        plantings + seen
    };
    let bed = garden.beds.iter().max_by_key(|bed| records(&bed.name)).expect("beds");
    Place::whole(&bed.name)
}

fn judgment(criterion: &mut Criterion) {
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let today = iso_day("2026-10-12").expect("a day");
    let garden = demo(&knowledge, today);
    let crops: Vec<CropId> = knowledge.crops.iter().map(|(id, _)| id).collect();
    for (label, place) in
        [("the most records", largest(&garden)), ("an unknown disease", Place::whole("L1"))]
    {
        let state = BedState::at(&garden, &knowledge, &policy, &place, today);
        let mut group = criterion.benchmark_group(format!("{place}, {label}"));
        let mut next = crops.iter().copied().cycle();
        group.bench_function("assess", |bencher| {
            bencher.iter_batched(
                || Proposal::of(next.next().expect("crops"), today),
                |proposal| black_box(assess(&knowledge, &policy, &state, &proposal)),
                criterion::BatchSize::SmallInput,
            );
        });
        group.bench_function("state", |bencher| {
            bencher.iter(|| {
                black_box(BedState::at(&garden, &knowledge, &policy, black_box(&place), today))
            });
        });
        group.sample_size(20).bench_function("follow", |bencher| {
            bencher
                .iter(|| black_box(follow(&knowledge, &policy, &garden, black_box(&place), today)));
        });
        group.finish();
    }
}

criterion_group!(benches, judgment);
criterion_main!(benches);
