//! Whose the ground was, day by day: under plants, under legumes, covered by something else, or
//! bare.

use super::calendar_years;
use crate::knowledge::{Knowledge, Role};
use crate::records::{Bed, Garden, Place, Planting, Residue};
use crate::season::Date;

/// A year of one bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroundYear {
    /// The calendar year.
    pub year: i32,
    /// Days on record.
    pub days: f64,
    /// Days under plants; a section counts for its part.
    pub planted: f64,
    /// Days with a legume among the plants.
    pub legumes: f64,
    /// Days on which nothing stood and nothing covered the soil.
    pub bare: f64,
}

/// What is known of one day of a place.
#[derive(Clone, Copy, Default)]
struct Day {
    planted: bool,
    legume: bool,
    covered: bool,
}

/// The years of a bed from its first day on record to the day before `today`. Residue left lying
/// and mulch cover the soil until the next planting, a treatment while it lasts.
#[must_use]
pub fn ground(
    knowledge: &Knowledge,
    garden: &Garden,
    bed: &Bed,
    from: Date,
    today: Date,
) -> Vec<GroundYear> {
    let places = garden.places(&bed.name);
    let count = places.len().max(1) as f64;
    let days: Vec<Vec<Day>> =
        places.iter().map(|place| days(knowledge, garden, place, from, today)).collect();
    calendar_years(from, today)
        .map(|(year, first, end)| {
            let (first, end) = (index(from, first), index(from, end));
            let sum = |is: fn(&Day) -> bool| {
                days.iter()
                    .map(|days| days[first..end].iter().filter(|day| is(day)).count() as f64)
                    .sum::<f64>()
                    / count
            };
            GroundYear {
                year,
                days: (end - first) as f64,
                planted: sum(|day| day.planted),
                legumes: sum(|day| day.legume),
                bare: sum(|day| !day.planted && !day.covered),
            }
        })
        .collect()
}

fn index(from: Date, day: Date) -> usize {
    usize::try_from((day - from).num_days()).unwrap_or(0)
}

fn days(
    knowledge: &Knowledge,
    garden: &Garden,
    place: &Place,
    from: Date,
    today: Date,
) -> Vec<Day> {
    let mut days = vec![Day::default(); index(from, today)];
    let mut fill = |start: Date, end: Date, set: &dyn Fn(&mut Day)| {
        let (start, end) = (index(from, start.max(from)), index(from, end.min(today)));
        if start < end {
            days[start..end].iter_mut().for_each(set);
        }
    };
    let plantings: Vec<&Planting> = garden
        .plantings
        .at(place)
        .filter(|planting| {
            planting.stood.start < today && knowledge.crops[planting.crop].role != Role::Fungus
        })
        .collect();
    let next_after = |day: Date| {
        plantings.iter().map(|next| next.stood.start).find(|start| *start >= day).unwrap_or(today)
    };
    for planting in &plantings {
        let end = planting.stood.end.map_or(today, |end| end.min(today));
        let legume = knowledge.crops[planting.crop].is_legume();
        fill(planting.stood.start, end, &|day| {
            day.planted = true;
            day.legume |= legume;
        });
        if planting.residue == Some(Residue::Left) {
            fill(end, next_after(end), &|day| day.covered = true);
        }
    }
    for spread in garden.amendments.at(place) {
        if covers(knowledge, &spread.material) {
            fill(spread.date, next_after(spread.date), &|day| day.covered = true);
        }
    }
    for treatment in garden.treatments.at(place) {
        let end = treatment.lasted.end.map_or(today, |end| end.min(today));
        fill(treatment.lasted.start, end, &|day| day.covered = true);
    }
    days
}

/// Whether a material lies on the soil as a cover.
fn covers(knowledge: &Knowledge, material: &str) -> bool {
    let is_mulch = knowledge.materials.find(material).is_some_and(|row| &*row.kind == "mulch");
    is_mulch || material.contains("hay") || material.contains("leaf")
}
