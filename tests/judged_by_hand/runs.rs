//! The same crop or family again: what a run costs, how it fades, and until when it is care.

use breakcrop::assess::{Claim, Effect, Proposal, Reason, assess, return_time};
use breakcrop::estimate::Estimate;
use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::season::{DAYS_PER_YEAR, add_years};
use breakcrop::state::BedState;
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge, like};

/// What the return of cucumber on a day says after these plantings, sightings and treatments.
fn again(plantings: &str, observations: &str, treatments: &str, on: &str) -> Option<Reason> {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let files = [
        (
            "beds.csv",
            "bed,kind,length_m,width_m,records_from\nb,ground,4,1,2010-01-01\n".to_owned(),
        ),
        ("plantings.csv", format!("bed,crop,planted,removed\n{plantings}")),
        ("observations.csv", format!("bed,date,crop,cause,certainty\n{observations}")),
        ("treatments.csv", format!("bed,start,end,practice\n{treatments}")),
    ];
    let garden = garden_of(knowledge, files, "runs");
    let state = BedState::at(&garden, knowledge, &policy, &Place::whole("b"), day(on));
    let cucumber = knowledge.crops.find("cucumber").expect("a crop");
    let judged = assess(knowledge, &policy, &state, &Proposal::of(cucumber, day(on)));
    judged.reasons.into_iter().find(|reason| matches!(reason.claim, Claim::Return { .. }))
}

/// Free years printed for cucumber: the middle of all rows.
fn gap() -> f64 {
    let knowledge = knowledge();
    let cucumber = knowledge.crops.find("cucumber").expect("a crop");
    return_time(knowledge, cucumber).expect("rows").gap.likely
}

/// What is left of a full loss after some days: the square of what is still to be served, counted
/// from the winter that lies between two seasons anyway.
fn left_after(days: f64) -> f64 {
    let winter = Policy::default().between_seasons_years;
    let served = days / DAYS_PER_YEAR - winter;
    (1.0 - served / (gap() - winter)).powi(2)
}

fn yields(full: Estimate, share: f64) -> Estimate {
    full.map(|fraction| 1.0 - (1.0 - fraction) * share)
}

const ONCE: &str = "b,cucumber,2024-05-01,2024-09-01\n";
/// From the clearing on 1 September to the first of May.
const TO_MAY: f64 = 242.0;

#[test]
fn the_first_repeat_costs_most_and_a_run_levels_off() {
    let policy = Policy::default();
    let (full, first) = (policy.same_crop_again, policy.first_repeat_share);
    let fraction =
        |plantings: &str| again(plantings, "", "", "2025-05-01").expect("too soon").yield_fraction;
    like(fraction(ONCE), yields(full, first * left_after(TO_MAY)), "once");
    // From May 2023 to September 2024: a third of a year beyond the first of four.
    let twice = format!("b,cucumber,2023-05-01,2023-09-01\n{ONCE}");
    let run = 489.0 / DAYS_PER_YEAR;
    let share = first + (1.0 - first) * (run - 1.0) / (policy.run_levels_off_years - 1.0);
    like(fraction(&twice), yields(full, share * left_after(TO_MAY)), "two years");
    let five: Vec<String> =
        (2020..2025).map(|year| format!("b,cucumber,{year}-05-01,{year}-09-01\n")).collect();
    like(fraction(&five.concat()), yields(full, left_after(TO_MAY)), "five years");
    // A year of rest between ends a run.
    let broken = format!("b,cucumber,2022-05-01,2022-09-01\n{ONCE}");
    like(fraction(&broken), yields(full, first * left_after(TO_MAY)), "a year between");
    // A relative costs less, and begins a run of the family but not of the crop.
    let melon = "b,melon,2024-05-01,2024-09-01\n";
    let family = policy.same_family_again;
    like(fraction(melon), yields(family, first * left_after(TO_MAY)), "melon");
    let mixed = format!("b,melon,2023-05-01,2023-09-01\n{ONCE}");
    like(fraction(&mixed), yields(full, first * left_after(TO_MAY)), "melon, cucumber");
    let turned = "b,cucumber,2023-05-01,2023-09-01\nb,melon,2024-05-01,2024-09-01\n";
    like(fraction(turned), yields(family, share * left_after(TO_MAY)), "cucumber, melon");
    // Other families are no part of it.
    let bean = format!("b,pole_bean,2023-05-01,2023-09-01\n{ONCE}");
    like(fraction(&bean), yields(full, first * left_after(TO_MAY)), "bean, cucumber");
}

#[test]
fn it_fades_with_the_free_years_and_is_care_until_they_are_over() {
    let policy = Policy::default();
    let free = add_years(day("2024-09-01"), gap());
    let reason = again(ONCE, "", "", "2025-05-01").expect("too soon");
    assert_eq!(reason.effect, Effect::Care { until: Some(free) });
    // Straight after it nothing has faded yet.
    let at_once = again(ONCE, "", "", "2024-09-02").expect("too soon").yield_fraction;
    like(at_once, yields(policy.same_crop_again, policy.first_repeat_share), "at once");
    let later = again(ONCE, "", "", "2026-05-01").expect("too soon").yield_fraction;
    let share = policy.first_repeat_share * left_after(TO_MAY + 365.0);
    like(later, yields(policy.same_crop_again, share), "a year later");
    let over = free.to_string();
    assert!(again(ONCE, "", "", &over).is_none(), "the return time is over");
    let eve = free.pred_opt().expect("a day").to_string();
    assert!(again(ONCE, "", "", &eve).is_some(), "the day before");
}

#[test]
fn a_treated_soil_keeps_part_of_the_loss() {
    let policy = Policy::default();
    let share = policy.first_repeat_share * left_after(TO_MAY);
    let whole = yields(policy.same_crop_again, share).map(|fraction| 1.0 - fraction);
    let steamed = again(ONCE, "", "b,2024-10-01,2024-10-02,steaming\n", "2025-05-01");
    let by_hand = (whole * policy.run_loss_after_treatment).map(|loss| 1.0 - loss);
    like(steamed.expect("too soon").yield_fraction, by_hand, "steamed since");
    let before = again(ONCE, "", "b,2024-04-01,2024-04-02,steaming\n", "2025-05-01");
    like(before.expect("too soon").yield_fraction, whole.map(|loss| 1.0 - loss), "steamed before");
}

/// Where a disease was named on the relative, its own hosts and years have been judged: the family's
/// years stand back, unless the disease takes the crop itself.
#[test]
fn a_named_disease_takes_the_place_of_the_familys_years() {
    let named = |date: &str, cause: &str| {
        let seen = format!("b,{date},cucumber,{cause},laboratory\n");
        again(ONCE, &seen, "", "2025-05-01").map(|reason| match reason.claim {
            Claim::Return { named, .. } => named,
            _ => unreachable!("asked for"),
        })
    };
    // Powdery mildew is blown in: nothing of it stays with the bed.
    assert_eq!(named("2024-07-01", "podosphaera_xanthii"), None);
    // Verticillium takes cucumber.
    assert_eq!(named("2024-07-01", "verticillium_dahliae"), Some(true));
    // Notes from before it stood, or long after it was cleared, are not on it.
    assert_eq!(named("2024-04-30", "podosphaera_xanthii"), Some(false));
    assert_eq!(named("2024-10-31", "podosphaera_xanthii"), None);
    assert_eq!(named("2024-11-01", "podosphaera_xanthii"), Some(false));
}
