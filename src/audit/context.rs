//! What rules look at: one bed, with every planting judged as it was made, from earlier records
//! only; and the garden as a whole for the few questions that no bed can answer.

use super::outlook::Outlook;
use super::sums::Sums;
use crate::assess::season::{HazardEffect, HazardKind};
use crate::assess::{Assessment, Proposal, assess};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Bed, Garden, Planting};
use crate::season::{Date, add_days};
use crate::state::nutrients::Ledger;
use crate::state::{BedState, ledger};

/// A planting with the judgment it would have got on its day.
#[derive(Debug)]
pub struct Judged<'g> {
    /// The planting.
    pub planting: &'g Planting,
    /// The state of its place on the day before.
    pub state: BedState<'g>,
    /// The judgment.
    pub assessment: Assessment,
}

/// Everything a rule may read of a bed.
pub struct Context<'a> {
    /// The trade's knowledge.
    pub knowledge: &'a Knowledge,
    /// Our choices.
    pub policy: &'a Policy,
    /// The bed's records, with the garden's site and climate.
    pub garden: &'a Garden,
    /// The bed.
    pub bed: &'a Bed,
    /// The day of the audit.
    pub today: Date,
    /// Every planting up to that day, judged; volunteers included.
    pub judged: Vec<Judged<'a>>,
    /// The nutrient books of every place of the bed up to that day.
    pub ledgers: Vec<Ledger>,
    outlook: &'a Outlook<'a>,
}

impl<'a> Context<'a> {
    pub(super) fn new(
        whole: &Whole<'a>,
        garden: &'a Garden,
        bed: &'a Bed,
        outlook: &'a Outlook<'a>,
    ) -> Self {
        let Whole { knowledge, policy, today, .. } = *whole;
        let judged = garden
            .plantings
            .iter()
            .filter(|planting| planting.stood.start <= today)
            .map(|planting| {
                let before = add_days(planting.stood.start, -1.0);
                let state = BedState::at(garden, knowledge, policy, &planting.place, before);
                let proposal = Proposal {
                    method: planting.method,
                    resistance: planting.resistance.clone(),
                    rootstock: planting.rootstock.clone(),
                    harvest: first_harvest(garden, planting),
                    variety: planting.variety.clone(),
                    ..Proposal::of(planting.crop, planting.stood.start)
                };
                let assessment = assess(knowledge, policy, &state, &proposal);
                Judged { planting, state, assessment }
            })
            .collect();
        let ledgers = garden
            .places(&bed.name)
            .iter()
            .map(|place| ledger(garden, knowledge, policy, place, today))
            .collect();
        Self { knowledge, policy, garden, bed, today, judged, ledgers, outlook }
    }

    /// Plantings that somebody made, up to the day of the audit, by day.
    pub(super) fn made(&self) -> impl Iterator<Item = &'a Planting> {
        let today = self.today;
        self.garden
            .plantings
            .iter()
            .filter(move |planting| !planting.is_volunteer() && planting.stood.start <= today)
    }

    /// The worst that the site's normal year does to a planting.
    pub(super) fn worst_of_season(
        &self,
        planting: &Planting,
    ) -> Option<(HazardEffect, HazardKind)> {
        self.outlook.worst(planting)
    }
}

/// What a rule may read of the whole garden.
#[derive(Clone, Copy)]
pub struct Whole<'a> {
    /// The trade's knowledge.
    pub knowledge: &'a Knowledge,
    /// Our choices.
    pub policy: &'a Policy,
    /// What all beds share: site, climate, weather, exceptions.
    pub garden: &'a Garden,
    /// The records of all beds, summed up.
    pub sums: &'a Sums,
    /// The day of the audit.
    pub today: Date,
}

/// The first picking of a planting, if any is on record.
fn first_harvest(garden: &Garden, planting: &Planting) -> Option<Date> {
    garden
        .harvests
        .iter()
        .find(|harvest| {
            harvest.crop == planting.crop
                && harvest.place.bears_on(&planting.place)
                && harvest.date >= planting.stood.start
                && planting.stood.end.is_none_or(|end| harvest.date <= end)
        })
        .map(|harvest| harvest.date)
}
