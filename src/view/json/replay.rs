//! The past played again, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{EvidenceJson, ReasonJson, evidence, reason};
use crate::assess::{Evidence, Verdict};
use crate::estimate::Estimate;
use crate::replay::{Outcome, Replay, Replayed, Score, Unscored};
use crate::season::Date;

/// A class of the calibration table.
#[derive(Clone, Debug, Serialize)]
pub struct CalibrationJson {
    /// Chances from here ...
    pub from: f64,
    /// ... to below here.
    pub to: f64,
    /// Plantings in the class.
    pub plantings: usize,
    /// Their mean chance.
    pub mean_chance: f64,
    /// How many fell sick.
    pub sick: usize,
    /// The share, with its exact interval (95 %).
    pub share: Estimate,
    /// Whether the interval holds the mean chance.
    pub holds: bool,
}

/// A score.
#[derive(Clone, Debug, Serialize)]
pub struct ScoreJson {
    /// Plantings scored.
    pub scored: usize,
    /// How many fell sick.
    pub sick: usize,
    /// How many were to be expected.
    pub expected: f64,
    /// Brier score.
    pub brier: f64,
    /// That of the base rate, from earlier records only.
    pub base_rate_brier: f64,
    /// That of the share in the whole, known only afterwards.
    pub hindsight_brier: f64,
    /// 1 - brier / `base_rate_brier`.
    pub skill: Option<f64>,
    /// 1 - brier / `hindsight_brier`.
    pub skill_on_hindsight: Option<f64>,
    /// What is taken off the base rate's score, with its interval (95 %).
    pub gain: Option<Estimate>,
    /// How often calibrated chances would miss the number of sick by as much.
    pub level_by_chance: f64,
    /// How often calibrated chances would be as bold or timid.
    pub boldness_by_chance: f64,
    /// The calibration table.
    pub calibration: Vec<CalibrationJson>,
}

/// The score of a disease.
#[derive(Clone, Debug, Serialize)]
pub struct DiseaseScoreJson {
    /// Pathogen key.
    pub pathogen: String,
    /// Name.
    pub name: String,
    /// Plantings it may take whose bed had it on record.
    pub on_record: usize,
    /// In how many of these it came.
    pub came_on_record: usize,
    /// The score.
    #[serde(flatten)]
    pub score: ScoreJson,
}

/// How the plantings of a verdict fared.
#[derive(Clone, Debug, Serialize)]
pub struct VerdictScoreJson {
    /// plant, care or wait.
    pub verdict: Verdict,
    /// Plantings scored.
    pub scored: usize,
    /// How many fell sick.
    pub sick: usize,
    /// The share, with its exact interval (95 %).
    pub share: Estimate,
}

/// The chance of a disease on record.
#[derive(Clone, Debug, Serialize)]
pub struct DiseaseChanceJson {
    /// Pathogen key.
    pub pathogen: String,
    /// Chance.
    pub chance: f64,
}

/// A planting with its forecast and what came.
#[derive(Clone, Debug, Serialize)]
pub struct ReplayedJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Day planted.
    pub planted: Date,
    /// File of the record.
    pub file: String,
    /// Line of the record.
    pub line: u32,
    /// The verdict of its morning.
    pub verdict: Verdict,
    /// Relative yield expected.
    pub expected_yield: Estimate,
    /// Chance that a disease of the bed is named on it.
    pub chance: f64,
    /// Part of it: a disease that the bed has not on record.
    pub new_disease: f64,
    /// Part of it: something on record was misnamed, and its true cause comes again.
    pub misnamed: f64,
    /// The diseases on record.
    pub diseases: Vec<DiseaseChanceJson>,
    /// The base rate of its morning.
    pub base_rate: f64,
    /// `sick`, `healthy`, or why it cannot be scored.
    pub outcome: &'static str,
    /// Pathogens named on it.
    pub named: Vec<String>,
    /// The observations behind the outcome.
    pub seen: Vec<EvidenceJson>,
}

/// A miss with its reasons.
#[derive(Clone, Debug, Serialize)]
pub struct MissJson {
    /// The planting.
    #[serde(flatten)]
    pub planting: ReplayedJson,
    /// Square of chance less outcome.
    pub error: f64,
    /// The reasons of its morning.
    pub reasons: Vec<ReasonJson>,
}

/// A harvest that was expected.
#[derive(Clone, Debug, Serialize)]
pub struct HarvestCaseJson {
    /// Bed.
    pub bed: String,
    /// Crop key.
    pub crop: String,
    /// Day planted.
    pub planted: Date,
    /// Picked, kg/m2.
    pub picked_kg_m2: f64,
    /// Expected, kg/m2.
    pub expected_kg_m2: Estimate,
    /// The middle of the earlier harvests, kg/m2.
    pub usual_kg_m2: f64,
}

/// A part of the expected yield, taken alone.
#[derive(Clone, Debug, Serialize)]
pub struct PartScoreJson {
    /// `disease`, `return`, `sequence`, `nutrients`.
    pub part: &'static str,
    /// Harvests it brought nearer than the usual one.
    pub nearer: usize,
    /// Harvests it led away from.
    pub farther: usize,
}

/// How far expected harvests were off.
#[derive(Clone, Debug, Serialize)]
pub struct HarvestScoreJson {
    /// Factor by which the middle one was off.
    pub off_by: f64,
    /// The same of whoever expects the middle of the earlier harvests.
    pub usual_off_by: f64,
    /// Nearer to the expected than to the usual.
    pub nearer: usize,
    /// Farther.
    pub farther: usize,
    /// Within the range expected.
    pub within: usize,
    /// By how much nearer than the usual one the expected harvest was, as a logarithm, with its
    /// interval (95 %).
    pub gain: Option<Estimate>,
    /// How far the expected harvest and the one picked were above or below the usual one together.
    pub rank_correlation: Option<f64>,
    /// `nearer`, `farther`, `no_difference` or `too_few` (harvests to tell).
    pub says: &'static str,
    /// Each part of the expected yield alone.
    pub parts: Vec<PartScoreJson>,
    /// The harvests.
    pub harvests: Vec<HarvestCaseJson>,
}

/// A replay.
#[derive(Clone, Debug, Serialize)]
pub struct ReplayJson {
    /// Format number.
    pub format: u32,
    /// Score of what can be scored.
    pub score: Option<ScoreJson>,
    /// Score if all that nobody looked at had been healthy.
    pub if_unseen_healthy: Option<ScoreJson>,
    /// By disease.
    pub diseases: Vec<DiseaseScoreJson>,
    /// By verdict.
    pub verdicts: Vec<VerdictScoreJson>,
    /// The worst misses.
    pub worst: Vec<MissJson>,
    /// Expected harvests.
    pub harvests: Option<HarvestScoreJson>,
    /// Every planting.
    pub plantings: Vec<ReplayedJson>,
}

fn score(score: &Score) -> ScoreJson {
    ScoreJson {
        scored: score.cases,
        sick: score.came,
        expected: score.expected,
        brier: score.brier,
        base_rate_brier: score.reference,
        hindsight_brier: score.hindsight,
        skill: score.skill,
        skill_on_hindsight: score.skill_on_hindsight,
        gain: score.gain,
        level_by_chance: score.level_by_chance,
        boldness_by_chance: score.boldness_by_chance,
        calibration: score
            .calibration
            .iter()
            .map(|class| CalibrationJson {
                from: class.from,
                to: class.to,
                plantings: class.cases,
                mean_chance: class.mean_chance,
                sick: class.came,
                share: class.share,
                holds: class.holds(),
            })
            .collect(),
    }
}

fn outcome_word(outcome: &Outcome<'_>) -> &'static str {
    match outcome {
        Outcome::Sick(_) => "sick",
        Outcome::Healthy(_) => "healthy",
        Outcome::Open(Unscored::NotLookedAt) => "not_looked_at",
        Outcome::Open(Unscored::LookedTooEarly) => "looked_too_early",
        Outcome::Open(Unscored::CauseUnknown) => "cause_unknown",
        Outcome::Open(Unscored::SomethingElse) => "something_else",
        Outcome::Open(Unscored::NotItsDisease) => "not_its_disease",
        Outcome::Open(Unscored::TooYoung) => "too_young",
    }
}

fn replayed(phrases: Phrases<'_>, one: &Replayed<'_>) -> ReplayedJson {
    let knowledge = phrases.knowledge;
    let key = |pathogen| knowledge.pathogens[pathogen].key.to_string();
    let planting = one.planting;
    ReplayedJson {
        bed: planting.place.bed.to_string(),
        section: planting.place.section.as_deref().map(str::to_owned),
        crop: knowledge.crops[planting.crop].key.to_string(),
        planted: planting.planted(),
        file: planting.origin.file.to_string(),
        line: planting.origin.line,
        verdict: one.forecast.assessment.verdict,
        expected_yield: one.forecast.assessment.expected_yield,
        chance: one.forecast.chance,
        new_disease: one.forecast.new_disease,
        misnamed: one.forecast.misnamed,
        diseases: one
            .forecast
            .diseases
            .iter()
            .map(|disease| DiseaseChanceJson {
                pathogen: key(disease.pathogen),
                chance: disease.chance,
            })
            .collect(),
        base_rate: one.forecast.base_rate,
        outcome: outcome_word(&one.outcome),
        named: match &one.outcome {
            Outcome::Sick(named) => named.iter().map(|(pathogen, _)| key(*pathogen)).collect(),
            Outcome::Healthy(_) | Outcome::Open(_) => Vec::new(),
        },
        seen: one
            .outcome
            .records()
            .into_iter()
            .map(|seen| evidence(phrases, &Evidence::sighting(seen)))
            .collect(),
    }
}

/// A replay for going out.
#[must_use]
pub fn replay(phrases: Phrases<'_>, played: &Replay<'_>, worst: usize) -> ReplayJson {
    let knowledge = phrases.knowledge;
    ReplayJson {
        format: FORMAT,
        score: played.score.as_ref().map(score),
        if_unseen_healthy: played.if_unseen_healthy.as_ref().map(score),
        diseases: played
            .diseases
            .iter()
            .map(|row| DiseaseScoreJson {
                pathogen: knowledge.pathogens[row.pathogen].key.to_string(),
                name: phrases.disease(row.pathogen).to_owned(),
                on_record: row.on_record,
                came_on_record: row.came_on_record,
                score: score(&row.score),
            })
            .collect(),
        verdicts: played
            .verdicts
            .iter()
            .map(|row| VerdictScoreJson {
                verdict: row.verdict,
                scored: row.scored,
                sick: row.sick,
                share: row.share,
            })
            .collect(),
        worst: played
            .worst(worst)
            .into_iter()
            .map(|one| MissJson {
                planting: replayed(phrases, one),
                error: one.error().unwrap_or_default(),
                reasons: one
                    .forecast
                    .assessment
                    .reasons
                    .iter()
                    .map(|one| reason(phrases, one))
                    .collect(),
            })
            .collect(),
        harvests: played.harvests.as_ref().map(|harvests| HarvestScoreJson {
            off_by: harvests.off_by,
            usual_off_by: harvests.usual_off_by,
            nearer: harvests.nearer,
            farther: harvests.farther,
            within: harvests.within,
            gain: harvests.gain,
            rank_correlation: harvests.rank_correlation,
            says: harvests.say().word(),
            parts: harvests
                .parts
                .iter()
                .map(|one| PartScoreJson {
                    part: one.part.word(),
                    nearer: one.nearer,
                    farther: one.farther,
                })
                .collect(),
            harvests: harvests
                .cases
                .iter()
                .map(|case| HarvestCaseJson {
                    bed: case.planting.place.bed.to_string(),
                    crop: knowledge.crops[case.planting.crop].key.to_string(),
                    planted: case.planting.planted(),
                    picked_kg_m2: case.picked,
                    expected_kg_m2: case.expected,
                    usual_kg_m2: case.usual,
                })
                .collect(),
        }),
        plantings: played.plantings.iter().map(|one| replayed(phrases, one)).collect(),
    }
}
