//! From garden to plan: the model made, solved, and its answer judged planting by planting.

use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge, PathogenId, Role};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Certainty, Extent, Garden, Observation, Place, Planting, Seen};
use crate::season::Date;

use super::answer::answer;
use super::error::PlanError;
use super::goals::ask_for;
use super::half_months::HalfMonths;
use super::hours::keep_within;
use super::model::{
    Beds, Made, Occurrence, PlanPlace, Shared, choices, courses, kept_company, lay_out_company,
    lay_out_covers, occurrences, places,
};
use super::outcome::{GardenPlan, Goal, WishBy};
use super::solve::{Effort, Instance, Neighbours, Progress, Wish, side_by_side, solve};

/// A bed that is given up to a disease, to see what a plan would make of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Lost {
    /// The place.
    pub place: Place,
    /// The disease.
    pub pathogen: PathogenId,
}

/// What stands in a place, to stay until a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Stays {
    /// The place.
    pub place: Place,
    /// Until when.
    pub until: Date,
}

/// What is asked for.
#[derive(Clone, Debug)]
pub struct PlanAsk {
    /// Today: the plan begins with the next half-month.
    pub today: Date,
    /// Half-months, 96 at most.
    pub half_months: u8,
    /// Plantings to keep.
    pub kept: Vec<Planting>,
    /// Whether nothing is planted beside them: to see what a plan already made is worth.
    pub only_kept: bool,
    /// Beds given up.
    pub lost: Vec<Lost>,
    /// What stands longer than it usually would.
    pub stays: Vec<Stays>,
    /// Hours a week there are for the garden; `None` for no limit.
    pub hours_a_week: Option<f64>,
    /// Goals for the ground.
    pub goals: Vec<Goal>,
    /// The seed.
    pub seed: u64,
    /// The work allowed; `None` for what suits the size.
    pub effort: Option<Effort>,
}

impl PlanAsk {
    /// A plan of so many half-months from a day on.
    #[must_use]
    pub fn new(today: Date, half_months: u8) -> Self {
        Self {
            today,
            half_months,
            kept: Vec::new(),
            only_kept: false,
            lost: Vec::new(),
            stays: Vec::new(),
            hours_a_week: None,
            goals: Vec::new(),
            seed: 1,
            effort: None,
        }
    }
}

/// Plans a garden. `told` hears how far the search has come.
pub fn garden_plan(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    ask: &PlanAsk,
    told: &dyn Fn(Progress),
) -> Result<GardenPlan, PlanError> {
    let half_months = HalfMonths::from(ask.today, ask.half_months);
    let mut garden = garden.clone();
    for lost in &ask.lost {
        lose(&mut garden, lost, ask.today);
    }
    for stays in &ask.stays {
        stay(&mut garden, stays, ask.today)?;
    }
    let begin = half_months.day(0);
    // What the records already say of later days is decided.
    let (later, so_far): (Vec<Planting>, Vec<Planting>) = std::mem::take(&mut garden.plantings)
        .into_iter()
        .partition(|planting| planting.stood.start >= begin && !planting.is_volunteer());
    garden.plantings = so_far.into();
    let mut kept = later;
    kept.extend(ask.kept.iter().filter(|kept| kept.stood.start >= begin).cloned());
    let climate = Climate::of(&garden).ok_or(PlanError::NoClimate)?;
    if garden.beds.is_empty() {
        return Err(PlanError::NoBed);
    }
    let season = occurrences(knowledge, &garden, half_months);
    let wishes = &season.wishes;
    if wishes.is_empty() {
        return Err(PlanError::NoWish);
    }
    let mut places = places(knowledge, policy, &garden, half_months);
    // What is kept between what stands takes no place of its own.
    let (between, kept): (Vec<Planting>, Vec<Planting>) =
        kept.into_iter().partition(|kept| stands_between(knowledge, &places, half_months, kept));
    for kept in &between {
        let place = places.iter_mut().find(|place| kept.place.bears_on(&place.place));
        if let Some(place) = place {
            kept_company(place, kept);
        }
    }
    if !ask.only_kept {
        lay_out_company(knowledge, policy, half_months, &mut places);
    }
    lay_out_covers(knowledge, policy, half_months, &mut places);
    let crops = crops_at_hand(wishes, &kept, &places);
    let courses = courses(knowledge, policy, &climate, half_months, &crops);
    let mut families: Vec<Box<str>> =
        crops.iter().map(|crop| knowledge.crops[*crop].family.clone()).collect();
    families.sort();
    families.dedup();
    let shared =
        Shared { knowledge, policy, half_months, courses: &courses, wishes, families: &families };
    let kept_of = kept_by_place(&kept, &places)?;
    let made: Vec<Made> =
        side_by_side(places.len(), |at| choices(shared, &places[at], &kept_of[at], ask.only_kept));
    let standing: Vec<f64> =
        wishes.iter().map(|wish| standing_m2(knowledge, wish, &places)).collect();
    let mut instance = instance(shared, &places, &made, &standing);
    ask_for(knowledge, policy, &places, &ask.goals, &mut instance);
    let beds = Beds::new(shared, &places, &made);
    let effort = ask.effort.clone().unwrap_or_else(|| Effort::of_garden(&instance));
    let mut solved = solve(&instance, &beds, &effort, ask.seed, told)
        .ok_or_else(|| PlanError::KeptOverlap(overlapping(&kept_of, &places)))?;
    if let Some(a_week) = ask.hours_a_week.filter(|_| !ask.only_kept) {
        solved = keep_within(&instance, &beds, (solved, a_week), &effort, told);
    }
    Ok(answer(&beds, &instance, &solved, (season.clone(), &standing), (ask, effort)))
}

/// Gives what stands in a place a later end.
fn stay(garden: &mut Garden, stays: &Stays, today: Date) -> Result<(), PlanError> {
    let mut stands = false;
    for planting in &mut garden.plantings {
        if planting.place.bears_on(&stays.place)
            && planting.stood.holds(today)
            && !planting.is_volunteer()
        {
            planting.stood.end = Some(stays.until);
            stands = true;
        }
    }
    if stands { Ok(()) } else { Err(PlanError::NothingStands(stays.place.clone())) }
}

/// A laboratory's answer for a bed, and nothing left of what stands in it.
fn lose(garden: &mut Garden, lost: &Lost, today: Date) {
    for planting in &mut garden.plantings {
        if planting.place.bears_on(&lost.place) && planting.stood.holds(today) {
            planting.stood.end = Some(today);
        }
    }
    garden.observations.push(Observation {
        place: lost.place.clone(),
        date: today,
        crop: None,
        seen: Seen::Pathogen(lost.pathogen),
        symptom: Box::default(),
        extent: Some(Extent::Severe),
        certainty: Certainty::Laboratory,
        note: Box::default(),
        origin: Origin::new("what if", 0),
    });
    garden.sort();
}

/// Crops wished for or kept, and the covers of all places.
fn crops_at_hand(wishes: &[Occurrence], kept: &[Planting], places: &[PlanPlace]) -> Vec<CropId> {
    let mut crops: Vec<CropId> = wishes.iter().map(|wish| wish.crop).collect();
    crops.extend(kept.iter().map(|kept| kept.crop));
    crops.extend(places.iter().flat_map(|place| place.covers.iter().map(|cover| cover.crop)));
    crops.sort();
    crops.dedup();
    crops
}

/// Whether a kept planting is a cover sown while something else stands in its place.
fn stands_between(
    knowledge: &Knowledge,
    places: &[PlanPlace],
    half_months: HalfMonths,
    kept: &Planting,
) -> bool {
    knowledge.crops[kept.crop].role == Role::Cover
        && places.iter().any(|place| {
            let free = half_months.day(place.free);
            place.place == kept.place && !place.standing.is_empty() && kept.stood.start < free
        })
}

fn kept_by_place<'k>(
    kept: &'k [Planting],
    places: &[PlanPlace],
) -> Result<Vec<Vec<&'k Planting>>, PlanError> {
    let mut of_place: Vec<Vec<&Planting>> = vec![Vec::new(); places.len()];
    for planting in kept {
        // What is kept in a whole bed takes each of its sections.
        let mut found = false;
        for (at, place) in places.iter().enumerate() {
            if planting.place.bears_on(&place.place) {
                found = true;
                of_place[at].push(planting);
            }
        }
        if !found {
            return Err(PlanError::NoSuchPlace(planting.place.clone()));
        }
    }
    Ok(of_place)
}

/// The first place in which two kept plantings meet.
fn overlapping(kept: &[Vec<&Planting>], places: &[PlanPlace]) -> Place {
    let meets = |kept: &Vec<&Planting>| {
        kept.iter()
            .enumerate()
            .any(|(at, one)| kept[at + 1..].iter().any(|other| one.stood.overlaps(&other.stood)))
    };
    let at = kept.iter().position(meets).unwrap_or(0);
    places[at].place.clone()
}

/// Full crops that what stands brings to a wish, m2.
fn standing_m2(knowledge: &Knowledge, wish: &Occurrence, places: &[PlanPlace]) -> f64 {
    if matches!(wish.by, WishBy::Area(_)) {
        return 0.0;
    }
    let standing = places.iter().flat_map(|place| {
        let alone = place.standing.iter().filter(|standing| standing.crop == wish.crop);
        alone.map(|standing| (standing, standing.area.0.min(place.area.0)))
    });
    standing
        .map(|(standing, area)| match standing.harvests.as_slice() {
            [] if knowledge.crops[standing.crop].role == Role::Cover => 0.0,
            [] => area,
            // Each season bears a crop of its own.
            harvests => {
                let served =
                    |harvest: &(Date, Date)| wish.served_by(standing.planted, Some(*harvest));
                area * harvests.iter().map(served).sum::<f64>()
            }
        })
        .sum()
}

fn instance(shared: Shared<'_>, places: &[PlanPlace], made: &[Made], standing: &[f64]) -> Instance {
    let wishes = shared.wishes.iter().zip(standing).map(|(wish, standing)| Wish {
        worth: 1.0,
        wanted: (wish.wanted_m2.unwrap_or(0.0) - standing).max(0.0),
        beyond: shared.policy.plan_beyond,
    });
    let mut neighbours = Vec::new();
    for (one, place) in places.iter().enumerate() {
        for (other, beside) in places.iter().enumerate().skip(one + 1) {
            if place.place.bed == beside.place.bed {
                let smaller = place.area.0.min(beside.area.0);
                let charge = smaller * shared.policy.plan_neighbours;
                neighbours.push(Neighbours { one, other, charge });
            }
        }
    }
    Instance {
        slots: shared.half_months.count(),
        places: made.iter().map(|made| made.choices.clone()).collect(),
        wishes: wishes.collect(),
        neighbours,
    }
}
