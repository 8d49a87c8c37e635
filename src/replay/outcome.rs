//! What became of a planting, as far as the records say it.
//!
//! Nobody looked is not healthy. A planting is scored as sick if a disease that stays with the bed
//! was named on it; as healthy if somebody wrote that it was healthy, late enough in its time for
//! wilts and rots to have shown; and not at all if neither was written. Those left open are counted
//! by why, for a grower writes down a sick crop sooner than a sound one.

use crate::knowledge::{HostStatus, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Certainty, Garden, Observation, Planting, Seen};
use crate::season::Date;
use crate::state::certainty_weight;

/// Why a planting cannot be scored.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unscored {
    /// Nobody wrote how it was.
    NotLookedAt,
    /// It was healthy when looked at, but early in its time.
    LookedTooEarly,
    /// It was sick and nobody found out of what.
    CauseUnknown,
    /// Something else was noted: a disorder, or a disease that comes through the air.
    SomethingElse,
    /// The disease noted does not take this crop: a slip of the pen, or of the eye.
    NotItsDisease,
    /// It still stands and is young.
    TooYoung,
}

impl Unscored {
    /// All, in the order in which they are told.
    pub const ALL: [Self; 6] = [
        Self::NotLookedAt,
        Self::LookedTooEarly,
        Self::CauseUnknown,
        Self::SomethingElse,
        Self::NotItsDisease,
        Self::TooYoung,
    ];
}

/// What became of a planting.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome<'g> {
    /// A disease of the bed was named on it: each with the first sighting of it.
    Sick(Vec<(PathogenId, &'g Observation)>),
    /// It was found healthy, last on this occasion.
    Healthy(&'g Observation),
    /// The records do not say.
    Open(Unscored),
}

impl<'g> Outcome<'g> {
    /// Whether a disease of the bed came; `None` where the records do not say.
    #[must_use]
    pub fn came(&self) -> Option<bool> {
        match self {
            Self::Sick(_) => Some(true),
            Self::Healthy(_) => Some(false),
            Self::Open(_) => None,
        }
    }

    /// Whether one disease came. Another one on the same crop says nothing of it.
    #[must_use]
    pub fn came_of(&self, pathogen: PathogenId) -> Option<bool> {
        match self {
            Self::Sick(named) => named.iter().any(|(one, _)| *one == pathogen).then_some(true),
            Self::Healthy(_) => Some(false),
            Self::Open(_) => None,
        }
    }

    /// The certainty of the name, if a disease was named.
    #[must_use]
    pub fn weight_of(&self, policy: &Policy, pathogen: PathogenId) -> Option<f64> {
        match self {
            Self::Sick(named) => named
                .iter()
                .find(|(one, _)| *one == pathogen)
                .map(|(_, seen)| certainty_weight(policy, seen.certainty)),
            Self::Healthy(_) | Self::Open(_) => None,
        }
    }

    /// The observations it rests on.
    #[must_use]
    pub fn records(&self) -> Vec<&'g Observation> {
        match self {
            Self::Sick(named) => named.iter().map(|(_, seen)| *seen).collect(),
            Self::Healthy(seen) => vec![seen],
            Self::Open(_) => Vec::new(),
        }
    }

    /// Whether it rests on a cause that was only suspected.
    #[must_use]
    pub fn is_suspected(&self) -> bool {
        match self {
            Self::Sick(named) => {
                named.iter().all(|(_, seen)| seen.certainty == Certainty::Suspected)
            }
            Self::Healthy(_) | Self::Open(_) => false,
        }
    }
}

/// What became of a planting by a day.
#[must_use]
pub fn outcome<'g>(
    garden: &'g Garden,
    knowledge: &Knowledge,
    policy: &Policy,
    planting: &Planting,
    today: Date,
) -> Outcome<'g> {
    let end = planting.stood.end_by(today);
    let days = (end - planting.stood.start).num_days() as f64;
    if planting.stood.end.is_none_or(|end| end > today) && days < policy.scored_so_far_days {
        return Outcome::Open(Unscored::TooYoung);
    }
    let from = garden.observations.partition_point(|seen| seen.date < planting.stood.start);
    let looks: Vec<&Observation> = garden.observations[from..]
        .iter()
        .take_while(|seen| seen.date <= end)
        .filter(|seen| seen.crop == Some(planting.crop) && seen.place.bears_on(&planting.place))
        .collect();
    let mut named: Vec<(PathogenId, &Observation)> = Vec::new();
    let mut not_its_own = false;
    for seen in &looks {
        let Seen::Pathogen(pathogen) = seen.seen else { continue };
        if !knowledge.pathogens[pathogen].is_bound_to_bed() {
            continue;
        }
        match knowledge.standing(pathogen, planting.crop).status {
            HostStatus::OutsideRange | HostStatus::NonHost => not_its_own = true,
            _ if named.iter().all(|(known, _)| *known != pathogen) => named.push((pathogen, seen)),
            _ => {}
        }
    }
    if !named.is_empty() {
        return Outcome::Sick(named);
    }
    if is_unexplained(&looks) {
        return Outcome::Open(Unscored::CauseUnknown);
    }
    if not_its_own {
        return Outcome::Open(Unscored::NotItsDisease);
    }
    let healthy = looks.iter().rfind(|seen| seen.seen == Seen::Healthy);
    match healthy {
        Some(seen) => {
            let after = (seen.date - planting.stood.start).num_days() as f64;
            if after >= policy.healthy_look_share * days {
                Outcome::Healthy(seen)
            } else {
                Outcome::Open(Unscored::LookedTooEarly)
            }
        }
        None if looks.is_empty() => Outcome::Open(Unscored::NotLookedAt),
        None => Outcome::Open(Unscored::SomethingElse),
    }
}

/// Whether a sickness was noted of which no later look says what it was.
fn is_unexplained(looks: &[&Observation]) -> bool {
    looks.iter().enumerate().any(|(at, seen)| {
        seen.seen == Seen::Unknown
            && !looks[at..]
                .iter()
                .any(|later| matches!(later.seen, Seen::Pathogen(_) | Seen::Disorder(_)))
    })
}
