//! What an option is worth to the goal, whether it may be recommended, and which comes first.

use super::option::{CoverOption, Fit, Standing};
use std::cmp::Ordering;

use crate::assess::Verdict;
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, Turn};
use crate::season::Date;
use crate::state::Presence;
use crate::state::stand::cover_range;

use super::Setting;
use super::goal::Goal;
use super::soil_life::SoilLife;

/// Whether it may be recommended: never where it feeds a disease that was seen in this bed, with
/// care where that is possible or the cover itself stands at risk.
pub(super) fn standing(setting: &Setting<'_, '_>, option: &CoverOption) -> Standing {
    // A cover that is taken itself only grows less; what it feeds is asked below.
    let mut standing = match option.assessment.verdict {
        Verdict::Plant => Standing::Recommended,
        Verdict::Care | Verdict::Wait => Standing::WithCare,
    };
    // What comes back after the hoe is a weed in the next crop.
    if option.kill.is_hard() {
        standing = standing.max(Standing::WithCare);
    }
    for life in &option.soil_life {
        let seen = setting.state.inocula().any(|inoculum| {
            inoculum.pathogen == life.pathogen && matches!(inoculum.presence, Presence::Sighted(_))
        });
        let stays = setting.knowledge.pathogens[life.pathogen].is_bound_to_bed();
        let worst = if life.turn == Some(Turn::Raises) && seen && stays && !life.is_weak {
            Standing::NotHere
        } else if life.may_raise() || life.is_contested {
            Standing::WithCare
        } else {
            Standing::Recommended
        };
        standing = standing.max(worst);
    }
    standing
}

/// What the goal is measured by, in its own unit.
pub(super) fn worth(setting: &Setting<'_, '_>, option: &CoverOption) -> Option<Estimate> {
    let knowledge = setting.knowledge;
    let stand = option.stand.as_ref()?;
    let weighted = |field: &str, unknown: f64| {
        let whole: f64 = option.parts.iter().map(|part| part.share).sum();
        option
            .parts
            .iter()
            .map(|part| {
                let score = cover_range(knowledge, part.crop, field).map(|score| score.likely);
                score.unwrap_or(unknown) * part.share / whole
            })
            .sum::<f64>()
    };
    Some(match setting.goal {
        Goal::Nitrogen => stand.available,
        Goal::Weeds => {
            /// Scores run from 0 to 4.
            const BEST: f64 = 4.0;
            let holds = weighted("weed_suppression", 2.0) / BEST;
            stand.covered_days.map(|days| days * holds)
        }
        Goal::OrganicMatter => stand.dry_matter,
        Goal::Scavenging => stand.recycled,
        Goal::Nematodes => option
            .soil_life
            .iter()
            .filter(|life| knowledge.pathogens[life.pathogen].is_nematode())
            .map(lowered)
            .reduce(|one, other| one + other)
            .unwrap_or(Estimate::ZERO),
        Goal::Bloom => {
            let flower = |bloom: Option<Date>| {
                bloom.map_or(0.0, |bloom| (option.ended() - bloom).num_days().max(0) as f64)
            };
            let feeds = option.parts.iter().any(|part| {
                knowledge
                    .cover_figures(part.crop, "good_for")
                    .first()
                    .is_some_and(|figure| figure.text.contains("beneficials"))
            });
            let days = Estimate::new(
                flower(option.bloom[2]),
                flower(option.bloom[1]),
                flower(option.bloom[0]),
            );
            if feeds { days } else { days.map(|days| days * 0.5) }
        }
    })
}

/// One for a nematode lowered, one off for one raised; over the species that it may be the worst, the
/// mean and the best.
pub(super) fn lowered(life: &SoilLife) -> Estimate {
    let value = |turn: Option<Turn>| match turn {
        Some(Turn::Lowers) => 1.0,
        Some(Turn::Raises) => -1.0,
        Some(Turn::Neutral) | None => 0.0,
    };
    if life.by_species.is_empty() || life.turn.is_some() {
        return Estimate::exact(value(life.turn));
    }
    let each = life.by_species.iter().map(|(_, turn)| value(*turn));
    let mean = each.clone().sum::<f64>() / life.by_species.len() as f64;
    Estimate::new(
        each.clone().fold(f64::INFINITY, f64::min),
        mean,
        each.fold(f64::NEG_INFINITY, f64::max),
    )
}

/// Best first: what may be recommended and fits, then the next crop's verdict, then what the goal
/// asks for, then what leaves the next crop better.
pub(super) fn order(knowledge: &Knowledge, a: &CoverOption, b: &CoverOption) -> Ordering {
    let gate = |option: &CoverOption| {
        (
            option.standing == Standing::NotHere,
            option.fit != Fit::Fits,
            option.fit,
            option.standing,
            option.next.as_ref().map(|next| next.verdict),
            option.germination_c.is_none(),
        )
    };
    let worth = |option: &CoverOption| option.worth.map_or(f64::NEG_INFINITY, |worth| worth.likely);
    let next =
        |option: &CoverOption| option.next.as_ref().map_or(0.0, |next| next.expected_yield.likely);
    gate(a)
        .cmp(&gate(b))
        .then(worth(b).total_cmp(&worth(a)))
        .then(next(b).total_cmp(&next(a)))
        .then(b.assessment.confidence.cmp(&a.assessment.confidence))
        .then_with(|| name(knowledge, a).cmp(&name(knowledge, b)))
}

pub(super) fn name(knowledge: &Knowledge, option: &CoverOption) -> Vec<Box<str>> {
    option.parts.iter().map(|part| knowledge.crops[part.crop].name.clone()).collect()
}
