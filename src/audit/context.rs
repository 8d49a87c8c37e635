//! What rules look at: every planting judged as it was made, from earlier records only.

use crate::assess::{Assessment, Proposal, assess};
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Planting};
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

/// Everything a rule may read.
pub struct Context<'a> {
    /// The trade's knowledge.
    pub knowledge: &'a Knowledge,
    /// Our choices.
    pub policy: &'a Policy,
    /// The records.
    pub garden: &'a Garden,
    /// The day of the audit.
    pub today: Date,
    /// Every planting up to that day, judged; volunteers included.
    pub judged: Vec<Judged<'a>>,
    /// The nutrient books of every place up to that day.
    pub ledgers: Vec<Ledger>,
}

impl<'a> Context<'a> {
    pub(super) fn new(
        knowledge: &'a Knowledge,
        policy: &'a Policy,
        garden: &'a Garden,
        today: Date,
    ) -> Self {
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
            .beds
            .iter()
            .flat_map(|bed| garden.places(&bed.name))
            .map(|place| ledger(garden, knowledge, policy, &place, today))
            .collect();
        Self { knowledge, policy, garden, today, judged, ledgers }
    }
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
