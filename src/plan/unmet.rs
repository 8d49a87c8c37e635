//! Why a wish is not met, found by walking the way from the season to the ground: the first thing on
//! it that stops the wish.

use super::half_months::A_YEAR;
use super::model::{Beds, CropCourse, Occurrence, Shared, Start};
use super::outcome::{PlannedPlanting, Unmet, Waiting};
use crate::season::{Date, add_days};
use crate::units::SquareMetres;
use chrono::Datelike;

/// Share of a start's picking that must fall into the time of a wish for it to have been in time.
const IN_TIME: f64 = 0.5;

/// Why a wish is not met that falls `short` of what it needs, m2 of full crops.
pub(super) fn why_unmet(
    beds: &Beds<'_>,
    at: usize,
    wish: &Occurrence,
    short: SquareMetres,
    plantings: &[PlannedPlanting],
) -> Unmet {
    let Some(needs) = wish.wanted_m2 else { return Unmet::NoYield };
    let shared = beds.shared;
    let could = could_bear(beds, at);
    if !could.is_empty() {
        let needs = SquareMetres(needs);
        let places = could.iter().map(|(place, ..)| {
            let place = &beds.places[*place];
            (place.place.clone(), place.area)
        });
        return Unmet::NotEnoughArea {
            short,
            needs,
            could: places.collect(),
            instead: instead(beds, wish, &could, plantings),
        };
    }
    let places = waiting(beds, at);
    if !places.is_empty() {
        let until = places.iter().filter_map(|waiting| waiting.until).min();
        return Unmet::EveryPlaceWaits { until, places };
    }
    let course = shared.courses.iter().find(|course| course.crop == wish.crop);
    let served = |slot: u8| course.and_then(|course| served_start(shared, course, wish, slot));
    if let Some(last) = (0..shared.half_months.count()).rev().find_map(served) {
        return Unmet::NoPlaceFree { last, first: first_free(beds) };
    }
    match course.and_then(|course| last_start_before(shared, course, wish)) {
        Some(last) => Unmet::TooLate { last: Some(last) },
        None => Unmet::NoWindow { ready: course.map_or(Vec::new(), |it| ready(shared, it)) },
    }
}

/// Places with a start that serves a wish, with the first and the last day of all such starts.
fn could_bear(beds: &Beds<'_>, at: usize) -> Vec<(usize, Date, Date)> {
    let number = u32::try_from(at).unwrap_or(u32::MAX);
    (0..)
        .zip(beds.made)
        .filter_map(|(place, made)| {
            let serving = made
                .choices
                .choices
                .iter()
                .zip(&made.offers)
                .filter(|(choice, _)| choice.amounts.iter().any(|(known, _)| *known == number));
            let span = serving.map(|(_, offer)| (offer.planted, offer.cleared));
            span.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1))).map(|(from, to)| (place, from, to))
        })
        .collect()
}

/// Crops that the plan has in the places that could have borne a wish, most ground first.
fn instead(
    beds: &Beds<'_>,
    wish: &Occurrence,
    could: &[(usize, Date, Date)],
    plantings: &[PlannedPlanting],
) -> Vec<crate::knowledge::CropId> {
    let mut ground: Vec<(f64, crate::knowledge::CropId)> = Vec::new();
    for (place, from, to) in could {
        let place = &beds.places[*place].place;
        let others = plantings.iter().filter(|planting| {
            planting.place == *place
                && planting.crop != wish.crop
                && planting.mass.is_some()
                && planting.planted < *to
                && *from < planting.cleared
        });
        for other in others {
            match ground.iter_mut().find(|(_, crop)| *crop == other.crop) {
                Some((area, _)) => *area += other.area.0,
                None => ground.push((other.area.0, other.crop)),
            }
        }
    }
    ground.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    ground.into_iter().map(|(_, crop)| crop).collect()
}

/// Places that are free in time and wait, each with the start that waits least.
fn waiting(beds: &Beds<'_>, at: usize) -> Vec<Waiting> {
    beds.made
        .iter()
        .zip(beds.places)
        .filter_map(|(made, place)| {
            let waits = made.waits.iter().filter(|(wish, ..)| *wish == at);
            let (_, until, disease) =
                waits.min_by_key(|(_, until, _)| until.unwrap_or(Date::MAX))?;
            Some(Waiting { place: place.place.clone(), until: *until, disease: *disease })
        })
        .collect()
}

/// The place that is free first, and what stands there until then.
fn first_free(
    beds: &Beds<'_>,
) -> Option<(crate::records::Place, Date, Option<crate::knowledge::CropId>)> {
    let half_months = beds.shared.half_months;
    let free = beds.places.iter().filter(|place| place.free < half_months.count());
    let first = free.min_by_key(|place| place.free)?;
    let stands = first.standing.iter().max_by_key(|standing| standing.free);
    let crop = stands.map(|standing| standing.crop);
    Some((first.place.clone(), half_months.day(first.free), crop))
}

/// First and last day of the picking of a start on a day.
fn picked(start: &Start, on: Date) -> Option<(Date, Date)> {
    let day = |days: i64| add_days(on, days as f64);
    start.harvest.map(|(first, last)| (day(first), day(last)))
}

fn served_start(
    shared: Shared<'_>,
    course: &CropCourse,
    wish: &Occurrence,
    slot: u8,
) -> Option<Date> {
    let on = shared.half_months.day(slot);
    (wish.served_by(on, picked(&course.start(slot)?, on)) > 0.0).then_some(on)
}

/// The last start before the plan that would have been in time, within a year: one of which most is
/// picked in the time of the wish, or else any that reaches into it.
fn last_start_before(shared: Shared<'_>, course: &CropCourse, wish: &Occurrence) -> Option<Date> {
    let year = chrono::Months::new(12);
    let next = Occurrence {
        from: wish.from.checked_add_months(year)?,
        to: wish.to.checked_add_months(year)?,
        ..wish.clone()
    };
    let begin = shared.half_months.day(0);
    let starts: Vec<(Date, f64)> = (0..A_YEAR)
        .filter_map(|slot| {
            let on = shared.half_months.day(slot);
            let served = next.served_by(on, picked(&course.start(slot)?, on));
            let before = on.checked_sub_months(year)?;
            (served > 0.0 && before < begin).then_some((before, served))
        })
        .collect();
    let last = |least: f64| {
        starts.iter().filter(|(_, served)| *served >= least).map(|(day, _)| *day).max()
    };
    last(IN_TIME).or_else(|| last(0.0))
}

/// Months in which a crop is picked here, whenever it is started.
fn ready(shared: Shared<'_>, course: &CropCourse) -> Vec<u32> {
    let mut months = Vec::new();
    for slot in 0..A_YEAR {
        let on = shared.half_months.day(slot);
        if let Some((first, last)) = course.start(slot).and_then(|start| picked(&start, on)) {
            let mut day = first;
            while day <= last {
                months.push(day.month());
                day = add_days(day, 10.0);
            }
            months.push(last.month());
        }
    }
    months.sort_unstable();
    months.dedup();
    months
}
