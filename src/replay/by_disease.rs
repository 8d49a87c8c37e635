//! The score of one disease: every planting it may take, on record or not.
//!
//! Which diseases get a row is known only afterwards, from what was seen; the chances and the
//! reference of each case are still those of its own morning.

use std::collections::BTreeMap;

use super::chance::at_least_one;
use super::experience::{Experience, Lesson};
use super::score::{Case, Score};
use super::{Outcome, Replayed};
use crate::knowledge::{Knowledge, PathogenId};
use crate::policy::Policy;
use crate::season::Date;

/// The score of one disease.
#[derive(Clone, Debug)]
pub struct DiseaseScore {
    /// The disease.
    pub pathogen: PathogenId,
    /// Plantings that it may take and of which it is known whether it came.
    pub score: Score,
    /// Among them those whose bed had it on record.
    pub on_record: usize,
    /// In how many of these it came.
    pub came_on_record: usize,
}

/// The scores of all diseases that came, most often seen first.
pub(super) fn by_disease(
    knowledge: &Knowledge,
    policy: &Policy,
    replayed: &[Replayed<'_>],
    today: Date,
) -> Vec<DiseaseScore> {
    let mut came: BTreeMap<PathogenId, usize> = BTreeMap::new();
    for one in replayed {
        if let Outcome::Sick(named) = &one.outcome {
            for (pathogen, _) in named {
                *came.entry(*pathogen).or_default() += 1;
            }
        }
    }
    let none = Experience::none(knowledge, policy);
    let mut scores: Vec<DiseaseScore> = came
        .into_keys()
        .filter_map(|pathogen| of_one(knowledge, policy, &none, replayed, today, pathogen))
        .collect();
    scores.sort_by(|a, b| {
        b.score.came.cmp(&a.score.came).then_with(|| {
            let name = |one: &DiseaseScore| &knowledge.pathogens[one.pathogen].name;
            name(a).cmp(name(b))
        })
    });
    scores
}

fn of_one(
    knowledge: &Knowledge,
    policy: &Policy,
    none: &Experience<'_>,
    replayed: &[Replayed<'_>],
    today: Date,
    pathogen: PathogenId,
) -> Option<DiseaseScore> {
    /// One disease is a tenth of all that may come: the garden's first guess of it.
    const PART_OF_ALL: f64 = 0.1;
    let met: Vec<(&Replayed<'_>, bool)> = replayed
        .iter()
        .filter_map(|one| {
            let came = one.outcome.came_of(pathogen)?;
            let takes = came
                || knowledge.standing(pathogen, one.planting.crop).status.may_suffer()
                || one.forecast.of(pathogen).is_some();
            takes.then_some((one, came))
        })
        .collect();
    let mut ended: Vec<(Date, &Replayed<'_>, bool)> = met
        .iter()
        .filter_map(|(one, came)| {
            Some((one.planting.stood.end.filter(|end| *end <= today)?, *one, *came))
        })
        .collect();
    ended.sort_by_key(|(end, ..)| *end);
    let mut ended = ended.into_iter().peekable();
    let mut experience = Experience::of_one(none, pathogen);
    let mut cases = Vec::with_capacity(met.len());
    let (mut on_record, mut came_on_record) = (0, 0);
    for (one, came) in &met {
        while let Some((_, other, came)) = ended.next_if(|(end, ..)| *end < one.planting.planted())
        {
            let weight = other.outcome.weight_of(policy, pathogen);
            experience.learn(&Lesson {
                planting: other.planting,
                sick: came,
                named: weight.map(|weight| (pathogen, weight)).into_iter().collect(),
                on_record: &other.forecast.on_record,
            });
        }
        let here = one.forecast.of(pathogen);
        on_record += usize::from(here.is_some());
        came_on_record += usize::from(here.is_some() && *came);
        cases.push(Case {
            chance: at_least_one(
                here.into_iter()
                    .chain([experience.new_disease(one.planting, &one.forecast.on_record)]),
            ),
            reference: experience.base_rate(PART_OF_ALL),
            came: *came,
        });
    }
    let score = Score::of(&cases)?;
    Some(DiseaseScore { pathogen, score, on_record, came_on_record })
}
