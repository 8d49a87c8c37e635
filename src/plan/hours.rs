//! Keeping a plan within the hours a grower has in a week.
//!
//! The search is run once more with each half-month's hours as a wish that costs beyond what there is;
//! whatever still passes the limit is taken out, that first which costs least for the hours it saves.
//! The bound is that of the same garden without a limit: it holds, and is the wider for it.

use super::model::Beds;
use super::solve::{Effort, Instance, Plan, Progress, Solved, Wish, solve, value_of};
use super::work::{Job, spread, tasks_of};
use crate::estimate::Estimate;
use crate::knowledge::Role;
use crate::state::nutrients::typical_yield;

/// Worth of an hour within the limit: next to nothing, so that what goes beyond it can be a share of
/// it.
const WITHIN: f64 = 1e-6;
/// Hours a half-month may pass the limit by rounding.
const CLOSE: f64 = 1e-9;

/// Hours of a garden's choices.
pub(super) struct Hours {
    /// Hours there are, by half-month.
    there: Vec<f64>,
    /// Hours that what stands asks for, by half-month.
    standing: Vec<f64>,
    /// By place and choice: half-month and likely hours, at the most the choice may bear.
    of_choice: Vec<Vec<Vec<(u8, f64)>>>,
}

impl Hours {
    /// The hours of all choices beside those there are in a week.
    pub(super) fn new(beds: &Beds<'_>, a_week: f64) -> Self {
        let shared = beds.shared;
        let half_months = shared.half_months;
        let there = (0..half_months.count())
            .map(|slot| {
                let days = (half_months.day(slot + 1) - half_months.day(slot)).num_days();
                a_week * days as f64 / 7.0
            })
            .collect();
        let mut standing = vec![0.0; usize::from(half_months.count())];
        for stands in beds.places.iter().flat_map(|place| &place.standing) {
            let job = Job {
                place: stands.place.clone(),
                crop: stands.crop,
                method: None,
                from: stands.planted,
                cleared: stands.free.filter(|day| *day < half_months.end()),
                harvests: stands.harvests.clone(),
                area: stands.area.0,
                bears: Estimate::ONE,
                mass: None,
            };
            for (slot, hours) in likely(beds, &job) {
                standing[usize::from(slot)] += hours;
            }
        }
        let of_choice = beds
            .made
            .iter()
            .zip(beds.places)
            .map(|(made, place)| {
                let offers = made.offers.iter().map(|offer| {
                    // What care takes off its worth takes nothing off the picking.
                    let bears = Estimate::exact(offer.most / shared.policy.plan_care);
                    let is_cover = shared.knowledge.crops[offer.crop].role == Role::Cover;
                    let kg_m2 = typical_yield(shared.knowledge, offer.crop);
                    let job = Job {
                        place: place.place.clone(),
                        crop: offer.crop,
                        method: Some(offer.method),
                        from: offer.planted,
                        cleared: Some(offer.cleared).filter(|day| *day < half_months.end()),
                        harvests: offer.harvest.into_iter().collect(),
                        area: place.area.0,
                        bears,
                        mass: kg_m2
                            .filter(|_| !is_cover)
                            .map(|kg| kg * bears.map(|share| share * place.area.0)),
                    };
                    likely(beds, &job)
                });
                offers.collect()
            })
            .collect();
        Self { there, standing, of_choice }
    }

    /// Hours by which each half-month of a plan passes what there is.
    fn over(&self, plan: &Plan) -> Vec<f64> {
        let mut hours = self.standing.clone();
        for (of_place, path) in self.of_choice.iter().zip(&plan.paths) {
            for choice in path {
                for (slot, more) in &of_place[*choice as usize] {
                    hours[usize::from(*slot)] += more;
                }
            }
        }
        hours.iter().zip(&self.there).map(|(hours, there)| (hours - there).max(0.0)).collect()
    }

    fn keeps(&self, plan: &Plan) -> bool {
        self.over(plan).iter().all(|over| *over <= CLOSE)
    }

    /// The instance with each half-month as a wish that costs beyond the hours there are.
    fn priced(&self, instance: &Instance, an_hour: f64) -> Instance {
        let mut priced = instance.clone();
        let first = instance.wishes.len();
        let left = self.there.iter().zip(&self.standing);
        priced.wishes.extend(left.map(|(there, standing)| Wish {
            worth: WITHIN,
            wanted: (there - standing).max(0.0),
            beyond: -an_hour / WITHIN,
        }));
        for (place, of_place) in priced.places.iter_mut().zip(&self.of_choice) {
            for (choice, hours) in place.choices.iter_mut().zip(of_place) {
                choice.amounts.extend(hours.iter().filter_map(|(slot, hours)| {
                    let wish = u32::try_from(first + usize::from(*slot)).ok()?;
                    Some((wish, *hours))
                }));
            }
        }
        priced
    }
}

fn likely(beds: &Beds<'_>, job: &Job) -> Vec<(u8, f64)> {
    let half_months = beds.shared.half_months;
    let tasks = tasks_of(beds.shared.knowledge, job, half_months.end());
    let mut hours = vec![0.0; usize::from(half_months.count())];
    for task in &tasks {
        for (slot, share) in spread(half_months, task) {
            hours[usize::from(slot)] += task.hours.likely * share;
        }
    }
    (0..).zip(hours).filter(|(_, hours)| *hours > 0.0).collect()
}

/// A plan within so many hours a week, as good as can be found.
pub(super) fn keep_within(
    instance: &Instance,
    beds: &Beds<'_>,
    (solved, a_week): (Solved, f64),
    effort: &Effort,
    told: &dyn Fn(Progress),
) -> Solved {
    let hours = Hours::new(beds, a_week);
    if hours.keeps(&solved.plan) {
        return solved;
    }
    let an_hour = beds.shared.policy.plan_hour_over;
    let priced = hours.priced(instance, an_hour);
    let found = solve(&priced, beds, effort, solved.seed, told);
    let mut best: Option<(Plan, f64)> = None;
    for plan in found.map(|found| found.plan).into_iter().chain([solved.plan.clone()]) {
        let cut = cut_down(instance, beds, &hours, plan);
        if let Some((plan, value)) = cut
            && best.as_ref().is_none_or(|(known, worth)| {
                let more = |plan: &Plan| hours.over(plan).iter().sum::<f64>();
                (more(&plan), -value) < (more(known), -worth)
            })
        {
            best = Some((plan, value));
        }
    }
    match best {
        Some((plan, value)) => Solved { plan, value, ..solved },
        None => solved,
    }
}

/// Takes out plantings, that first which costs least for the hours it saves, until the hours suffice
/// or only what is decided is left; with its value.
fn cut_down(
    instance: &Instance,
    beds: &Beds<'_>,
    hours: &Hours,
    mut plan: Plan,
) -> Option<(Plan, f64)> {
    let mut value = value_of(instance, beds, &plan)?;
    loop {
        let over: f64 = hours.over(&plan).iter().sum();
        if over <= CLOSE {
            break;
        }
        let mut best: Option<(f64, Plan, f64)> = None;
        for place in 0..plan.paths.len() {
            for at in 0..plan.paths[place].len() {
                let choice = &instance.places[place].choices[plan.paths[place][at] as usize];
                if choice.fixed {
                    continue;
                }
                let mut less = plan.clone();
                less.paths[place].remove(at);
                let saved = over - hours.over(&less).iter().sum::<f64>();
                if saved <= CLOSE {
                    continue;
                }
                let Some(worth) = value_of(instance, beds, &less) else { continue };
                let costs = (value - worth) / saved;
                if best.as_ref().is_none_or(|(known, ..)| costs < *known) {
                    best = Some((costs, less, worth));
                }
            }
        }
        let Some((_, less, worth)) = best else { break };
        (plan, value) = (less, worth);
    }
    Some((plan, value))
}
