//! The plan found, judged planting by planting, and why a wish is not met.

use crate::estimate::Estimate;
use crate::knowledge::{CropId, PathogenId, Role};
use crate::records::Garden;
use crate::season::{Date, add_days};
use crate::state::nutrients::{Nutrient, Pool, typical_yield};
use crate::state::{BedState, Presence};
use crate::units::SquareMetres;

use super::half_months::A_YEAR;
use super::model::{Beds, CropCourse, Occurrence, Shared, fed_yield, shortfall};
use super::outcome::{GardenPlan, Left, Planned, PlannedPlanting, PlannedWish, Unmet, WishBy};
use super::solve::{Effort, Solved, side_by_side};

pub(super) fn answer(
    beds: &Beds<'_>,
    solved: &Solved,
    (wishes, standing): (&[Occurrence], &[f64]),
    unwanted: Vec<CropId>,
    effort: Effort,
) -> GardenPlan {
    let shared = beds.shared;
    let by_place: Vec<Vec<PlannedPlanting>> =
        side_by_side(beds.places.len(), |at| planted(beds, at, &solved.plan.paths[at]));
    let plantings = by_place.concat();
    let left = side_by_side(beds.places.len(), |at| left(beds, at, &solved.plan.paths[at]));
    let all: f64 = beds.places.iter().map(|place| place.area.0).sum::<f64>()
        * f64::from(shared.half_months.count());
    let mut under = 0.0;
    let mut legumes = 0.0;
    let mut stands = 0.0;
    for (at, place) in beds.places.iter().enumerate() {
        stands += place.area.0 * f64::from(place.free);
        for choice in &solved.plan.paths[at] {
            let choice = &beds.made[at].choices.choices[*choice as usize];
            let time = place.area.0 * f64::from(choice.end - choice.start);
            under += time;
            let offer_is_legume = shared
                .knowledge
                .crops
                .iter()
                .nth(choice.crop as usize)
                .is_some_and(|(_, crop)| crop.is_legume());
            legumes += if offer_is_legume { time } else { 0.0 };
        }
    }
    let planned_wishes = wishes
        .iter()
        .zip(standing)
        .enumerate()
        .map(|(at, (wish, standing))| planned_wish(beds, at, wish, *standing, &plantings))
        .collect();
    GardenPlan {
        half_months: shared.half_months,
        wishes: planned_wishes,
        plantings,
        standing: beds.places.iter().flat_map(|place| place.standing.clone()).collect(),
        unwanted,
        left,
        places: beds.places.iter().map(|place| (place.place.clone(), place.area)).collect(),
        legume_share: if under > 0.0 { legumes / under } else { 0.0 },
        covered_share: if all > 0.0 { ((under + stands) / all).min(1.0) } else { 0.0 },
        value: solved.value,
        bound: solved.bound,
        gap: solved.gap(),
        seed: solved.seed,
        effort,
    }
}

fn planted(beds: &Beds<'_>, place: usize, path: &[u32]) -> Vec<PlannedPlanting> {
    let area = beds.places[place].area;
    (1..=path.len())
        .filter_map(|end| {
            let offer = &beds.made[place].offers[path[end - 1] as usize];
            let assessment = beds.judge(place, &path[..end])?;
            let fed_yield = fed_yield(&assessment);
            let kg_m2 = typical_yield(beds.shared.knowledge, offer.crop);
            let is_cover = beds.shared.knowledge.crops[offer.crop].role == Role::Cover;
            let short = shortfall(&assessment).filter(|short| short.likely > 0.5);
            Some(PlannedPlanting {
                place: beds.places[place].place.clone(),
                crop: offer.crop,
                planted: offer.planted,
                cleared: offer.cleared,
                method: offer.method,
                harvest: offer.harvest,
                area,
                mass: kg_m2
                    .filter(|_| !is_cover)
                    .map(|kg| kg * fed_yield.map(|share| share * area.0)),
                feed: short.map(|short| short.map(|grams| grams.max(0.0))),
                assessment,
                fed_yield,
                planned: if offer.kept { Planned::Kept } else { Planned::Chosen },
            })
        })
        .collect()
}

fn planned_wish(
    beds: &Beds<'_>,
    at: usize,
    wish: &Occurrence,
    standing: f64,
    plantings: &[PlannedPlanting],
) -> PlannedWish {
    let unit = match wish.by {
        WishBy::Mass(_) => wish.kg_m2.unwrap_or(0.0),
        WishBy::Area(_) => 1.0,
    };
    let planned: f64 = plantings
        .iter()
        .filter(|planting| planting.crop == wish.crop)
        .map(|planting| {
            let served = wish.served_by(planting.planted, planting.harvest) * planting.area.0;
            match wish.by {
                WishBy::Mass(_) => served * planting.fed_yield.likely * unit,
                WishBy::Area(_) => served,
            }
        })
        .sum();
    let mut planned = PlannedWish {
        wish: wish.wish,
        crop: wish.crop,
        from: wish.from,
        to: wish.to,
        by: wish.by,
        standing: standing * unit,
        planned,
        unmet: None,
    };
    let short = match wish.by {
        WishBy::Mass(_) if unit <= 0.0 => 0.0,
        _ => (planned.wanted() - planned.standing - planned.planned) / unit.max(1e-9),
    };
    if planned.met() < 0.95 || wish.wanted_m2.is_none() {
        planned.unmet = Some(why_unmet(beds, at, wish, SquareMetres(short.max(0.0))));
    }
    planned
}

/// Why a wish is not met: the first thing on its way that stops it.
fn why_unmet(beds: &Beds<'_>, at: usize, wish: &Occurrence, short: SquareMetres) -> Unmet {
    if wish.wanted_m2.is_none() {
        return Unmet::NoYield;
    }
    let shared = beds.shared;
    let number = u32::try_from(at).unwrap_or(u32::MAX);
    let offered = beds.made.iter().any(|made| {
        made.choices
            .choices
            .iter()
            .any(|choice| choice.amounts.iter().any(|(known, _)| *known == number))
    });
    if offered {
        return Unmet::NotEnoughArea { short };
    }
    let waits: Vec<_> =
        beds.made.iter().filter(|made| made.waits.iter().any(|(known, ..)| *known == at)).collect();
    if !waits.is_empty() {
        let all =
            waits.iter().flat_map(|made| made.waits.iter().filter(|(known, ..)| *known == at));
        let until = all.clone().filter_map(|(_, until, _)| *until).min();
        let mut diseases: Vec<PathogenId> = all.filter_map(|(_, _, disease)| *disease).collect();
        diseases.sort();
        let most = diseases.chunk_by(|a, b| a == b).max_by_key(|run| run.len());
        let disease = most.and_then(|run| run.first()).copied();
        return Unmet::EveryPlaceWaits { until, places: waits.len(), disease };
    }
    let course = shared.courses.iter().find(|course| course.crop == wish.crop);
    let starts = |slot: u8| course.and_then(|course| served_start(shared, course, wish, slot));
    if (0..shared.half_months.count()).any(|slot| starts(slot).is_some()) {
        return Unmet::NoPlaceFree;
    }
    let last = course.and_then(|course| last_start_before(shared, course, wish));
    if last.is_some() { Unmet::TooLate { last } } else { Unmet::NoWindow }
}

fn served_start(
    shared: Shared<'_>,
    course: &CropCourse,
    wish: &Occurrence,
    slot: u8,
) -> Option<Date> {
    let start = course.start(slot)?;
    let on = shared.half_months.day(slot);
    let harvest = start.harvest.map(|(first, last)| {
        let day = |days: i64| add_days(on, days as f64);
        (day(first), day(last))
    });
    (wish.served_by(on, harvest) > 0.0).then_some(on)
}

/// The last start before the plan that would have been in time, within a year.
fn last_start_before(shared: Shared<'_>, course: &CropCourse, wish: &Occurrence) -> Option<Date> {
    let year = chrono::Months::new(12);
    let before = Occurrence {
        from: wish.from.checked_add_months(year)?,
        to: wish.to.checked_add_months(year)?,
        ..wish.clone()
    };
    let slots = (0..A_YEAR).rev().filter_map(|slot| {
        let start = course.start(slot)?;
        let on = shared.half_months.day(slot);
        let harvest = start.harvest.map(|(first, last)| {
            let day = |days: i64| add_days(on, days as f64);
            (day(first), day(last))
        });
        (before.served_by(on, harvest) > 0.0).then(|| on.checked_sub_months(year)).flatten()
    });
    slots.filter(|day| *day < shared.half_months.day(0)).max()
}

fn left(beds: &Beds<'_>, place: usize, path: &[u32]) -> Left {
    let shared = beds.shared;
    let plan_place = &beds.places[place];
    let garden = beds.planted(place, path);
    let state = |garden: &Garden, on: Date| -> (Vec<(PathogenId, Estimate)>, _) {
        let state = BedState::at(garden, shared.knowledge, shared.policy, &plan_place.place, on);
        let losses = state
            .inocula()
            .filter(|inoculum| matches!(inoculum.presence, Presence::Sighted(_)))
            .map(|inoculum| (inoculum.pathogen, inoculum.loss_at(on, on)))
            .collect();
        let books = state.nutrients();
        let known = !books.months.is_empty();
        let free = Nutrient::ALL.map(|nutrient| books.holds(nutrient, Pool::Available).range());
        (losses, known.then_some(free))
    };
    let (begin, _) = state(&plan_place.garden, shared.half_months.day(0));
    let (end, nutrients) = state(&garden, shared.half_months.end());
    let diseases = end
        .into_iter()
        .map(|(pathogen, loss)| {
            let before = begin.iter().find(|(known, _)| *known == pathogen);
            (pathogen, loss, before.map_or(Estimate::ZERO, |(_, loss)| *loss))
        })
        .collect();
    Left { place: plan_place.place.clone(), diseases, nutrients }
}
