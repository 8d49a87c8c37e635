//! Judgments of the gardens' beds: each reason with its figures and what it rests on.

use std::fmt::Write;

use breakcrop::assess::{Proposal, assess, changes};
use breakcrop::policy::Policy;
use breakcrop::state::BedState;

use crate::doses::{garden, places};
use crate::written::{judgment, short};
use crate::{crop, day, knowledge};

const CROPS: [&str; 8] =
    ["tomato", "cabbage", "lettuce", "onion", "strawberry", "potato", "pea", "cereal_rye"];

/// Each bed asked of some crops in turn, so that each crop meets other beds.
#[test]
fn beds_of_the_gardens() {
    let policy = Policy::default();
    let mut text = String::new();
    let mut turn = 0;
    for (name, days) in [
        ("gullcombe_terrace", ["2026-10-12", "2024-04-20"]),
        ("kestrel_hollow", ["2026-10-12", "2025-03-01"]),
        ("larchwater", ["2027-05-20", "2025-08-10"]),
    ] {
        let garden = garden(name);
        for place in places(&garden) {
            for on in days.map(day) {
                let state = BedState::at(&garden, knowledge(), &policy, &place, on);
                turn += 1;
                let key = CROPS[turn % CROPS.len()];
                let judged = assess(knowledge(), &policy, &state, &Proposal::of(crop(key), on));
                let laid = judgment(&judged, |_| turn % 5 == 0);
                let _ = write!(text, "{name} {place} {on} {key}: {laid}");
                if turn % 3 == 0 {
                    for change in changes(knowledge(), &policy, &garden, &place, &judged) {
                        let _ = writeln!(text, "  change {}", short(&change));
                    }
                }
            }
        }
    }
    insta::assert_snapshot!(text);
}
