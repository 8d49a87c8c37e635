//! What a bed's state takes in on which day: what stood before, and where new soil begins.

use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::state::BedState;
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge};

fn garden(plantings: &str, more: &[(&'static str, &str)]) -> Garden {
    let mut files = vec![
        (
            "beds.csv",
            "bed,kind,length_m,width_m,records_from\nb,ground,4,1,2020-01-01\n".to_owned(),
        ),
        ("plantings.csv", format!("bed,section,crop,method,planted,removed\n{plantings}")),
    ];
    files.extend(more.iter().map(|(name, rows)| (*name, (*rows).to_owned())));
    garden_of(knowledge(), files, "beds")
}

fn state<'g>(garden: &'g Garden, policy: &'g Policy, place: &Place, on: &str) -> BedState<'g> {
    BedState::at(garden, knowledge(), policy, place, day(on))
}

fn predecessors(plantings: &str, on: &str) -> Vec<String> {
    let (garden, policy) = (garden(plantings, &[]), Policy::default());
    let state = state(&garden, &policy, &Place::whole("b"), on);
    let key = |crop| knowledge().crops[crop].key.to_string();
    state.predecessors().iter().map(|planting| key(planting.crop)).collect()
}

/// Whatever was cleared within 31 days of the last clearing stood before what comes, latest first.
#[test]
fn what_was_cleared_within_a_month_of_the_last_stood_before() {
    let pea = "b,,pea,sown,2024-03-01,2024-08-01\n";
    let beet = |cleared: &str| format!("b,,beet,sown,2024-05-01,{cleared}\n");
    let both = |cleared: &str, on: &str| predecessors(&format!("{pea}{}", beet(cleared)), on);
    assert_eq!(both("2024-09-01", "2024-10-01"), ["beet", "pea"]);
    assert_eq!(both("2024-09-02", "2024-10-01"), ["beet"]);
    // On the day itself it is gone; a day before it still stands.
    assert_eq!(both("2024-09-02", "2024-09-02"), ["beet"]);
    assert_eq!(both("2024-09-02", "2024-09-01"), ["pea"]);
    let volunteer = format!("{pea}b,,potato,volunteer,2024-05-01,2024-08-20\n");
    assert_eq!(predecessors(&volunteer, "2024-10-01"), ["pea"]);
    assert!(predecessors("", "2024-10-01").is_empty());
    assert!(predecessors(pea, "2024-07-31").is_empty());
}

const SOIL: &str = "bed,section,start,end,practice\nb,,2024-03-10,2024-03-12,soil_replaced\n";

#[test]
fn a_history_begins_with_new_soil() {
    let policy = Policy::default();
    let plantings = "b,,pea,sown,2023-03-01,2023-08-01
b,,kale,sown,2023-09-01,2024-03-10
b,,leek,sown,2023-09-01,2024-03-11
b,,beet,sown,2024-04-01,
";
    let seen = "bed,date,crop,cause,certainty
b,2024-03-09,kale,plasmodiophora_brassicae,laboratory
b,2024-03-10,,verticillium_dahliae,laboratory
b,2024-05-01,beet,healthy,field_check
";
    let treated = format!("{SOIL}b,,2024-03-09,2024-03-09,lime\nb,,2024-03-10,2024-03-10,lime\n");
    let put_on = "bed,date,material,mass_kg\nb,2024-03-09,compost,10\nb,2024-03-10,compost,10\n";
    let more = [
        ("observations.csv", seen),
        ("treatments.csv", treated.as_str()),
        ("amendments.csv", put_on),
    ];
    let garden = garden(plantings, &more);
    let counts = |on: &str| {
        let state = state(&garden, &policy, &Place::whole("b"), on);
        (
            state.plantings.len(),
            state.observations.len(),
            state.treatments.len(),
            state.amendments.len(),
            state.known_from,
            state.new_soil.is_some(),
        )
    };
    // Before it all that was is on record.
    let first = Some(day("2020-01-01"));
    assert_eq!(counts("2024-03-09"), (3, 1, 1, 1, first, false));
    // Then only what stood into it, and what was seen and done from that day on.
    let begins = Some(day("2024-03-10"));
    assert_eq!(counts("2024-03-10"), (1, 1, 2, 1, begins, true));
    assert_eq!(counts("2024-03-31"), (1, 1, 2, 1, begins, true));
    assert_eq!(counts("2024-04-01"), (2, 1, 2, 1, begins, true));
    assert_eq!(counts("2024-05-01"), (2, 2, 2, 1, begins, true));
}

#[test]
fn new_soil_in_a_section_renews_that_section_alone() {
    let policy = Policy::default();
    let plantings =
        "b,left,pea,sown,2023-03-01,2023-08-01\nb,right,beet,sown,2023-03-01,2023-08-01\n";
    let of = |section: &str| {
        let treated = format!(
            "bed,section,start,end,practice\nb,{section},2024-03-10,2024-03-12,soil_replaced\n"
        );
        let garden = garden(plantings, &[("treatments.csv", &treated)]);
        [Place::whole("b"), Place::section("b", "left"), Place::section("b", "right")]
            .map(|place| state(&garden, &policy, &place, "2024-06-01").plantings.len())
    };
    assert_eq!(of("left"), [2, 0, 1]);
    assert_eq!(of(""), [0, 0, 0]);
}

/// The last of several renewals counts.
#[test]
fn the_latest_new_soil_counts() {
    let (policy, plantings) = (Policy::default(), "b,,pea,sown,2024-04-01,2024-07-01\n");
    let twice = format!("{SOIL}b,,2024-09-01,2024-09-01,soil_replaced\n");
    let garden = garden(plantings, &[("treatments.csv", &twice)]);
    let found = state(&garden, &policy, &Place::whole("b"), "2024-10-01");
    assert_eq!((found.plantings.len(), found.known_from), (0, Some(day("2024-09-01"))));
    let before = state(&garden, &policy, &Place::whole("b"), "2024-08-31");
    assert_eq!((before.plantings.len(), before.known_from), (1, Some(day("2024-03-10"))));
}
