//! Changes that work on the soil before the crop: a suppressive crop first, or a treatment in its
//! season. Each is written into a copy of the garden's records and judged there.

use super::changes::What;
use super::in_season::opens_later;
use super::{Proposal, Verdict, assess};
use crate::assess::Assessment;
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Garden, Place, Planting, Practice, Residue, Treatment};
use crate::season::{Date, Interval, add_days, add_years};
use crate::state::{BedState, lowering};

/// Suppressive crops tried for one pathogen: the best known ones come first in the tables.
const CROPS_TRIED: usize = 4;

/// What was tried, where it leads, and the plain wait to the same day beside it.
pub(super) struct Tried {
    pub(super) what: What,
    pub(super) treated: Assessment,
    pub(super) only_waited: Verdict,
    /// The day to which both move because nothing but the season bars the treated bed.
    pub(super) season_opens: Option<Date>,
}

/// A suppressive crop of sixty days, dug in, and the weeks its residue needs.
pub(super) fn suppressive_crops(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    proposal: &Proposal,
    pathogen: PathogenId,
) -> Vec<Tried> {
    let from = proposal.on;
    let to = add_days(from, policy.suppressive_crop_days);
    let on = add_days(to, policy.residue_rots_days);
    knowledge
        .crops
        .iter()
        .filter(|(crop, _)| {
            let standing = knowledge.standing(pathogen, *crop);
            standing.is_suppressive() && !standing.status.may_suffer()
        })
        .take(CROPS_TRIED)
        .map(|(crop, _)| {
            let mut tried = garden.clone();
            tried.plantings.push(dug_in(place, crop, from, to));
            tried.sort();
            let what = What::SuppressiveCropFirst { crop, pathogen, plant_on: on };
            outcome(knowledge, policy, (garden, &tried), place, proposal, what, on)
        })
        .collect()
}

/// Treatments in the heat, where the climate has heat enough and a source reports the pathogen or
/// its kind.
pub(super) fn treatments(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    proposal: &Proposal,
    pathogen: PathogenId,
) -> Vec<Tried> {
    let Some(climate) = Climate::of(garden) else { return Vec::new() };
    let days = policy.film_days_advised;
    let from = add_days(hottest_day(&climate, proposal.on), -days / 2.0);
    let from = if from < proposal.on { add_years(from, 1.0) } else { from };
    let to = add_days(from, days);
    let on = add_days(to, policy.residue_rots_days);
    ["solarization", "anaerobic_disinfestation"]
        .into_iter()
        .filter_map(|practice| {
            let treatment = Treatment {
                place: place.clone(),
                lasted: Interval { start: from, end: Some(to) },
                practice: Practice(practice.into()),
                note: Box::default(),
                origin: Origin::new("(tried)", 0),
            };
            lowering(knowledge, policy, Some(&climate), pathogen, &treatment, on).ok()?;
            let mut tried = garden.clone();
            tried.treatments.push(treatment);
            tried.sort();
            let what =
                What::Treatment { practice: practice.into(), pathogen, from, to, plant_on: on };
            Some(outcome(knowledge, policy, (garden, &tried), place, proposal, what, on))
        })
        .collect()
}

fn outcome(
    knowledge: &Knowledge,
    policy: &Policy,
    (as_is, tried): (&Garden, &Garden),
    place: &Place,
    proposal: &Proposal,
    what: What,
    on: Date,
) -> Tried {
    let judged = |garden: &Garden, on: Date| {
        let state = BedState::at(garden, knowledge, policy, place, on);
        assess(knowledge, policy, &state, &Proposal { on, ..proposal.clone() })
    };
    let mut treated = judged(tried, on);
    let season_opens = opens_later(&treated.reasons);
    if let Some(day) = season_opens {
        treated = judged(tried, day);
    }
    let only_waited = judged(as_is, season_opens.unwrap_or(on)).verdict;
    Tried { what, treated, only_waited, season_opens }
}

fn dug_in(place: &Place, crop: CropId, from: Date, to: Date) -> Planting {
    Planting {
        place: place.clone(),
        crop,
        variety: Box::default(),
        rootstock: Box::default(),
        resistance: Box::default(),
        method: None,
        stood: Interval { start: from, end: Some(to) },
        plants: None,
        area: None,
        row_spacing: None,
        plant_spacing: None,
        residue: Some(Residue::DugIn),
        note: Box::default(),
        origin: Origin::new("(tried)", 0),
    }
}

/// The middle of the warmest weeks within a year of a day.
fn hottest_day(climate: &Climate<'_>, from: Date) -> Date {
    (0..52)
        .map(|week| add_days(from, f64::from(week) * 7.0))
        .max_by(|a, b| climate.mean_c(*a).total_cmp(&climate.mean_c(*b)))
        .unwrap_or(from)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::{Knowledge, PathogenId};
    use crate::records::{Certainty, Extent, Observation, Seen};
    use crate::season::iso_day;

    fn day(text: &str) -> Date {
        iso_day(text).expect("a day")
    }

    /// A bed with a trace of a disease on a crop, cleared since.
    fn sighted(pathogen: PathogenId, crop: CropId) -> Garden {
        let place = Place::whole("A");
        let mut garden = Garden::default();
        garden.observations.push(Observation {
            place,
            date: day("2025-08-01"),
            crop: Some(crop),
            seen: Seen::Pathogen(pathogen),
            symptom: Box::default(),
            extent: Some(Extent::Trace),
            certainty: Certainty::Laboratory,
            note: Box::default(),
            origin: Origin::new("observations.csv", 2),
        });
        garden
    }

    #[test]
    fn broccoli_dug_in_betters_a_trace_of_verticillium_and_a_host_never_stands_first() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let crop = |name| knowledge.names.crop(&knowledge.crops, name).expect("a crop");
        let pathogen = knowledge.pathogens.find("verticillium_dahliae").expect("a pathogen");
        let garden = sighted(pathogen, crop("eggplant"));
        let proposal = Proposal::of(crop("eggplant"), day("2026-04-01"));
        let place = Place::whole("A");
        let tried = suppressive_crops(&knowledge, &policy, &garden, &place, &proposal, pathogen);
        assert!(!tried.is_empty());
        for tried in tried {
            let What::SuppressiveCropFirst { crop, .. } = tried.what else { panic!("a crop") };
            assert!(!knowledge.standing(pathogen, crop).status.may_suffer());
            assert!(tried.treated.verdict <= tried.only_waited);
        }
    }

    #[test]
    fn film_is_never_advised_where_summers_are_cool() {
        let knowledge = Knowledge::embedded();
        let pathogen = knowledge.pathogens.find("verticillium_dahliae").expect("a pathogen");
        let crop = knowledge.crops.find("eggplant").expect("a crop");
        let garden = sighted(pathogen, crop);
        let proposal = Proposal::of(crop, day("2026-04-01"));
        let place = Place::whole("A");
        let tried =
            treatments(&knowledge, &Policy::default(), &garden, &place, &proposal, pathogen);
        assert!(tried.is_empty(), "no climate, no season to name");
    }

    /// Film lies about the middle of the hottest weeks: of this year if that can still be had, from
    /// the day itself on, else of the next.
    #[test]
    fn film_lies_about_the_hottest_weeks_to_come() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let pathogen = knowledge.pathogens.find("verticillium_dahliae").expect("a pathogen");
        let crop = knowledge.crops.find("eggplant").expect("a crop");
        let mut garden = sighted(pathogen, crop);
        let mut months = [(2.0, 12.0); 12];
        months[5..8].copy_from_slice(&[(17.0, 31.0), (20.0, 35.0), (18.0, 32.0)]);
        garden.climate = crate::climate::tests::garden(38.0, &months).climate;
        let climate = Climate::of(&garden).expect("twelve months");
        let mut starts_today = false;
        for step in 0..60 {
            let on = add_days(day("2026-06-01"), f64::from(step));
            let proposal = Proposal::of(crop, on);
            let place = Place::whole("A");
            let tried = treatments(&knowledge, &policy, &garden, &place, &proposal, pathogen);
            let What::Treatment { from, to, plant_on, .. } = tried[0].what else {
                panic!("a treatment")
            };
            let half = policy.film_days_advised / 2.0;
            let middle = add_days(from, half);
            let hottest = hottest_day(&climate, on);
            let wanted = add_days(hottest, -half);
            let expected = if wanted < on { add_years(wanted, 1.0) } else { wanted };
            assert_eq!(from, expected, "{on}");
            assert!(climate.mean_c(middle) > 25.0, "{middle}");
            assert_eq!(to, add_days(from, policy.film_days_advised));
            assert_eq!(plant_on, add_days(to, policy.residue_rots_days));
            starts_today |= from == on;
        }
        assert!(starts_today, "one of the days is the very first of the film");
    }
}
