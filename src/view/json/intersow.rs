//! Covers between standing plants, going out.

use serde::Serialize;

use super::super::intersow::{crop_reasons, option_reasons};
use super::super::phrase::Phrases;
use super::FORMAT;
use super::cover::CoverReasonJson;
use super::judgment::evidence;
use crate::advise::cover::{Standing, Winter};
use crate::advise::intersow::{Areas, Backing, CompanyOption, Intersow, SeedLine, Spot, Timing};
use crate::estimate::Estimate;
use crate::season::Date;

/// Where stems stand and seed goes, cm from the corner.
#[derive(Clone, Debug, Serialize)]
pub struct LayoutJson {
    /// Along the rows, cm.
    pub length_cm: f64,
    /// Across the rows, cm.
    pub width_cm: f64,
    /// Kept free about each stem, cm.
    pub distance_cm: f64,
    /// Stems.
    pub stems: Vec<Spot>,
    /// Lines of seed.
    pub lines: Vec<SeedLine>,
    /// Areas, m2.
    pub areas_m2: Areas,
}

/// A cover between the plants.
#[derive(Clone, Debug, Serialize)]
pub struct CompanyJson {
    /// Crop key.
    pub crop: String,
    /// recommended, `with_care`, `not_here`.
    pub standing: Standing,
    /// `too_early`, doubtful or relay.
    pub timing: Timing,
    /// Whether the day asked for is out of its season.
    pub out_of_season: bool,
    /// First day on which it costs the crop nothing.
    pub window_from: Date,
    /// Last day on which it still covers the ground before it is cut.
    pub window_to: Option<Date>,
    /// Day to cut it.
    pub cut: Option<Date>,
    /// Number of seeds.
    pub seeds: Option<Estimate>,
    /// Seed, g.
    pub seed_g: Option<Estimate>,
    /// Whether seeds are laid one by one.
    pub one_by_one: bool,
    /// Change of the crop's yield, as a fraction.
    pub yield_change: Estimate,
    /// Nitrogen to the crop from the free ground, g.
    pub nitrogen_g: Option<Estimate>,
    /// Keys of the bed's pathogens that both keep.
    pub shared_here: Vec<String>,
    /// trial, practice or parts: how well the pair is known.
    pub backing: Backing,
    /// Stems, seed, areas.
    pub layout: Option<LayoutJson>,
    /// Why.
    pub reasons: Vec<CoverReasonJson>,
}

/// The ground between standing plants.
#[derive(Clone, Debug, Serialize)]
pub struct IntersowJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Day asked for.
    pub on: Date,
    /// What stands.
    pub standing: String,
    /// Whether sources advise against any company.
    pub refused: bool,
    /// lives, dies, `may_die`, unknown; `not_kept` for a crop of one season.
    pub winter: &'static str,
    /// Day by which a crop of one season is done; null for what stands on.
    pub done: Option<Date>,
    /// Day from which the crop grows again.
    pub regrowth: Option<Date>,
    /// Months in which two stands need water; null without rain on record.
    pub dry_months: Option<Vec<u32>>,
    /// What holds for the crop.
    pub reasons: Vec<CoverReasonJson>,
    /// Best first; empty if refused.
    pub covers: Vec<CompanyJson>,
}

/// Covers between standing plants for going out.
#[must_use]
pub fn intersow(phrases: Phrases<'_>, advice: &Intersow<'_>) -> IntersowJson {
    let place = &advice.state.place;
    let told = |rule, speaks, text, leaves: Vec<&crate::assess::Evidence>| CoverReasonJson {
        rule,
        speaks,
        text,
        evidence: leaves.into_iter().map(|leaf| evidence(phrases, leaf)).collect(),
    };
    let mut reasons: Vec<CoverReasonJson> = crop_reasons(phrases, advice)
        .into_iter()
        .map(|one| told(one.rule, one.speaks, one.text, one.evidence))
        .collect();
    if advice.is_refused() {
        let text = "sources advise against any company".to_owned();
        reasons.insert(0, told("not_advised", "against", text, advice.refused.iter().collect()));
    }
    let covers: &[CompanyOption] = if advice.is_refused() { &[] } else { &advice.covers };
    IntersowJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        on: advice.on,
        standing: phrases.knowledge.crops[advice.standing.crop].key.to_string(),
        refused: advice.is_refused(),
        done: advice.survival.done,
        winter: match (advice.survival.done, &advice.survival.winter) {
            (Some(_), _) => "not_kept",
            (None, Winter::Lives) => "lives",
            (None, Winter::Dies(_)) => "dies",
            (None, Winter::MayDie) => "may_die",
            (None, Winter::Unknown) => "unknown",
        },
        regrowth: advice.regrowth.from,
        dry_months: advice.dry_months.clone(),
        reasons,
        covers: covers.iter().map(|option| one(phrases, advice, option)).collect(),
    }
}

fn one(phrases: Phrases<'_>, advice: &Intersow<'_>, option: &CompanyOption) -> CompanyJson {
    let knowledge = phrases.knowledge;
    CompanyJson {
        crop: knowledge.crops[option.crop].key.to_string(),
        standing: option.standing,
        timing: option.calendar.timing,
        out_of_season: option.calendar.is_out_of_season,
        window_from: option.calendar.window_from,
        window_to: option.calendar.window_to,
        cut: option.calendar.cut,
        seeds: option.seeds,
        seed_g: option.grams,
        one_by_one: option.is_single,
        yield_change: option.yield_change,
        nitrogen_g: option.nitrogen_g,
        shared_here: option
            .shared_here
            .iter()
            .map(|pathogen| knowledge.pathogens[*pathogen].key.to_string())
            .collect(),
        backing: option.backing,
        layout: option.layout.as_ref().map(|layout| LayoutJson {
            length_cm: layout.ground.length,
            width_cm: layout.ground.width,
            distance_cm: layout.sowing.distance,
            stems: layout.stems.clone(),
            lines: layout.lines.clone(),
            areas_m2: layout.areas,
        }),
        reasons: option_reasons(phrases, advice, option)
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
