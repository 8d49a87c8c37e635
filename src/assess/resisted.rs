//! What a proposal resists: by codes of the seed trade, by its rootstock, or by the grower's word.
//!
//! A resistance against a group of pathogens holds for each member. Against one member it holds in
//! part where the bed has the group and nobody has determined which member it is.

use super::Judge;
use super::evidence::{Evidence, FactNote};
use crate::estimate::Estimate;
use crate::knowledge::{Citation, How, Knowledge, PathogenId};
use crate::policy::Policy;

/// A resistance against a pathogen of the bed.
pub(super) struct Resisted {
    /// The code, rootstock or word.
    pub(super) evidence: Evidence,
    /// Whether it holds for some members only of a group that nobody has determined.
    in_part: bool,
}

impl Resisted {
    /// The part of a susceptible crop's loss that is left.
    pub(super) fn loss(&self, policy: &Policy) -> Estimate {
        if self.in_part {
            policy.resistant_loss.spanning(Estimate::ONE)
        } else {
            policy.resistant_loss
        }
    }
}

/// Whether a resistance against one pathogen holds against another, in whole or in part.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Reach {
    /// The same pathogen, or the group it belongs to.
    Whole,
    /// A member of the group.
    Part,
}

/// How far a resistance against one pathogen reaches another.
pub(super) fn reach(knowledge: &Knowledge, against: PathogenId, here: PathogenId) -> Option<Reach> {
    if against == here || knowledge.pathogens.groups_of(here).any(|group| group == against) {
        Some(Reach::Whole)
    } else if knowledge.pathogens.members_of(here).any(|member| member == against) {
        Some(Reach::Part)
    } else {
        None
    }
}

/// The code, word or rootstock by which the proposal resists a pathogen; what holds in whole comes
/// before what holds in part.
pub(super) fn resisted(judge: &Judge<'_, '_>, pathogen: PathogenId) -> Option<Resisted> {
    by_word_or_code(judge, pathogen)
        .into_iter()
        .chain(by_rootstock(judge, pathogen))
        .min_by_key(|resisted| resisted.in_part)
}

fn by_word_or_code(judge: &Judge<'_, '_>, pathogen: PathogenId) -> Option<Resisted> {
    let knowledge = judge.knowledge;
    let crop = judge.proposal.crop;
    let codes = judge.proposal.resistance.split([' ', ';', ',']).filter(|code| !code.is_empty());
    let mut found: Option<(Reach, Resisted)> = None;
    for code in codes {
        if matches!(&*code.to_ascii_lowercase(), "resistant" | "yes") {
            let note =
                FactNote::Resistance { code: code.into(), note: "by the grower's word".into() };
            let citation = Citation::new("", "", How::CommonPractice);
            return Some(Resisted { evidence: Evidence::Fact(note, citation), in_part: false });
        }
        for row in knowledge.resistances.meant(crop, code) {
            let Some(reach) = row.pathogen.and_then(|of| reach(knowledge, of, pathogen)) else {
                continue;
            };
            if found.as_ref().is_none_or(|(known, _)| reach < *known) {
                let note = FactNote::Resistance { code: row.code.clone(), note: row.note.clone() };
                let evidence = Evidence::Fact(note, row.citation.clone());
                found = Some((reach, Resisted { evidence, in_part: reach == Reach::Part }));
            }
        }
    }
    found.map(|(_, resisted)| resisted)
}

fn by_rootstock(judge: &Judge<'_, '_>, pathogen: PathogenId) -> Option<Resisted> {
    let knowledge = judge.knowledge;
    let (name, crop) = (&judge.proposal.rootstock, judge.proposal.crop);
    if name.is_empty() {
        return None;
    }
    let whole = std::iter::once(pathogen).chain(knowledge.pathogens.groups_of(pathogen));
    let part = knowledge.pathogens.members_of(pathogen);
    let (rootstock, in_part) = whole
        .map(|against| (against, false))
        .chain(part.map(|against| (against, true)))
        .find_map(|(against, in_part)| {
            Some((knowledge.rootstocks.resisting(name, crop, against)?, in_part))
        })?;
    let note =
        FactNote::Resistance { code: rootstock.name.clone(), note: rootstock.limits.clone() };
    Some(Resisted { evidence: Evidence::Fact(note, rootstock.citation.clone()), in_part })
}
