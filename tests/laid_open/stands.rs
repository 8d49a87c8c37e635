//! Covers as they stand on a day, and what winter leaves of them.

use std::fmt::Write;

use breakcrop::climate::Climate;
use breakcrop::estimate::Estimate;
use breakcrop::policy::Policy;
use breakcrop::state::stand::{Days, Habit, Stage, sod_gives, stand, washed_out};

use crate::season::site;
use crate::written::{range, short};
use crate::{crop, day, knowledge};

const COVERS: [&str; 12] = [
    "cereal_rye",
    "oat",
    "white_mustard",
    "phacelia",
    "buckwheat",
    "hairy_vetch",
    "crimson_clover",
    "red_clover",
    "alfalfa",
    "cowpea",
    "sorghum_sudangrass",
    "fava_bean",
];

#[test]
fn covers_as_they_stand() {
    let policy = Policy::default();
    let mut text = String::new();
    for (id, row) in knowledge().crops.iter() {
        let Some(habit) = Habit::of(knowledge(), &policy, id) else { continue };
        let gives = [200.0, 700.0].map(|days| range(sod_gives(knowledge(), &policy, id, days)));
        // Where the figure is from is the table's business.
        let habit = Habit { light_use_citation: None, ..habit };
        let _ = writeln!(text, "{}: {}; a sod gives {}", row.key, short(&habit), gives.join(", "));
    }
    for (name, spells) in [
        (
            "coast",
            [
                ("2024-08-20", "2024-11-20"),
                ("2024-09-15", "2025-04-20"),
                ("2025-05-10", "2025-07-15"),
            ],
        ),
        (
            "plain",
            [
                ("2024-08-05", "2024-10-20"),
                ("2024-09-01", "2025-05-25"),
                ("2025-06-01", "2025-08-10"),
            ],
        ),
    ] {
        let garden = site(name);
        let climate = Climate::of(&garden).expect("twelve months");
        for (turn, (sown, ended)) in spells.into_iter().enumerate() {
            let (sown, ended) = (day(sown), day(ended));
            let days = Days::new(&climate, &policy, sown, 400);
            for key in COVERS {
                let Some(habit) = Habit::of(knowledge(), &policy, crop(key)) else { continue };
                let poor = Some(Estimate::new(1.0, 3.0, 8.0));
                // The second spell on a soil that gives little, too.
                for soil in if turn == 1 { vec![None, poor] } else { vec![None] } {
                    let found = stand(knowledge(), &policy, &habit, &days, (sown, ended), soil);
                    let _ = writeln!(text, "{name} {key} {}", short(&found));
                }
                let _ = writeln!(text, "  blooms {}", short(&habit.bloom(&days, &policy, sown)));
            }
        }
        for (killed, next) in [
            ("2024-10-15", "2025-04-20"),
            ("2025-03-01", "2025-05-10"),
            ("2025-05-01", "2025-05-20"),
        ] {
            for surplus in [None, Some(0.0), Some(40.0)] {
                let lost = washed_out(&policy, &climate, (day(killed), day(next)), |_| surplus);
                let _ = writeln!(
                    text,
                    "{name} killed {killed}, next {next}, surplus {surplus:?}: {}",
                    range(lost)
                );
            }
        }
    }
    insta::assert_snapshot!(text);
}

/// Leaves grow by light, and light is a matter of the latitude.
#[test]
fn without_a_latitude_no_stand_is_told() {
    let policy = Policy::default();
    let mut garden = site("coast");
    garden.site = None;
    let climate = Climate::of(&garden).expect("twelve months");
    let days = Days::new(&climate, &policy, day("2024-09-01"), 200);
    assert!(!days.light_is_known());
    let habit = Habit::of(knowledge(), &policy, crop("cereal_rye")).expect("a cover");
    let spell = (day("2024-09-01"), day("2024-12-01"));
    assert!(stand(knowledge(), &policy, &habit, &days, spell, None).is_none());
}

/// However hot it is, buckwheat does not bloom before the least of its printed days, 35; on that day
/// it does.
#[test]
fn a_cover_blooms_on_the_least_of_its_days() {
    let policy = Policy::default();
    let garden = site("low_south");
    let climate = Climate::of(&garden).expect("twelve months");
    let sown = day("2025-06-01");
    let days = Days::new(&climate, &policy, sown, 100);
    let habit = Habit::of(knowledge(), &policy, crop("buckwheat")).expect("a cover");
    let stage = |ended: &str| {
        let found = stand(knowledge(), &policy, &habit, &days, (sown, day(ended)), None);
        found.expect("a latitude").stage
    };
    assert_eq!(stage("2025-07-05"), Stage::Bud, "34 days");
    assert_eq!(stage("2025-07-06"), Stage::Bloom, "35 days");
}
