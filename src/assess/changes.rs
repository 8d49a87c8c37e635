//! What would change the answer: found by trying the changes in the model, cheapest first.

use super::in_season::opens_later;
use super::resisted::reach;
use super::soil_first::{self, Tried};
use super::{Assessment, Proposal, Verdict, assess};
use crate::assess::Claim;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::Date;
use crate::state::BedState;

/// A change that was tried and bettered the verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// What to do.
    pub what: What,
    /// The verdict then.
    pub verdict: Verdict,
    /// The first day then.
    pub earliest: Option<Date>,
    /// The day to which the start moves because the season bars it on the day proposed.
    pub season_opens: Option<Date>,
}

/// A change.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// Plant later.
    LaterDate(Date),
    /// A variety with recorded resistance against a pathogen.
    ResistantVariety(PathogenId),
    /// A resistant rootstock against a pathogen.
    Rootstock(Box<str>, PathogenId),
    /// Another section of the same bed.
    OtherSection(Box<str>),
    /// A crop that lowers a pathogen, grown and dug in first.
    SuppressiveCropFirst {
        /// The crop.
        crop: CropId,
        /// What it lowers.
        pathogen: PathogenId,
        /// The day planting follows.
        plant_on: Date,
    },
    /// A treatment of the soil first, in the season in which it works.
    Treatment {
        /// The practice.
        practice: Box<str>,
        /// What it lowers.
        pathogen: PathogenId,
        /// First day.
        from: Date,
        /// Last day.
        to: Date,
        /// The day planting follows.
        plant_on: Date,
    },
}

/// The changes that lead from wait or care to a better verdict: another section costs nothing, a
/// variety the price of its seed, a rootstock more, a later date a season, and work on the soil most.
#[must_use]
pub fn changes(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    assessment: &Assessment,
) -> Vec<Change> {
    let mut found = Vec::new();
    if assessment.verdict == Verdict::Plant {
        return found;
    }
    let proposal = &assessment.proposal;
    let judged = |place: &Place, tried: &Proposal| {
        let state = BedState::at(garden, knowledge, policy, place, tried.on);
        assess(knowledge, policy, &state, tried)
    };
    let mut attempt = |what: What, place_tried: &Place, tried: &Proposal| {
        let mut outcome = judged(place_tried, tried);
        let season_opens = opens_later(&outcome.reasons);
        if let Some(day) = season_opens {
            // Nothing but the season bars it: what the change does is seen when that opens, beside
            // the proposal as it was on the same day.
            outcome = judged(place_tried, &Proposal { on: day, ..tried.clone() });
            let waited = judged(place, &Proposal { on: day, ..proposal.clone() });
            if outcome.verdict >= waited.verdict {
                return;
            }
        }
        if outcome.verdict < assessment.verdict {
            let (verdict, earliest) = (outcome.verdict, outcome.earliest);
            found.push(Change { what, verdict, earliest, season_opens });
        }
    };
    for section in garden.sections(&place.bed) {
        if place.section.as_deref() != Some(&*section) {
            let other = Place::section(&place.bed, &section);
            attempt(What::OtherSection(section), &other, proposal);
        }
    }
    for pathogen in pathogens_in_the_way(assessment) {
        let standing = knowledge.standing(pathogen, proposal.crop);
        let by_code = knowledge
            .resistances
            .rows()
            .iter()
            .filter(|row| row.crop == proposal.crop)
            .filter_map(|row| Some((reach(knowledge, row.pathogen?, pathogen)?, row)))
            .min_by_key(|(reach, _)| *reach)
            .map(|(_, row)| row);
        if standing.has_resistant_cultivars() || by_code.is_some() {
            let code: Box<str> = by_code.map_or_else(|| "resistant".into(), |row| row.code.clone());
            let tried = Proposal { resistance: code, ..proposal.clone() };
            attempt(What::ResistantVariety(pathogen), place, &tried);
        }
        if proposal.rootstock.is_empty()
            && let Some(rootstock) = std::iter::once(pathogen)
                .chain(knowledge.pathogens.groups_of(pathogen))
                .chain(knowledge.pathogens.members_of(pathogen))
                .find_map(|against| knowledge.rootstocks.for_crop(proposal.crop, against))
        {
            let name = rootstock.name.clone();
            let tried = Proposal { rootstock: name.clone(), ..proposal.clone() };
            attempt(What::Rootstock(name, pathogen), place, &tried);
        }
    }
    if let Some(day) = first_better_day(assessment) {
        let tried = Proposal { on: day, ..proposal.clone() };
        attempt(What::LaterDate(day), place, &tried);
    }
    for pathogen in pathogens_in_the_way(assessment) {
        let crops =
            soil_first::suppressive_crops(knowledge, policy, garden, place, proposal, pathogen);
        let treatments =
            soil_first::treatments(knowledge, policy, garden, place, proposal, pathogen);
        // A wait to the same day costs less: work on the soil is named only where it does more.
        let better = |tried: &Tried| {
            tried.treated.verdict < assessment.verdict && tried.treated.verdict < tried.only_waited
        };
        found.extend(crops.into_iter().chain(treatments).filter(better).map(|tried| Change {
            what: tried.what,
            verdict: tried.treated.verdict,
            earliest: tried.treated.earliest,
            season_opens: tried.season_opens,
        }));
    }
    found
}

fn pathogens_in_the_way(assessment: &Assessment) -> Vec<PathogenId> {
    assessment
        .reasons
        .iter()
        .filter(|reason| reason.effect.verdict() >= Verdict::Care)
        .filter_map(|reason| match reason.claim {
            Claim::Disease { pathogen, .. } => Some(pathogen),
            _ => None,
        })
        .collect()
}

/// The day on which the strictest reasons end.
fn first_better_day(assessment: &Assessment) -> Option<Date> {
    let strictest =
        assessment.reasons.iter().filter(|reason| reason.effect.verdict() == assessment.verdict);
    let mut latest = None;
    for reason in strictest {
        latest = latest.max(Some(reason.effect.until()?));
    }
    latest.filter(|day| *day > assessment.proposal.on)
}
