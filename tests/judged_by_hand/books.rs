//! What a vegetable takes and leaves in the nutrient books.

use breakcrop::estimate::Estimate;
use breakcrop::origin::Origin;
use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::state::ledger;
use breakcrop::state::nutrients::{Flow, Nutrient, SoilTestCheck};

use crate::support::garden_of;
use crate::{day, knowledge, near};

/// Nitrogen that peas took in their life, from the soil and the air, g/m2: by the mass harvested of
/// ten square metres.
fn taken_by_peas(mass_kg: f64) -> f64 {
    let files = [
        (
            "beds.csv",
            "bed,kind,length_m,width_m,records_from\nb,ground,10,1,2022-01-01\n".to_owned(),
        ),
        (
            "plantings.csv",
            "bed,crop,planted,removed,residue\nb,pea,2024-03-01,2024-06-15,dug_in\n".to_owned(),
        ),
        ("harvests.csv", format!("bed,date,crop,mass_kg\nb,2024-06-14,pea,{mass_kg}\n")),
    ];
    let garden = garden_of(knowledge(), files, "peas");
    let place = Place::whole("b");
    let books = ledger(&garden, knowledge(), &Policy::default(), &place, day("2024-06-16"));
    let flows = [Flow::TakenUp, Flow::Fixed, Flow::Unexplained];
    books
        .months
        .iter()
        .flat_map(|month| flows.map(|flow| month.account(Nutrient::Nitrogen).moved(flow).likely))
        .sum()
}

/// Peas and their straw grow together: half the harvest comes of half the plant.
#[test]
fn half_the_harvest_comes_of_half_the_plant() {
    let (half, whole) = (taken_by_peas(2.0), taken_by_peas(4.0));
    assert!(half > 0.5, "{half}");
    near(half * 2.0, whole, "twice the half");
}

/// Phosphorus that all plantings of a bed, or of a part of it, took in their lives, g/m2. Each stood
/// its whole time, so that the day it was set does not matter.
fn phosphorus_taken(plantings: &str, place: &Place) -> f64 {
    let beds = "bed,kind,length_m,width_m,records_from\nb,ground,10,1,2022-01-01\n";
    let header = "bed,section,crop,planted,removed,area_m2,residue\n";
    let files = [("beds.csv", beds.to_owned()), ("plantings.csv", format!("{header}{plantings}"))];
    let garden = garden_of(knowledge(), files, "shares");
    let books = ledger(&garden, knowledge(), &Policy::default(), place, day("2025-12-31"));
    let flows = [Flow::TakenUp, Flow::Unexplained];
    books
        .months
        .iter()
        .flat_map(|month| flows.map(|flow| month.account(Nutrient::Phosphorus).moved(flow).likely))
        .sum()
}

#[test]
fn what_was_set_together_shares_the_ground() {
    let bed = Place::whole("b");
    let lettuce = "b,,lettuce,2024-05-01,2024-07-20,,removed\n";
    let alone = phosphorus_taken(lettuce, &bed);
    assert!(alone > 0.1, "{alone}");
    let beet = |planted: &str| format!("b,,beet,{planted},2024-09-01,,removed\n");
    let of_beet = phosphorus_taken(&beet("2024-05-22"), &bed);
    let both = |planted: &str| phosphorus_taken(&format!("{lettuce}{}", beet(planted)), &bed);
    // Within three weeks they are one mixture; later the second stands between the first.
    near(both("2024-05-22"), f64::midpoint(alone, of_beet), "21 days apart");
    near(both("2024-05-23"), alone + of_beet, "22 days apart");
    // One after the other each had the whole bed.
    let early = "b,,radish,2024-04-12,2024-05-01,,removed\n";
    let of_early = phosphorus_taken(early, &bed);
    let in_turn = phosphorus_taken(&format!("{early}{lettuce}"), &bed);
    near(in_turn, of_early + alone, "cleared on the day the next was set");
    // A volunteer takes nothing that anyone measured, and no share of the ground.
    let weed = "bed,section,crop,method,planted,removed,residue\nb,,potato,volunteer,2024-05-01,2024-07-01,\nb,,lettuce,transplanted,2024-05-01,2024-07-20,removed\n";
    let beds = "bed,kind,length_m,width_m,records_from\nb,ground,10,1,2022-01-01\n";
    let garden = garden_of(knowledge(), [("beds.csv", beds), ("plantings.csv", weed)], "volunteer");
    let books = ledger(&garden, knowledge(), &Policy::default(), &bed, day("2025-12-31"));
    let taken = |flow| -> f64 {
        let months = books.months.iter();
        months.map(|month| month.account(Nutrient::Phosphorus).moved(flow).likely).sum()
    };
    near(taken(Flow::TakenUp) + taken(Flow::Unexplained), alone, "beside a volunteer");
}

#[test]
fn a_planting_takes_as_much_as_its_ground() {
    let (bed, left) = (Place::whole("b"), Place::section("b", "left"));
    // The other half of the bed grew something in another year.
    let halves = "b,left,lettuce,2024-05-01,2024-07-20,,removed\nb,right,radish,2022-04-12,2022-05-01,,removed\n";
    let radish = phosphorus_taken("b,,radish,2022-04-12,2022-05-01,,removed\n", &bed);
    let whole = phosphorus_taken("b,,lettuce,2024-05-01,2024-07-20,,removed\n", &bed);
    near(phosphorus_taken(halves, &bed), f64::midpoint(whole, radish), "halves of a bed");
    near(phosphorus_taken(halves, &left), whole, "a section by itself");
    let (two, all) = (
        phosphorus_taken("b,,lettuce,2024-05-01,2024-07-20,2,removed\n", &bed),
        phosphorus_taken("b,,lettuce,2024-05-01,2024-07-20,20,removed\n", &bed),
    );
    near(two, whole / 5.0, "two of ten square metres");
    near(all, whole, "no more than the bed");
    // Nobody prints what a harvest of cress takes: its class as a feeder stands for it.
    let cress = |area: &str| {
        phosphorus_taken(&format!("b,,garden_cress,2024-05-01,2024-07-20,{area},removed\n"), &bed)
    };
    near(cress("2"), cress("") / 5.0, "two of ten square metres of cress");
}

/// A test above the books misses them upwards, one below downwards, by the gap between the ranges.
#[test]
fn a_test_misses_the_books_by_the_gap_between_them() {
    let check = |low: f64, high: f64, comparable: bool| SoilTestCheck {
        origin: Origin::new("soil_tests.csv", 2),
        date: day("2025-03-01"),
        nutrient: Nutrient::Phosphorus,
        booked: Estimate::new(2.0, 3.0, 4.0),
        tested: Estimate::new(low, f64::midpoint(low, high), high),
        comparable,
    };
    for (low, high, misses) in
        [(5.0, 7.0, 1.0), (4.0, 7.0, 0.0), (3.5, 7.0, 0.0), (0.5, 2.0, 0.0), (0.5, 1.5, -0.5)]
    {
        near(check(low, high, true).misses_by(), misses, &format!("{low} to {high}"));
        assert_eq!(check(low, high, true).contradicts(), misses.abs() > 0.0, "{low} to {high}");
        assert!(!check(low, high, false).contradicts(), "without a footing");
    }
}

/// A test's parts per million over the soil that it stands for: 36 ppm of 240 kg/m2 are 8.64 g/m2.
#[test]
fn parts_per_million_are_grams_of_the_tested_soil() {
    let files = [
        ("beds.csv", "bed,kind,length_m,width_m\nb,ground,10,1\n"),
        ("soil_tests.csv", "bed,date,p_ppm,p_method\nb,2025-03-01,36,olsen\n"),
    ];
    let garden = garden_of(knowledge(), files, "ppm");
    let policy = Policy::default();
    let books = ledger(&garden, knowledge(), &policy, &Place::whole("b"), day("2025-03-01"));
    near(policy.tested_soil_kg_m2.likely, 240.0, "the soil");
    near(books.checks[0].tested.likely, 8.64, "grams");
}
