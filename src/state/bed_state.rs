//! The state of a bed at a date: what stands, what stood, and what the soil still holds.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use itertools::Itertools;

use super::causes::{self, Episode};
use super::chronicle::Chronicle;
use super::inoculum::{self, Inoculum};
use super::nutrients::{Ledger, RunningBooks};
use super::occupancy;
use crate::climate::Climate;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Amendment, Bed, Garden, Observation, Place, Planting, Treatment};
use crate::season::Date;
use crate::units::SquareMetres;

/// A bed, or a section of one, at a date. What takes reckoning is reckoned at the first question:
/// who asks of diseases pays nothing for the nutrient books.
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
    /// Observations up to the date in other sections of the bed.
    pub(super) beside: Vec<&'g Observation>,
    pub(super) garden: &'g Garden,
    pub(super) knowledge: &'g Knowledge,
    pub(super) policy: &'g Policy,
    pub(super) books: Arc<Mutex<RunningBooks<'g>>>,
    pub(super) asked: Asked<'g>,
}

/// What was asked of a state so far.
#[derive(Default)]
pub(super) struct Asked<'g> {
    nutrients: OnceLock<Ledger>,
    seen: OnceLock<Vec<Inoculum<'g>>>,
    suspected: OnceLock<Vec<Inoculum<'g>>>,
    episodes: OnceLock<Vec<Episode<'g>>>,
}

impl<'g> BedState<'g> {
    /// The state of a place at the end of a day.
    #[must_use]
    pub fn at(
        garden: &'g Garden,
        knowledge: &'g Knowledge,
        policy: &'g Policy,
        place: &Place,
        date: Date,
    ) -> Self {
        Chronicle::of(garden, knowledge, policy, place).state(date)
    }

    /// The books of N, P and K.
    #[must_use]
    pub fn nutrients(&self) -> &Ledger {
        self.asked.nutrients.get_or_init(|| {
            let begins = self.new_soil.map(|treatment| treatment.lasted.start);
            // Books are put back whole: a thread that panicked while it had them left none.
            let mut books = self.books.lock().unwrap_or_else(PoisonError::into_inner);
            books.at(begins, self.date)
        })
    }

    /// What the soil holds of each pathogen seen or suspected here, or seen beside, by pathogen.
    pub fn inocula(&self) -> impl Iterator<Item = &Inoculum<'g>> {
        self.suspected()
            .iter()
            .merge_by(self.seen(), |suspected, seen| suspected.pathogen <= seen.pathogen)
    }

    /// What the soil holds of each pathogen that was seen and named here or in another section of
    /// the bed, by pathogen.
    #[must_use]
    pub fn seen(&self) -> &[Inoculum<'g>] {
        self.asked.seen.get_or_init(|| inoculum::seen(self))
    }

    /// What the soil may hold of each pathogen that an unknown disease may be, by pathogen; those
    /// that were named here are left out.
    #[must_use]
    pub fn suspected(&self) -> &[Inoculum<'g>] {
        self.asked.suspected.get_or_init(|| inoculum::suspected(self))
    }

    /// Diseases whose cause is not known, with the causes they may have.
    #[must_use]
    pub fn episodes(&self) -> &[Episode<'g>] {
        self.asked.episodes.get_or_init(|| {
            causes::episodes(self.garden, self.knowledge, self.policy, &self.observations)
        })
    }

    /// The trade's knowledge by which the state is told.
    #[must_use]
    pub fn knowledge(&self) -> &'g Knowledge {
        self.knowledge
    }

    /// The choices of ours by which it is told.
    #[must_use]
    pub fn policy(&self) -> &'g Policy {
        self.policy
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

impl std::fmt::Debug for BedState<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("BedState")
            .field("place", &self.place)
            .field("date", &self.date)
            .field("plantings", &self.plantings)
            .field("observations", &self.observations)
            .finish_non_exhaustive()
    }
}
