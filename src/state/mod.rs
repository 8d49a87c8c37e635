//! The state of a bed at a date: what stands, what stood, and what the soil still holds.
//!
//! A pure fold over one garden's records; nothing after the date is looked at, so that the past
//! can be replayed.

mod causes;
mod falling;
mod half_life;
mod inoculum;
pub mod nutrients;
mod occupancy;
pub mod stand;
mod surveys;
mod treated;
mod warmth;

pub use causes::{Candidate, Check, Episode, checks, diagnose};
pub use falling::Below;
pub use half_life::{HalfLife, half_life};
pub use inoculum::{DoseEvent, DoseStep, Inoculum, Presence, certainty_weight, extent_share};
pub use surveys::{Survey, survey_odds, surveys};
pub use treated::{Lowering, NotLowered, SOIL_TREATMENTS, film_heats, lowering, suppression};
pub use warmth::warmth;

use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Amendment, Bed, Garden, Observation, Place, Planting, Treatment};
use crate::season::Date;
use crate::units::SquareMetres;

/// A bed, or a section of one, at a date.
#[derive(Debug)]
pub struct BedState<'g> {
    /// Where.
    pub place: Place,
    /// When.
    pub date: Date,
    /// The bed, if it is described.
    pub bed: Option<&'g Bed>,
    /// First day on record; before it nothing is known. `None` if nothing is on record.
    pub known_from: Option<Date>,
    /// Plantings up to the date, by day planted, volunteers included.
    pub plantings: Vec<&'g Planting>,
    /// Observations up to the date, by day.
    pub observations: Vec<&'g Observation>,
    /// Amendments up to the date, by day.
    pub amendments: Vec<&'g Amendment>,
    /// Treatments begun by the date, by day.
    pub treatments: Vec<&'g Treatment>,
    /// Climate of the garden, if it is written.
    pub climate: Option<Climate<'g>>,
    /// The treatment that put new soil in, if any: the history begins there.
    pub new_soil: Option<&'g Treatment>,
    /// The books of N, P and K.
    pub nutrients: nutrients::Ledger,
    /// What the soil holds of each pathogen seen or suspected here, by pathogen.
    pub inocula: Vec<Inoculum<'g>>,
    /// Diseases whose cause is not known, with the causes they may have.
    pub episodes: Vec<Episode<'g>>,
}

impl<'g> BedState<'g> {
    /// The state of a place at the end of a day.
    #[must_use]
    pub fn at(
        garden: &'g Garden,
        knowledge: &Knowledge,
        policy: &Policy,
        place: &Place,
        date: Date,
    ) -> Self {
        let new_soil = new_soil(garden, place, date);
        let begins = new_soil.map(|treatment| treatment.lasted.start);
        let counts = |day: Date| day <= date && begins.is_none_or(|begins| day >= begins);
        let stood = |planting: &Planting| {
            planting.stood.start <= date
                && begins.is_none_or(|begins| planting.stood.end.is_none_or(|end| end > begins))
        };
        let plantings: Vec<&Planting> = garden
            .plantings
            .iter()
            .filter(|planting| planting.place.bears_on(place) && stood(planting))
            .collect();
        let observations: Vec<&Observation> = garden
            .observations
            .iter()
            .filter(|seen| seen.place.bears_on(place) && counts(seen.date))
            .collect();
        let amendments = garden
            .amendments
            .iter()
            .filter(|amendment| amendment.place.bears_on(place) && counts(amendment.date))
            .collect();
        let treatments: Vec<&Treatment> = garden
            .treatments
            .iter()
            .filter(|treatment| treatment.place.bears_on(place) && counts(treatment.lasted.start))
            .collect();
        let beside: Vec<&Observation> = garden
            .observations
            .iter()
            .filter(|seen| {
                seen.place.bed == place.bed && !seen.place.bears_on(place) && counts(seen.date)
            })
            .collect();
        let climate = Climate::of(garden);
        let episodes = causes::episodes(garden, knowledge, policy, &observations);
        let inocula = inoculum::inocula(
            knowledge,
            policy,
            &inoculum::Timeline {
                date,
                plantings: &plantings,
                observations: &observations,
                beside: &beside,
                treatments: &treatments,
                climate: climate.as_ref(),
                episodes: &episodes,
            },
        );
        Self {
            place: place.clone(),
            date,
            bed: garden.bed(&place.bed),
            known_from: begins.or_else(|| garden.known_from(place)).filter(|from| *from <= date),
            plantings,
            observations,
            amendments,
            treatments,
            climate,
            new_soil,
            nutrients: nutrients::Ledger::at(garden, knowledge, policy, place, begins, date),
            inocula,
            episodes,
        }
    }

    /// Area of the place: of the bed, or as much of it as its sections are many.
    #[must_use]
    pub fn area(&self) -> Option<SquareMetres> {
        self.bed.map(Bed::area)
    }

    /// What stands on the date.
    pub fn standing(&self) -> impl Iterator<Item = &'g Planting> {
        let date = self.date;
        self.plantings.iter().copied().filter(move |planting| planting.stood.holds(date))
    }

    /// What stood last and is gone: plantings cleared within a month of the latest clearing,
    /// volunteers left out.
    #[must_use]
    pub fn predecessors(&self) -> Vec<&'g Planting> {
        self.predecessors_by(self.date)
    }

    /// What had stood last by an earlier day.
    #[must_use]
    pub fn predecessors_by(&self, day: Date) -> Vec<&'g Planting> {
        occupancy::predecessors(&self.plantings, day)
    }
}

/// The latest treatment that put new soil into a place, by a day.
fn new_soil<'g>(garden: &'g Garden, place: &Place, date: Date) -> Option<&'g Treatment> {
    garden.treatments.iter().rfind(|treatment| {
        treatment.practice.replaces_soil()
            && treatment.lasted.start <= date
            && treatment.place.bears_on(place)
            // New soil in one section does not renew the bed.
            && (treatment.place.section.is_none() || treatment.place.section == place.section)
    })
}

/// The nutrient books of a place up to a day.
#[must_use]
pub fn ledger(
    garden: &Garden,
    knowledge: &Knowledge,
    policy: &Policy,
    place: &Place,
    date: Date,
) -> nutrients::Ledger {
    let begins = new_soil(garden, place, date).map(|treatment| treatment.lasted.start);
    nutrients::Ledger::at(garden, knowledge, policy, place, begins, date)
}
