//! The plan found, judged planting by planting, and why a wish is not met.

use crate::estimate::Estimate;
use crate::knowledge::{PathogenId, Role};
use crate::records::Garden;
use crate::season::Date;
use crate::state::nutrients::{Nutrient, Pool, typical_yield};
use crate::state::{BedState, Presence};
use crate::units::SquareMetres;

use super::garden_plan::PlanAsk;
use super::goals::GroundTime;
use super::model::{Beds, Occurrence, Wished, fed_yield, shortfall};
use super::outcome::{GardenPlan, Left, Planned, PlannedPlanting, PlannedWish, WishBy};
use super::planned_covers::covers_of;
use super::solve::{Effort, Instance, Solved, side_by_side};
use super::unmet::why_unmet;
use super::work;

pub(super) fn answer(
    beds: &Beds<'_>,
    instance: &Instance,
    solved: &Solved,
    (wished, standing): (Wished, &[f64]),
    (ask, effort): (&PlanAsk, Effort),
) -> GardenPlan {
    let shared = beds.shared;
    let by_place: Vec<Vec<PlannedPlanting>> =
        side_by_side(beds.places.len(), |at| planted(beds, at, &solved.plan.paths[at]));
    let plantings = by_place.concat();
    let left = side_by_side(beds.places.len(), |at| left(beds, at, &solved.plan.paths[at]));
    let planned_wishes = wished
        .wishes
        .iter()
        .zip(standing)
        .enumerate()
        .map(|(at, (wish, standing))| planned_wish(beds, at, wish, *standing, &plantings))
        .collect();
    let paths = &solved.plan.paths;
    let covers = side_by_side(beds.places.len(), |at| covers_of(beds, at, &paths[at])).concat();
    let ground = GroundTime::of(shared.knowledge, beds.places, instance, paths);
    let mut plan = GardenPlan {
        half_months: shared.half_months,
        wishes: planned_wishes,
        plantings,
        standing: beds.places.iter().flat_map(|place| place.standing.clone()).collect(),
        unwanted: wished.unwanted,
        left,
        places: beds.places.iter().map(|place| (place.place.clone(), place.area)).collect(),
        company: beds.places.iter().flat_map(|place| place.company.clone()).collect(),
        alone: beds.places.iter().filter_map(|place| place.alone.clone()).collect(),
        covers,
        work: Vec::new(),
        hours_a_week: ask.hours_a_week,
        beyond: wished.beyond,
        goals: ask.goals.clone(),
        legume_share: ground.legumes_of_planted(),
        legumes_of_all: ground.legumes(),
        covered_share: ground.covered(),
        value: solved.value,
        bound: solved.bound,
        gap: solved.gap(),
        seed: solved.seed,
        effort,
    };
    plan.work = work::by_half_month(shared.knowledge, plan.half_months, &work::jobs(&plan));
    plan
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
        planned.unmet = Some(why_unmet(beds, at, wish, SquareMetres(short.max(0.0)), plantings));
    }
    planned
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
