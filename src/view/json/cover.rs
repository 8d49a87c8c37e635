//! Covers for a gap, going out.

use serde::Serialize;

use super::super::cover::{fit_words, reasons};
use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{EvidenceJson, evidence};
use crate::advise::cover::{CoverOption, Covers, Goal, Standing, Winter};
use crate::assess::Verdict;
use crate::estimate::Estimate;
use crate::season::Date;

/// One of the plants sown.
#[derive(Clone, Debug, Serialize)]
pub struct CoverPartJson {
    /// Crop key.
    pub crop: String,
    /// Share of its own full seed rate.
    pub share: f64,
    /// Seed rate at that share, g/m2.
    pub rate_g_m2: Estimate,
    /// Seed for the ground, g; null if the ground is not known.
    pub seed_g: Option<Estimate>,
    /// Sowing depth, cm.
    pub depth_cm: Option<Estimate>,
    /// Group of the inoculant, for legumes.
    pub inoculant_group: Option<String>,
}

/// What it does to one of the bed's pathogens.
#[derive(Clone, Debug, Serialize)]
pub struct SoilLifeJson {
    /// Pathogen key.
    pub pathogen: String,
    /// raises, neutral, lowers, or null if nobody has said or it hangs on the species.
    pub turn: Option<&'static str>,
    /// Whether sources contradict each other.
    pub contested: bool,
    /// Whether it rests on memory or relatives alone.
    pub weak: bool,
    /// For a group whose species is not known: pathogen key and turn of each.
    pub by_species: Vec<(String, Option<&'static str>)>,
    /// The test that settles it, where the species decides.
    pub settled_by: Option<String>,
}

/// A claim.
#[derive(Clone, Debug, Serialize)]
pub struct CoverReasonJson {
    /// What it is about.
    pub rule: &'static str,
    /// for, against, neither, unknown.
    pub speaks: &'static str,
    /// In words.
    pub text: String,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
}

/// The next crop after it.
#[derive(Clone, Debug, Serialize)]
pub struct NextCropJson {
    /// Crop key.
    pub crop: String,
    /// Verdict after the cover.
    pub verdict: Verdict,
    /// Verdict after bare ground.
    pub verdict_bare: Verdict,
    /// Yield after the cover.
    pub expected_yield: Estimate,
    /// Yield after bare ground.
    pub yield_bare: Estimate,
}

/// The stand on the day it ends.
#[derive(Clone, Debug, Serialize)]
pub struct StandJson {
    /// Day it ends.
    pub ended: Date,
    /// Dry matter, g/m2.
    pub dry_matter_g_m2: Estimate,
    /// Nitrogen in it, percent.
    pub nitrogen_percent: Estimate,
    /// From the air, g/m2.
    pub fixed_g_m2: Estimate,
    /// From the soil and given back, g/m2.
    pub recycled_g_m2: Estimate,
    /// Free to the next crop, g/m2; below nil it ties up.
    pub available_g_m2: Estimate,
    /// Share of the ground covered on the last day.
    pub ground_cover: Estimate,
    /// Whether nitrogen of the soil set the limit.
    pub starved: bool,
}

/// A cover or mixture for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoverJson {
    /// Key of a published mixture, or null.
    pub mixture: Option<String>,
    /// What is sown.
    pub parts: Vec<CoverPartJson>,
    /// recommended, `with_care`, `not_here`.
    pub standing: Standing,
    /// fits, too short, frost first, too cold, out of season.
    pub fit: &'static str,
    /// lives, dies, `may_die`, unknown.
    pub winter: &'static str,
    /// Day about which frost kills it, if it does.
    pub winter_kill: Option<Date>,
    /// Day to kill it by hand.
    pub kill_on: Date,
    /// Last day that serves the wait.
    pub kill_latest: Date,
    /// How hard it is to kill by hand.
    pub kill_ease: String,
    /// Days to wait after digging in.
    pub wait_dug_in_days: Estimate,
    /// Days to wait if cut and left lying.
    pub wait_as_mulch_days: Estimate,
    /// First day for the next crop.
    pub ready: Date,
    /// The stand; null without site and climate.
    pub stand: Option<StandJson>,
    /// What the goal is measured by.
    pub worth: Option<Estimate>,
    /// What it does to the bed's own pathogens.
    pub own_diseases: Vec<SoilLifeJson>,
    /// The next crop after it.
    pub next: Option<NextCropJson>,
    /// Why.
    pub reasons: Vec<CoverReasonJson>,
}

/// Covers for a gap.
#[derive(Clone, Debug, Serialize)]
pub struct CoversJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First free day.
    pub from: Date,
    /// Day of the next crop.
    pub to: Date,
    /// The goal.
    pub goal: Goal,
    /// Unit of the worth.
    pub worth_unit: &'static str,
    /// Ground, m2.
    pub ground_m2: Option<f64>,
    /// Best first.
    pub covers: Vec<CoverJson>,
}

/// Covers for going out.
#[must_use]
pub fn covers(phrases: Phrases<'_>, covers: &Covers<'_>) -> CoversJson {
    let place = &covers.state.place;
    CoversJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: covers.question.gap.from,
        to: covers.question.gap.to,
        goal: covers.aim.goal,
        worth_unit: covers.aim.goal.unit(),
        ground_m2: covers.ground.map(|ground| ground.0),
        covers: covers.ranked.iter().map(|option| one(phrases, covers, option)).collect(),
    }
}

fn one(phrases: Phrases<'_>, covers: &Covers<'_>, option: &CoverOption) -> CoverJson {
    let knowledge = phrases.knowledge;
    let key = |crop| knowledge.crops[crop].key.to_string();
    CoverJson {
        mixture: option.mixture.as_deref().map(str::to_owned),
        parts: option
            .parts
            .iter()
            .map(|part| CoverPartJson {
                crop: key(part.crop),
                share: part.share,
                rate_g_m2: part.rate,
                seed_g: part.seed,
                depth_cm: part.depth_cm,
                inoculant_group: part.inoculant.as_deref().map(str::to_owned),
            })
            .collect(),
        standing: option.standing,
        fit: fit_words(option.fit),
        winter: match option.winter.winter {
            Winter::Lives => "lives",
            Winter::Dies(_) => "dies",
            Winter::MayDie => "may_die",
            Winter::Unknown => "unknown",
        },
        winter_kill: match option.winter.winter {
            Winter::Dies(day) => Some(day),
            Winter::Lives | Winter::MayDie | Winter::Unknown => None,
        },
        kill_on: option.kill.on,
        kill_latest: option.kill.latest,
        kill_ease: option.kill.ease.to_string(),
        wait_dug_in_days: option.wait.dug_in,
        wait_as_mulch_days: option.wait.as_mulch,
        ready: option.ready(),
        stand: option.stand.as_ref().map(|stand| StandJson {
            ended: stand.ended,
            dry_matter_g_m2: stand.dry_matter,
            nitrogen_percent: stand.nitrogen_percent,
            fixed_g_m2: stand.fixed,
            recycled_g_m2: stand.recycled,
            available_g_m2: stand.available,
            ground_cover: stand.ground_cover,
            starved: stand.is_starved,
        }),
        worth: option.worth,
        own_diseases: option
            .soil_life
            .iter()
            .map(|life| SoilLifeJson {
                pathogen: knowledge.pathogens[life.pathogen].key.to_string(),
                turn: life.turn.map(crate::knowledge::Turn::word),
                contested: life.is_contested,
                weak: life.is_weak,
                by_species: life
                    .by_species
                    .iter()
                    .map(|(species, turn)| {
                        let key = knowledge.pathogens[*species].key.to_string();
                        (key, turn.map(crate::knowledge::Turn::word))
                    })
                    .collect(),
                settled_by: life.hangs_on_species().then(|| {
                    crate::advise::cover::settling_test(knowledge, life.pathogen).to_owned()
                }),
            })
            .collect(),
        next: option.next.as_ref().map(|next| NextCropJson {
            crop: key(next.crop),
            verdict: next.verdict,
            verdict_bare: next.verdict_bare,
            expected_yield: next.expected_yield,
            yield_bare: next.yield_bare,
        }),
        reasons: reasons(phrases, covers, option)
            .into_iter()
            .map(|told| CoverReasonJson {
                rule: told.rule,
                speaks: told.speaks,
                text: told.text,
                evidence: told.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
            })
            .collect(),
    }
}
