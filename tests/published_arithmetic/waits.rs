//! Waits from records to a day, through the judgment of a planting.

use breakcrop::assess::{Effect, Proposal, Reason, RuleId, assess};
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{FrostDay, Garden, Method, Place};
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::state::BedState;
use breakcrop::state::nutrients::{Flow, Ledger};

use super::support::station::station_garden;
use super::support::{Row, garden_of, published};
use super::{Check, check, numbers};

const BEDS: &str = "bed,kind,length_m,width_m\nb,ground,10,1\n";

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

/// `Jun 29` of the year of the records.
fn printed_day(text: &str) -> Date {
    let date = chrono::NaiveDate::parse_from_str(&format!("{text} 2025"), "%b %d %Y");
    date.unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// The reason of a rule on a proposal after what the files say.
fn reason_on(
    knowledge: &Knowledge,
    files: &[(&str, &str)],
    proposal: &Proposal,
    rule: RuleId,
) -> Option<Reason> {
    let garden = garden_of(knowledge, files.iter().copied(), "wait");
    let policy = Policy::default();
    let state = BedState::at(&garden, knowledge, &policy, &Place::whole("b"), proposal.on);
    let assessment = assess(knowledge, &policy, &state, proposal);
    assessment.reasons.into_iter().find(|reason| reason.rule == rule)
}

/// Days by which a day found lies beside a printed one.
fn same_day(got: Date, want: Date) -> Check {
    check((got - want).num_days() as f64, 0.0, 0.0)
}

pub(super) fn row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    Some(match row.get("id") {
        "C26" => vec![late_sample(knowledge, row)],
        "C63" => {
            let want: Vec<&str> = row.get("expected_outputs").split(" (").collect();
            let lettuce = want[0].trim_start_matches("earliest harvest ");
            let corn = want[1].split("; ").nth(1)?;
            vec![
                same_day(first_harvest(knowledge, "lettuce"), printed_day(lettuce)),
                same_day(first_harvest(knowledge, "sweet_corn"), printed_day(corn)),
            ]
        }
        "C64" => {
            let text = row.get("expected_outputs").trim_start_matches("not before ");
            let (from, rest) = text.split_once(" to ")?;
            let until = rest.split(" (").next()?;
            let [first, last] = set_out_after_sudangrass(knowledge);
            vec![same_day(first, printed_day(from)), same_day(last, printed_day(until))]
        }
        _ => return None,
    })
}

/// The first day on which a crop may be picked after raw manure of 1 March.
fn first_harvest(knowledge: &Knowledge, crop: &str) -> Date {
    let manure = "bed,date,material,mass_kg\nb,2025-03-01,dairy_manure,10\n";
    let files = [("beds.csv", BEDS), ("amendments.csv", manure)];
    let crop = knowledge.crops.find(crop).expect("a crop");
    let waits = |harvest: Date| {
        let proposal = Proposal { harvest: Some(harvest), ..Proposal::of(crop, day("2025-03-15")) };
        let reason = reason_on(knowledge, &files, &proposal, RuleId::ManureToHarvest);
        reason.is_some_and(|reason| matches!(reason.effect, Effect::Wait { .. }))
    };
    let mut harvest = day("2025-04-15");
    while waits(harvest) {
        harvest = add_days(harvest, 1.0);
    }
    harvest
}

/// The first days, by the least and by the most printed weeks, on which tomatoes may be set out after
/// sudangrass cut on 1 June and left.
fn set_out_after_sudangrass(knowledge: &Knowledge) -> [Date; 2] {
    let stood =
        "bed,crop,planted,removed,residue\nb,sorghum_sudangrass,2025-03-01,2025-06-01,left\n";
    let files = [("beds.csv", BEDS), ("plantings.csv", stood)];
    let tomato = knowledge.crops.find("tomato").expect("tomato");
    let on = day("2025-06-02");
    let proposal = Proposal { method: Some(Method::Transplanted), ..Proposal::of(tomato, on) };
    let reason = reason_on(knowledge, &files, &proposal, RuleId::ResidueNotReady).expect("a wait");
    let (Effect::Wait { until: Some(first) } | Effect::Care { until: Some(first) }) = reason.effect
    else {
        panic!("no day: {reason:?}");
    };
    let grass = knowledge.crops.find("sorghum_sudangrass").expect("the cover");
    let wait = knowledge
        .sequences
        .on(grass, tomato)
        .filter_map(|row| row.wait_days)
        .reduce(Estimate::spanning)
        .expect("a printed wait");
    [first, add_days(day("2025-06-01"), wait.high)]
}

/// The credit of residue after the soil is sampled four weeks late. The ordinance takes up to two
/// thirds off; the books ask what has come free by then: at least that third is still to come.
fn late_sample(knowledge: &Knowledge, row: &Row) -> Check {
    let credit = numbers(row.get("inputs"))[0];
    let least = numbers(row.get("expected_outputs"))[0];
    let stood = "bed,crop,planted,removed,residue\nb,cauliflower,2024-05-15,2024-09-01,dug_in\n";
    let files = [("beds.csv", BEDS), ("plantings.csv", stood)];
    // The station of the normals nearest to where the ordinance holds.
    let (normals, _) = published("climate_normals.csv");
    let station =
        station_garden(&normals, "Wageningen Haarweg (Netherlands)", [FrostDay::Unknown; 2]);
    let garden = Garden {
        site: station.site,
        climate: station.climate,
        ..garden_of(knowledge, files, "cauliflower")
    };
    let (place, policy) = (Place::whole("b"), Policy::default());
    let books = Ledger::at(&garden, knowledge, &policy, &place, None, day("2025-09-01"));
    let since = |from: &str| books.freed_since(Flow::ResidueReleased, day(from)).range().likely;
    let left = credit * since("2024-10-01") / since("2024-09-01");
    // Between the printed least and the whole credit.
    let (middle, half) = (f64::midpoint(least, credit), (credit - least) / 2.0);
    check(left, middle, half)
}
