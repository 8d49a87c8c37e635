//! What a cover does to each of the bed's own pathogens and nematodes.
//!
//! Rows on the pair speak first (`cover_disease_bridge`), the cover's standing as a host beside
//! them. Counted outweighs graded, graded outweighs said; among equals the cautious one counts, and
//! a contradiction is shown. A group whose species nobody has determined is asked species by
//! species: where they differ the answer is both, and the test that settles it.

use crate::assess::{Evidence, FactNote, MissingNote};
use crate::knowledge::{
    Bridge, BridgeEvidence, CropId, HostStatus, How, Knowledge, Meant, PathogenId, Turn,
};

/// What a cover does to one pathogen.
#[derive(Clone, Debug)]
pub struct SoilLife {
    /// The pathogen.
    pub pathogen: PathogenId,
    /// Which way; `None` if nobody has said, or if it hangs on the species.
    pub turn: Option<Turn>,
    /// Whether sources contradict each other.
    pub is_contested: bool,
    /// Whether it rests on memory, a group statement or relatives alone.
    pub is_weak: bool,
    /// For a group whose species is not known: what it does to each.
    pub by_species: Vec<(PathogenId, Option<Turn>)>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

impl SoilLife {
    /// Whether the answer differs between the species that it may be.
    #[must_use]
    pub fn hangs_on_species(&self) -> bool {
        let mut turns: Vec<Option<Turn>> = self.by_species.iter().map(|(_, turn)| *turn).collect();
        turns.sort_unstable();
        turns.dedup();
        turns.len() > 1
    }

    /// Whether it may raise it: it does, or one of the species that it may be.
    #[must_use]
    pub fn may_raise(&self) -> bool {
        self.turn == Some(Turn::Raises)
            || self.by_species.iter().any(|(_, turn)| *turn == Some(Turn::Raises))
    }
}

/// One voice on a pair: which way, and how far it carries.
struct Voice {
    turn: Turn,
    weight: u8,
    is_weak: bool,
}

/// Whether a row's cover stands for this one, by key or by group.
fn means_cover(knowledge: &Knowledge, row: &Bridge, cover: CropId) -> bool {
    match &row.cover {
        Meant::One(crop) => *crop == cover,
        Meant::Words(group) => knowledge.sequences.is_member(&knowledge.crops, group, cover),
    }
}

/// Whether a row's pathogen stands for this one: by key, as the group of it, or by the genus that
/// its words name.
fn means_pathogen(knowledge: &Knowledge, row: &Bridge, pathogen: PathogenId) -> bool {
    match &row.pathogen {
        Meant::One(one) => {
            *one == pathogen || knowledge.pathogens.groups_of(pathogen).any(|group| group == *one)
        }
        Meant::Words(words) => words.strip_suffix("_spp").is_some_and(|genus| {
            let key = &knowledge.pathogens[pathogen].key;
            key.strip_prefix(genus).is_some_and(|rest| rest.starts_with('_'))
        }),
    }
}

/// Whether any source says what a cover does to a pathogen: then it is asked even of what does not
/// stay with a bed.
#[must_use]
pub(super) fn is_spoken_of(knowledge: &Knowledge, pathogen: PathogenId) -> bool {
    knowledge.bridges().iter().any(|row| means_pathogen(knowledge, row, pathogen))
}

/// What a cover does to a pathogen, by all that the tables say.
#[must_use]
pub fn soil_life(knowledge: &Knowledge, cover: CropId, pathogen: PathogenId) -> SoilLife {
    let members: Vec<PathogenId> = knowledge.pathogens.members_of(pathogen).collect();
    let own = of_one(knowledge, cover, pathogen);
    if members.is_empty() {
        return own;
    }
    let by_species: Vec<SoilLife> =
        members.iter().map(|member| of_one(knowledge, cover, *member)).collect();
    let mut life = SoilLife {
        by_species: by_species.iter().map(|life| (life.pathogen, life.turn)).collect(),
        ..own
    };
    let known: Vec<Turn> = by_species.iter().filter_map(|life| life.turn).collect();
    life.is_contested |= by_species.iter().any(|life| life.is_contested);
    life.is_weak = by_species.iter().all(|life| life.is_weak);
    life.turn = match known.as_slice() {
        [] => life.turn,
        // Where nobody has looked at a species, the others do not speak for it.
        [first, rest @ ..] if rest.iter().all(|turn| turn == first) => {
            (known.len() == by_species.len() || *first == Turn::Raises).then_some(*first)
        }
        _ => None,
    };
    for one in by_species {
        life.evidence.extend(one.evidence);
    }
    if life.hangs_on_species() {
        life.evidence.push(Evidence::Missing(MissingNote::Species {
            pathogen,
            test: settling_test(knowledge, pathogen).into(),
        }));
    }
    life
}

/// The test that tells the species of a group apart.
#[must_use]
pub fn settling_test(knowledge: &Knowledge, pathogen: PathogenId) -> &str {
    let nematode = knowledge.pathogens[pathogen].is_nematode();
    knowledge
        .timing_rules()
        .iter()
        .find(|row| nematode && &*row.rule == "soil_nematode_test")
        .map_or("a plant clinic names the species from plants that show it", |row| &*row.text)
}

fn of_one(knowledge: &Knowledge, cover: CropId, pathogen: PathogenId) -> SoilLife {
    let rows: Vec<&Bridge> = knowledge
        .bridges()
        .iter()
        .filter(|row| {
            means_cover(knowledge, row, cover) && means_pathogen(knowledge, row, pathogen)
        })
        .collect();
    let standing = knowledge.standing(pathogen, cover);
    let mut voices: Vec<Voice> = rows.iter().map(|row| voice(row)).collect();
    let mut evidence: Vec<Evidence> = rows.iter().map(|row| fact(knowledge, row)).collect();
    voices.extend(host_voice(
        standing.status,
        standing.is_suppressive(),
        standing.is_well_founded(),
    ));
    if let Some(row) = standing.witness() {
        evidence.push(Evidence::Fact(
            FactNote::Host {
                pathogen,
                crop: cover,
                says: row.says,
                basis: row.basis,
                note: row.note.clone(),
            },
            row.citation.clone(),
        ));
    } else if let (Some(rank), false) = (standing.inferred_by, standing.relatives.is_empty()) {
        let citation = knowledge.pathogens[pathogen].citation.clone();
        let relatives = standing.relatives.to_vec();
        evidence.push(Evidence::Fact(FactNote::Relatives { relatives, rank }, citation));
    }
    if evidence.is_empty() {
        evidence.push(Evidence::Missing(MissingNote::HostStatus { pathogen, crop: cover }));
    }
    let heaviest = |turn| voices.iter().filter(|one| one.turn == turn).map(|one| one.weight).max();
    let (raises, lowers, neutral) =
        (heaviest(Turn::Raises), heaviest(Turn::Lowers), heaviest(Turn::Neutral));
    let turn = [(raises, Turn::Raises), (neutral, Turn::Neutral), (lowers, Turn::Lowers)]
        .into_iter()
        .filter_map(|(weight, turn)| Some((weight?, turn)))
        // Among equals the cautious one: raises comes first in the order of turns.
        .max_by_key(|(weight, turn)| (*weight, std::cmp::Reverse(*turn)))
        .map(|(_, turn)| turn);
    SoilLife {
        pathogen,
        turn,
        is_contested: raises.is_some() && lowers.is_some(),
        is_weak: voices.iter().all(|one| one.is_weak),
        by_species: Vec::new(),
        evidence,
    }
}

/// A row's voice.
fn voice(row: &Bridge) -> Voice {
    let is_weak = row.citation.how == How::Memory;
    let weight = match row.evidence {
        _ if is_weak => 1,
        BridgeEvidence::Measured => 4,
        BridgeEvidence::HostStatus => 3,
        BridgeEvidence::Statement => 2,
    };
    Voice { turn: row.effect, weight, is_weak }
}

/// The voice of the table of hosts: a host or carrier keeps it up, a suppressive crop lowers it, one
/// that is no host leaves it to age.
fn host_voice(status: HostStatus, suppressive: bool, well_founded: bool) -> Option<Voice> {
    let weight = if well_founded { 3 } else { 1 };
    let turn = match status {
        _ if suppressive => Turn::Lowers,
        HostStatus::Host
        | HostStatus::WeakHost
        | HostStatus::InferredHost
        | HostStatus::Carrier => Turn::Raises,
        HostStatus::PoorHost
        | HostStatus::AdvisedBreak
        | HostStatus::OutsideRange
        | HostStatus::NonHost => Turn::Neutral,
        HostStatus::Ungraded | HostStatus::Unrecorded => return None,
    };
    // That a crop is no host is said less directly than that it lowers or raises it.
    let weight = if turn == Turn::Neutral { 1 } else { weight };
    Some(Voice { turn, weight, is_weak: !well_founded })
}

fn fact(knowledge: &Knowledge, row: &Bridge) -> Evidence {
    Evidence::Fact(
        FactNote::Bridge {
            cover: row.cover.written(&knowledge.crops).into(),
            pathogen: row.pathogen.written(&knowledge.pathogens).into(),
            turn: row.effect,
            backing: row.evidence,
            finding: row.finding.clone(),
        },
        row.citation.clone(),
    )
}
