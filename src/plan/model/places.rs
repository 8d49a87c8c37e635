//! The places of a plan and when they are free.

use std::collections::BTreeMap;

use crate::advise::intersow::{Asked, intersow};
use crate::assess::season::{Kind, days_from, season};
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge, Role};
use crate::plan::half_months::HalfMonths;
use crate::plan::outcome::{Company, NoCompany, Standing};
use crate::policy::Policy;
use crate::records::{Garden, Place, Planting};
use crate::season::{Date, add_days};
use crate::state::nutrients::grown_by;
use crate::units::SquareMetres;

use super::covers::CoverAtHand;

/// A place with the records that bear on it.
#[derive(Clone, Debug)]
pub(in crate::plan) struct PlanPlace {
    pub(in crate::plan) place: Place,
    pub(in crate::plan) area: SquareMetres,
    /// Records of its bed alone, what stands given its end.
    pub(in crate::plan) garden: Garden,
    /// First half-month in which it is free.
    pub(in crate::plan) free: u8,
    /// What stands, with its end.
    pub(in crate::plan) standing: Vec<Standing>,
    /// Covers that may stand here.
    pub(in crate::plan) covers: Vec<CoverAtHand>,
    /// Legumes sown between what stands.
    pub(in crate::plan) company: Vec<Company>,
    /// Why there is none.
    pub(in crate::plan) alone: Option<NoCompany>,
}

impl PlanPlace {
    /// How well a cover serves if it is sown here in a half-month; 0 if it is none for it.
    pub(in crate::plan) fn serves(&self, cover: CropId, slot: u8) -> f64 {
        let known = self.covers.iter().find(|known| known.crop == cover);
        known.map_or(0.0, |known| known.serves(slot))
    }
}

/// Sections count as a bed's division if they take up most of it.
const DIVIDED: f64 = 0.8;
/// What is still picked is taken to go on so long after the last harvest noted.
const STILL_PICKED_DAYS: f64 = 21.0;

/// The places of a garden's beds: sections where the bed is divided, else whole beds.
pub(in crate::plan) fn places(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    half_months: HalfMonths,
) -> Vec<PlanPlace> {
    let mut found = Vec::new();
    for bed in &garden.beds {
        let of_bed = of_bed(garden, &bed.name);
        let areas = section_areas(&of_bed, &bed.name);
        let sum: f64 = areas.iter().map(|(_, area)| area).sum();
        let divided = areas.len() > 1 && sum >= DIVIDED * bed.area().0;
        let places: Vec<(Place, SquareMetres)> = if divided {
            let place = |(name, area): (Box<str>, f64)| {
                (Place::section(&bed.name, &name), SquareMetres(area))
            };
            areas.into_iter().map(place).collect()
        } else {
            vec![(Place::whole(&bed.name), bed.area())]
        };
        for (place, area) in places {
            found.push(plan_place(knowledge, policy, &of_bed, place, area, half_months));
        }
    }
    found
}

/// The records of one bed, with the site and its climate: a state asks for no others.
fn of_bed(garden: &Garden, bed: &str) -> Garden {
    Garden {
        site: garden.site.clone(),
        climate: garden.climate.clone(),
        weather: garden.weather.clone(),
        beds: garden.beds.of(bed).cloned().collect(),
        plantings: garden.plantings.of(bed).cloned().collect(),
        observations: garden.observations.of(bed).cloned().collect(),
        harvests: garden.harvests.of(bed).cloned().collect(),
        amendments: garden.amendments.of(bed).cloned().collect(),
        soil_tests: garden.soil_tests.of(bed).cloned().collect(),
        treatments: garden.treatments.of(bed).cloned().collect(),
        wishes: Vec::new(),
        exceptions: Vec::new(),
    }
}

/// The latest area noted of each section of plants that were grown, not of weeds.
fn section_areas(garden: &Garden, bed: &str) -> Vec<(Box<str>, f64)> {
    let mut areas: BTreeMap<Box<str>, f64> = BTreeMap::new();
    for planting in garden.plantings.iter().filter(|planting| !planting.is_volunteer()) {
        if let (Some(section), Some(area)) = (&planting.place.section, planting.area) {
            areas.insert(section.clone(), area.0);
        }
    }
    let order = garden.sections(bed);
    order
        .into_iter()
        .filter_map(|section| areas.get(&section).map(|area| (section.clone(), *area)))
        .collect()
}

fn plan_place(
    knowledge: &Knowledge,
    policy: &Policy,
    of_bed: &Garden,
    place: Place,
    area: SquareMetres,
    half_months: HalfMonths,
) -> PlanPlace {
    let begin = half_months.day(0);
    let mut garden = of_bed.clone();
    let mut standing = Vec::new();
    let mut free = begin;
    for planting in &mut garden.plantings {
        if !planting.stood.holds(begin) && planting.stood.start < begin {
            continue;
        }
        if !planting.place.bears_on(&place) {
            continue;
        }
        let Expected { ends, first, usual } = expected(knowledge, policy, of_bed, planting, begin);
        // A volunteer is pulled when the place is next planted.
        if planting.is_volunteer() {
            planting.stood.end = planting.stood.end.or(Some(begin));
            continue;
        }
        let stays = ends.is_none_or(|ends| ends >= half_months.end());
        let regrown = regrown(knowledge, policy, of_bed, planting, begin)
            .filter(|regrown| ends.is_some_and(|ends| *regrown < ends));
        standing.push(Standing {
            place: place.clone(),
            crop: planting.crop,
            planted: planting.stood.start,
            free: if stays { None } else { ends },
            harvests: ends
                .map_or_else(Vec::new, |ends| spans(begin, first, usual, (regrown, ends))),
            area: planting.area.filter(|taken| taken.0 < area.0).unwrap_or(area),
        });
        planting.stood.end = ends;
        free = free.max(ends.unwrap_or_else(|| half_months.end()));
    }
    let free = half_months.on_or_after(free);
    PlanPlace {
        place,
        area,
        garden,
        free,
        standing,
        covers: Vec::new(),
        company: Vec::new(),
        alone: None,
    }
}

/// When what stands is picked: until it is cleared, and where it is kept beyond its usual end and grows
/// again, until that end and once more from then on.
fn spans(
    begin: Date,
    first: Date,
    usual: Option<Date>,
    (regrown, ends): (Option<Date>, Date),
) -> Vec<(Date, Date)> {
    let first = first.max(begin).min(ends);
    match (regrown, usual) {
        (Some(regrown), Some(usual)) if usual.min(regrown) > first => {
            vec![(first, usual.min(regrown)), (regrown, ends)]
        }
        (Some(regrown), _) => vec![(regrown, ends)],
        (None, _) => vec![(first, ends)],
    }
}

/// First picking after the winter of what is decided to stay beyond it: some weeks after it grows
/// again; `None` for what is cleared before, and for what never stops.
fn regrown(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    planting: &Planting,
    begin: Date,
) -> Option<Date> {
    let ends = planting.stood.end?;
    let asked = Asked {
        crop: Some(planting.crop),
        planted: Some(planting.stood.start),
        ..Asked::default()
    };
    let stands = intersow(knowledge, policy, garden, &planting.place, begin, asked)?;
    let grows = stands.regrowth.from?;
    (grows < ends).then(|| add_days(grows, policy.plan_regrowth_days))
}

/// When what stands will be cleared and picked.
struct Expected {
    /// Day by which it is cleared, as decided, else as usual; `None` for what stays for years.
    ends: Option<Date>,
    /// Its first harvest.
    first: Date,
    /// Day by which it usually stops giving, whatever was decided; `None` for what stays for years.
    usual: Option<Date>,
}

fn expected(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    planting: &Planting,
    begin: Date,
) -> Expected {
    let crop = &knowledge.crops[planting.crop];
    if matches!(crop.role, Role::Perennial | Role::Fungus) || &*crop.life_cycle == "perennial" {
        return Expected { ends: planting.stood.end, first: begin, usual: None };
    }
    let picked = garden
        .harvests
        .at(&planting.place)
        .rfind(|harvest| harvest.crop == planting.crop)
        .map(|harvest| add_days(harvest.date, STILL_PICKED_DAYS));
    let course = Climate::of(garden).and_then(|climate| {
        let climate = climate.normals_only();
        let days = days_from(&climate, policy, planting.stood.start);
        let kind = Kind::of(&crop.key, &planting.variety);
        let on = planting.stood.start;
        let answer = season(knowledge, policy, &days, planting.crop, kind, planting.method, on);
        Some((answer.course.first_harvest.likely, answer.course.last_harvest?))
    });
    let climate = Climate::of(garden);
    let start = planting.stood.start;
    let grown_by = grown_by(knowledge, policy, climate.as_ref(), planting.crop, start);
    let first = course.and_then(|(first, _)| first).unwrap_or(grown_by);
    let grown = course.map_or(grown_by, |(_, last)| last);
    let usual = picked.map_or(grown, |picked| picked.max(grown)).max(begin);
    Expected { ends: planting.stood.end.or(Some(usual)), first, usual: Some(usual) }
}
