//! What a vegetable takes and leaves in the nutrient books.

use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::state::ledger;
use breakcrop::state::nutrients::{Flow, Nutrient};

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
