//! Raw manure and the harvest: 120 days where the edible part touches the soil, 90 where it does not
//! (7 CFR 205.203), counted to the first harvest.

use breakcrop::assess::{Claim, Effect, Proposal, Reason, assess};
use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::season::{Date, add_days};
use breakcrop::state::BedState;
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge};

/// What the manure put on by these rows says of a crop set on a day.
fn asked(rows: &str, crop: &str, on: Date, harvest: Option<Date>) -> Option<Reason> {
    let files = [
        ("beds.csv", "bed,kind,length_m,width_m\nb,ground,4,1\n".to_owned()),
        ("amendments.csv", format!("bed,date,material,mass_kg\n{rows}")),
    ];
    let garden = garden_of(knowledge(), files, "manure");
    let policy = Policy::default();
    let state = BedState::at(&garden, knowledge(), &policy, &Place::whole("b"), on);
    let crop = knowledge().crops.find(crop).expect("a crop");
    let proposal = Proposal { harvest, ..Proposal::of(crop, on) };
    let judged = assess(knowledge(), &policy, &state, &proposal);
    judged.reasons.into_iter().find(|one| matches!(one.claim, Claim::ManureToHarvest { .. }))
}

/// The days to the harvest and the day from which a start keeps them.
fn waits(rows: &str, crop: &str, on: &str, harvest: &str) -> Option<(Date, i64, Date)> {
    let reason = asked(rows, crop, day(on), Some(day(harvest)))?;
    match (reason.claim, reason.effect) {
        (Claim::ManureToHarvest { spread, days }, Effect::Wait { until: Some(until) }) => {
            Some((spread, days, until))
        }
        other => panic!("{other:?}"),
    }
}

const MARCH: &str = "b,2025-03-01,horse_manure,20\n";

#[test]
fn the_days_run_to_the_harvest() {
    let spread = day("2025-03-01");
    // Lettuce touches the soil: 119 days are one too few, and the start moves by that one.
    let (on, soon, late) = ("2025-04-20", "2025-06-28", "2025-06-29");
    assert_eq!(waits(MARCH, "lettuce", on, soon), Some((spread, 119, day("2025-04-21"))));
    assert_eq!(waits(MARCH, "lettuce", on, late), None);
    // Sweet corn does not: 89 and 90.
    let (soon, late) = ("2025-05-29", "2025-05-30");
    assert_eq!(waits(MARCH, "sweet_corn", on, soon), Some((spread, 89, day("2025-04-21"))));
    assert_eq!(waits(MARCH, "sweet_corn", on, late), None);
}

#[test]
fn the_harvest_is_the_crops_first_where_none_is_said() {
    // Carrots of 60 days (NDSU H912): from 1 May they are pulled on 30 June, 121 days on.
    assert!(asked(MARCH, "carrot", day("2025-05-01"), None).is_none());
    let reason = asked(MARCH, "carrot", day("2025-04-29"), None).expect("119 days");
    assert_eq!(reason.effect, Effect::Wait { until: Some(day("2025-04-30")) });
}

#[test]
fn the_last_raw_manure_counts_and_nothing_else() {
    let (on, harvest) = ("2025-04-20", "2025-06-28");
    let twice = format!("b,2024-03-01,dairy_manure,20\n{MARCH}");
    assert_eq!(waits(&twice, "lettuce", on, harvest).map(|found| found.1), Some(119));
    let rotted = "b,2025-03-01,dairy_manure_compost,20\n";
    assert_eq!(waits(rotted, "lettuce", on, harvest), None);
    // Rotted since, the raw manure stays.
    let after = format!("{MARCH}b,2025-03-20,dairy_manure_compost,20\n");
    assert_eq!(waits(&after, "lettuce", on, harvest).map(|found| found.1), Some(119));
    // On the day of the start it is the nearest there is.
    let late = "b,2025-04-20,horse_manure,20\n";
    let until = add_days(day("2025-04-20"), 51.0);
    assert_eq!(waits(late, "lettuce", on, harvest), Some((day("2025-04-20"), 69, until)));
    // What nobody eats does not wait.
    assert_eq!(waits(MARCH, "phacelia", on, harvest), None);
}
