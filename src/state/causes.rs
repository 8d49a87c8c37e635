//! A disease whose cause is not known: which causes it may have, and how likely each is.
//!
//! Notes on the same crop in the same months are one episode. Its words are held against the
//! symptoms table: a sign that both name speaks for a cause, by how rare the sign is; a sign that
//! the grower looked for and did not find speaks against it. What the bed had before, whether the
//! days were warm or cool enough, and what surveys of sick plants found weigh in. What only looks
//! like a cause stands beside it, though no row describes it on this crop. It is a way to order what
//! to look at next; a field check or a laboratory decides.

use std::collections::BTreeMap;

use crate::climate::Climate;
use crate::knowledge::{Knowledge, PathogenId, Signs, Specificity, Symptom};
use crate::policy::Policy;
use crate::records::{Garden, Observation, Seen};
use crate::season::Date;

use super::surveys::survey_odds;

/// A cause that an unknown disease may have.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The pathogen; `None` for a disorder.
    pub pathogen: Option<PathogenId>,
    /// Key of the cause.
    pub cause: Box<str>,
    /// Chance, 0 to 1; all candidates of one episode add up to 1.
    pub chance: f64,
    /// The check in the field that tells it apart.
    pub field_check: Box<str>,
    /// Signs that the notes and the table share.
    pub shared: Vec<String>,
}

/// A field check with what it would tell.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The cause it is made for.
    pub cause: Box<str>,
    /// What to look for.
    pub field_check: Box<str>,
    /// Expected information of the answer, in bits.
    pub bits: f64,
}

/// Notes of unknown cause on one crop that belong together.
#[derive(Clone, Debug)]
pub struct Episode<'g> {
    /// The notes, by day.
    pub notes: Vec<&'g Observation>,
    /// What it may be, likeliest first.
    pub candidates: Vec<Candidate>,
    /// The checks that would tell them apart, most telling first.
    pub checks: Vec<Check>,
}

impl Episode<'_> {
    /// The latest day it was noted.
    #[must_use]
    pub fn last(&self) -> Option<Date> {
        self.notes.last().map(|note| note.date)
    }
}

/// Notes further apart than this are two episodes.
const DAYS_OF_AN_EPISODE: i64 = 120;

/// Episodes of unknown cause among a place's observations. A later note on the same crop that
/// names the cause answers the question, and the episode is left out.
pub(super) fn episodes<'g>(
    garden: &Garden,
    knowledge: &Knowledge,
    policy: &Policy,
    observations: &[&'g Observation],
) -> Vec<Episode<'g>> {
    let open = observations.iter().filter(|seen| seen.seen == Seen::Unknown).filter(|seen| {
        !observations.iter().any(|later| {
            later.date >= seen.date
                && later.crop == seen.crop
                && (later.date - seen.date).num_days() < DAYS_OF_AN_EPISODE
                && matches!(later.seen, Seen::Pathogen(_) | Seen::Disorder(_))
        })
    });
    let mut grouped: Vec<Vec<&'g Observation>> = Vec::new();
    for note in open {
        let known = grouped.iter_mut().find(|notes| {
            notes.last().is_some_and(|last| {
                last.crop == note.crop && (note.date - last.date).num_days() < DAYS_OF_AN_EPISODE
            })
        });
        match known {
            Some(notes) => notes.push(note),
            None => grouped.push(vec![note]),
        }
    }
    grouped
        .into_iter()
        .map(|notes| {
            let candidates = diagnose(garden, knowledge, policy, &notes, observations);
            let checks = checks(policy, &candidates);
            Episode { notes, candidates, checks }
        })
        .collect()
}

/// The causes that notes on one crop may have, likeliest first; empty if the crop is not known or
/// the table has no symptom of it.
#[must_use]
pub fn diagnose(
    garden: &Garden,
    knowledge: &Knowledge,
    policy: &Policy,
    notes: &[&Observation],
    before: &[&Observation],
) -> Vec<Candidate> {
    let Some((crop, last)) = notes.last().and_then(|note| Some((note.crop?, note.date))) else {
        return Vec::new();
    };
    let told: Vec<Signs> =
        notes.iter().map(|note| Signs::of(&format!("{}; {}", note.symptom, note.note))).collect();
    let mut scores: BTreeMap<&str, (f64, &Symptom, Vec<String>)> = BTreeMap::new();
    let rarity = knowledge.symptoms.rarity();
    for (row, theirs) in knowledge.symptoms.with_signs(crop) {
        let (score, shared) = agreement(policy, &told, theirs, rarity, row.specificity);
        match scores.get_mut(&*row.cause) {
            // Several rows of a cause are several ways it may look: the best one counts.
            Some(best) if best.0 >= score => {}
            _ => {
                scores.insert(&row.cause, (score, row, shared));
            }
        }
    }
    let climate = Climate::of(garden);
    let surveyed = survey_odds(knowledge, policy, crop);
    let prior = |cause: &str| {
        let Some(pathogen) = knowledge.pathogens.find(cause) else { return (None, 1.0) };
        let prior = prior(knowledge, policy, climate.as_ref(), Some(pathogen), before, last);
        let groups = knowledge.pathogens.groups_of(pathogen);
        let odds = std::iter::once(pathogen).chain(groups).find_map(|one| surveyed.get(&one));
        (Some(pathogen), prior * odds.copied().unwrap_or(1.0))
    };
    let mut alike: BTreeMap<&str, f64> = BTreeMap::new();
    for (score, row, _) in scores.values() {
        for other in row.look_alikes.iter().filter(|other| !scores.contains_key(&***other)) {
            let odds = alike.entry(other).or_default();
            *odds = odds.max(score.exp() * policy.look_alike_share);
        }
    }
    // The check that tells a cause from what looks like it stands with the cause.
    let mut found: Vec<Candidate> = alike
        .into_iter()
        .map(|(cause, odds)| {
            let (pathogen, prior) = prior(cause);
            let (field_check, shared) = (Box::default(), Vec::new());
            Candidate { pathogen, cause: cause.into(), chance: odds * prior, field_check, shared }
        })
        .collect();
    found.extend(scores.into_iter().map(|(cause, (score, row, shared))| {
        let (pathogen, prior) = prior(cause);
        let field_check = row.field_check.clone();
        let words = row.in_words();
        let shared = shared.iter().filter_map(|sign| Signs::word(&words, sign)).collect();
        Candidate {
            pathogen,
            cause: cause.into(),
            chance: score.exp() * prior,
            field_check,
            shared,
        }
    }));
    normalise(&mut found);
    found.retain(|candidate| candidate.chance >= policy.least_chance);
    normalise(&mut found);
    found.sort_by(|a, b| b.chance.total_cmp(&a.chance).then_with(|| a.cause.cmp(&b.cause)));
    found
}

fn normalise(found: &mut [Candidate]) {
    let total: f64 = found.iter().map(|candidate| candidate.chance).sum();
    for candidate in found {
        candidate.chance /= total.max(f64::MIN_POSITIVE);
    }
}

/// What speaks for a cause before the plants are looked at: that the bed had it, and that the days
/// are as it likes them.
fn prior(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    pathogen: Option<PathogenId>,
    before: &[&Observation],
    day: Date,
) -> f64 {
    let Some(pathogen) = pathogen else { return 1.0 };
    let mut prior = 1.0;
    if before.iter().any(|seen| seen.date < day && seen.seen == Seen::Pathogen(pathogen)) {
        prior *= policy.had_it_before;
    }
    if let (Some(climate), Some(range)) = (climate, knowledge.pathogens[pathogen].optimum_c) {
        let mean = climate.mean_c(day);
        let off = (range.low - mean).max(mean - range.high).max(0.0);
        prior *= (-off / policy.degrees_off_optimum).exp();
    }
    prior
}

/// How far the notes and a row of the table agree, as a logarithm of odds, and what they share.
fn agreement(
    policy: &Policy,
    told: &[Signs],
    theirs: &Signs,
    rarity: &BTreeMap<String, f64>,
    specificity: Specificity,
) -> (f64, Vec<String>) {
    let weight = match specificity {
        Specificity::Low => 0.5,
        Specificity::Medium => 0.8,
        Specificity::High => 1.0,
    };
    let worth = |sign: &str| rarity.get(sign).copied().unwrap_or(0.0);
    let said = |sign: &String| told.iter().any(|signs| signs.seen.contains(sign));
    let denied = |sign: &String| told.iter().any(|signs| signs.absent.contains(sign));
    let shared: Vec<String> = theirs.seen.iter().filter(|sign| said(sign)).cloned().collect();
    let mut score: f64 = shared.iter().map(|sign| worth(sign)).sum();
    score -= theirs
        .seen
        .iter()
        .filter(|sign| denied(sign) && !said(sign))
        .map(|sign| worth(sign))
        .sum::<f64>();
    score -= theirs.absent.iter().filter(|sign| said(sign)).map(|sign| worth(sign)).sum::<f64>();
    // Long rows share words by chance: the score is damped by the row's length.
    let damp = (theirs.seen.len() as f64 / 12.0).max(1.0).sqrt();
    (policy.sign_weight * weight * score / damp, shared)
}

/// The checks that would tell the candidates apart, most telling first: the information expected
/// of each answer, with the sign seen under its own cause in most cases, under another in few, and
/// in more the more that other cause looks like it.
#[must_use]
pub fn checks(policy: &Policy, candidates: &[Candidate]) -> Vec<Check> {
    let signs: Vec<Signs> =
        candidates.iter().map(|candidate| Signs::of(&candidate.field_check)).collect();
    let entropy = |chances: &[f64]| -> f64 {
        let total: f64 = chances.iter().sum();
        chances
            .iter()
            .map(|chance| chance / total.max(f64::MIN_POSITIVE))
            .filter(|share| *share > 0.0)
            .map(|share| -share * share.log2())
            .sum()
    };
    let before: Vec<f64> = candidates.iter().map(|candidate| candidate.chance).collect();
    let uncertainty = entropy(&before);
    let mut checks: Vec<Check> = candidates
        .iter()
        .enumerate()
        .filter(|(_, candidate)| !candidate.field_check.is_empty())
        .map(|(at, candidate)| {
            let yes: Vec<f64> = candidates
                .iter()
                .enumerate()
                .map(|(other, theirs)| {
                    let alike = if other == at { 1.0 } else { likeness(&signs[at], &signs[other]) };
                    let seen =
                        policy.check_false + (policy.check_true - policy.check_false) * alike;
                    theirs.chance * seen
                })
                .collect();
            let no: Vec<f64> = before.iter().zip(&yes).map(|(all, yes)| all - yes).collect();
            let (of_yes, of_no): (f64, f64) = (yes.iter().sum(), no.iter().sum());
            let after = of_yes * entropy(&yes) + of_no * entropy(&no);
            Check {
                cause: candidate.cause.clone(),
                field_check: candidate.field_check.clone(),
                bits: (uncertainty - after).max(0.0),
            }
        })
        .collect();
    checks.sort_by(|a, b| b.bits.total_cmp(&a.bits).then_with(|| a.cause.cmp(&b.cause)));
    checks
}

/// Share of signs that two checks have in common.
fn likeness(one: &Signs, other: &Signs) -> f64 {
    let shared = one.seen.iter().filter(|sign| other.seen.contains(sign)).count() as f64;
    let all = (one.seen.len() + other.seen.len()) as f64 - shared;
    if all > 0.0 { shared / all } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_that_only_one_of_two_causes_passes_tells_nearly_a_bit() {
        let candidate = |cause: &str, check: &str| Candidate {
            pathogen: None,
            cause: cause.into(),
            chance: 0.5,
            field_check: check.into(),
            shared: Vec::new(),
        };
        let policy = Policy { check_true: 1.0, check_false: 0.0, ..Policy::default() };
        let two = [candidate("a", "galls roots"), candidate("b", "white mold collar")];
        let found = checks(&policy, &two);
        assert!((found[0].bits - 1.0).abs() < 1e-9, "{found:?}");
    }
}
