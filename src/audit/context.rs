//! What rules look at: one bed, with every planting judged as it was made, from earlier records
//! only; and the garden as a whole for the few questions that no bed can answer.

use std::cell::OnceCell;

use super::outlook::Outlook;
use super::sums::Sums;
use crate::assess::season::{HazardEffect, HazardKind};
use crate::assess::{Parts, Proposal, Reason};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Bed, Garden, Place, Planting};
use crate::season::{Date, add_days};
use crate::state::nutrients::Ledger;
use crate::state::{BedState, Chronicle};

/// A planting with the judgment it would have got on its day, each kind of reason worked out when a
/// rule asks for it.
pub struct Judged<'g> {
    /// The planting.
    pub planting: &'g Planting,
    /// The state of its place on the day before.
    pub state: BedState<'g>,
    proposal: Proposal,
    disease: OnceCell<Vec<Reason>>,
    sequence: OnceCell<Vec<Reason>>,
    returns: OnceCell<Option<Reason>>,
    nutrients: Option<Reason>,
}

impl<'g> Judged<'g> {
    fn of(garden: &Garden, planting: &'g Planting, state: BedState<'g>) -> Self {
        let proposal = Proposal {
            method: planting.method,
            resistance: planting.resistance.clone(),
            rootstock: planting.rootstock.clone(),
            harvest: first_harvest(garden, planting),
            variety: planting.variety.clone(),
            ..Proposal::of(planting.crop, planting.stood.start)
        };
        let (disease, sequence, returns) = (OnceCell::new(), OnceCell::new(), OnceCell::new());
        Self { planting, state, proposal, disease, sequence, returns, nutrients: None }
    }

    fn parts(&self) -> Parts<'_, 'g> {
        Parts::of(&self.state, &self.proposal)
    }

    /// What diseases that were seen and named by its day give.
    pub(super) fn disease(&self) -> &[Reason] {
        self.disease.get_or_init(|| self.parts().disease())
    }

    /// What its predecessors and their residues give.
    pub(super) fn sequence(&self) -> &[Reason] {
        self.sequence.get_or_init(|| self.parts().sequence())
    }

    /// The same crop or family too soon.
    pub(super) fn return_time(&self) -> Option<&Reason> {
        self.returns.get_or_init(|| self.parts().return_time()).as_ref()
    }

    /// What the bed fed it, if anything there may have tied nitrogen up.
    pub(super) fn nutrients(&self) -> Option<&Reason> {
        self.nutrients.as_ref()
    }
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
        let mut chronicles = Chronicles { garden, knowledge, policy, of: Vec::new() };
        let judged = garden
            .plantings
            .iter()
            .filter(|planting| planting.stood.start <= today)
            .map(|planting| {
                let before = add_days(planting.stood.start, -1.0);
                let state = chronicles.at(&planting.place).state(before);
                let mut judged = Judged::of(garden, planting, state);
                // Books are cheapest in the order of their days, and dear where no rule asks.
                if !planting.is_volunteer() && outlook.may_tie_up(&judged.state) {
                    judged.nutrients = judged.parts().nutrients();
                }
                judged
            })
            .collect();
        let places = garden.places(&bed.name);
        let ledgers = places.iter().map(|place| chronicles.at(place).ledger(today)).collect();
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

/// The records of a bed's places, each read once.
struct Chronicles<'a> {
    garden: &'a Garden,
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    of: Vec<(Place, Chronicle<'a>)>,
}

impl<'a> Chronicles<'a> {
    fn at(&mut self, place: &Place) -> &Chronicle<'a> {
        let at = self.of.iter().position(|(of, _)| of == place).unwrap_or_else(|| {
            let chronicle = Chronicle::of(self.garden, self.knowledge, self.policy, place);
            self.of.push((place.clone(), chronicle));
            self.of.len() - 1
        });
        &self.of[at].1
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
