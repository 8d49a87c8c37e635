//! A place's records in order, read once, so that its state can be told on one day after another.

use std::sync::{Arc, Mutex, PoisonError};

use super::bed_state::{Asked, BedState};
use super::nutrients::{Ledger, RunningBooks};
use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Amendment, Bed, Garden, Observation, Place, Planting, Treatment};
use crate::season::Date;

/// The records of a bed, or of a section of one, with the books carried along. The state of a day
/// is the same as if it were the only one asked; days asked in order cost least.
pub struct Chronicle<'g> {
    garden: &'g Garden,
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    place: Place,
    bed: Option<&'g Bed>,
    known_from: Option<Date>,
    plantings: Vec<&'g Planting>,
    observations: Vec<&'g Observation>,
    beside: Vec<&'g Observation>,
    amendments: Vec<&'g Amendment>,
    treatments: Vec<&'g Treatment>,
    climate: Option<Climate<'g>>,
    books: Arc<Mutex<RunningBooks<'g>>>,
}

impl<'g> Chronicle<'g> {
    /// The records of a place.
    #[must_use]
    pub fn of(
        garden: &'g Garden,
        knowledge: &'g Knowledge,
        policy: &'g Policy,
        place: &Place,
    ) -> Self {
        let (observations, beside): (Vec<&Observation>, Vec<&Observation>) =
            garden.observations.of(&place.bed).partition(|seen| seen.place.bears_on(place));
        Self {
            garden,
            knowledge,
            policy,
            place: place.clone(),
            bed: garden.bed(&place.bed),
            known_from: garden.known_from(place),
            plantings: garden.plantings.at(place).collect(),
            observations,
            beside,
            amendments: garden.amendments.at(place).collect(),
            treatments: garden.treatments.at(place).collect(),
            climate: Climate::of(garden),
            books: Arc::new(Mutex::new(RunningBooks::of(garden, knowledge, policy, place))),
        }
    }

    /// The state of the place at the end of a day; nothing after it is looked at, so that the past
    /// can be replayed.
    #[must_use]
    pub fn state(&self, date: Date) -> BedState<'g> {
        let new_soil = self.new_soil(date);
        let begins = new_soil.map(|treatment| treatment.lasted.start);
        let counts = |day: Date| day <= date && begins.is_none_or(|begins| day >= begins);
        let stood = |planting: &Planting| {
            planting.stood.start <= date
                && begins.is_none_or(|begins| planting.stood.end.is_none_or(|end| end > begins))
        };
        BedState {
            place: self.place.clone(),
            date,
            bed: self.bed,
            known_from: begins.or(self.known_from).filter(|from| *from <= date),
            plantings: of_those(&self.plantings, |one| stood(one)),
            observations: of_those(&self.observations, |seen| counts(seen.date)),
            amendments: of_those(&self.amendments, |one| counts(one.date)),
            treatments: of_those(&self.treatments, |one| counts(one.lasted.start)),
            climate: self.climate.clone(),
            new_soil,
            beside: of_those(&self.beside, |seen| counts(seen.date)),
            garden: self.garden,
            knowledge: self.knowledge,
            policy: self.policy,
            books: Arc::clone(&self.books),
            asked: Asked::default(),
        }
    }

    /// The nutrient books up to a day.
    #[must_use]
    pub fn ledger(&self, date: Date) -> Ledger {
        let begins = self.new_soil(date).map(|treatment| treatment.lasted.start);
        // Books are put back whole: a thread that panicked while it had them left none.
        self.books.lock().unwrap_or_else(PoisonError::into_inner).at(begins, date)
    }

    /// The latest treatment that put new soil into the place, by a day.
    fn new_soil(&self, date: Date) -> Option<&'g Treatment> {
        self.treatments.iter().copied().rfind(|treatment| {
            treatment.practice.replaces_soil()
                && treatment.lasted.start <= date
                // New soil in one section does not renew the bed.
                && (treatment.place.section.is_none()
                    || treatment.place.section == self.place.section)
        })
    }
}

fn of_those<'g, R>(records: &[&'g R], wanted: impl Fn(&R) -> bool) -> Vec<&'g R> {
    records.iter().copied().filter(|record| wanted(record)).collect()
}
