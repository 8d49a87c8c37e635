//! A plan, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::super::plan::unmet_words;
use super::FORMAT;
use super::judgment::{AssessmentJson, assessment};
use crate::advise::cover::{Goal, SoilLife};
use crate::estimate::Estimate;
use crate::knowledge::Turn;
use crate::plan::{
    Company, GardenPlan, GoalKind, HalfMonthWork, NoCompany, Planned, PlannedCover, Unmet,
    WhyAlone, WishBy,
};
use crate::season::Date;

/// One planting of a plan.
#[derive(Clone, Debug, Serialize)]
pub struct PlannedPlantingJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Day of sowing or setting out.
    pub planted: Date,
    /// Day by which the place is free.
    pub removed: Date,
    /// sown or transplanted.
    pub method: &'static str,
    /// First and last day of the harvest.
    pub harvest: Option<[Date; 2]>,
    /// Area, m2.
    pub area_m2: f64,
    /// Harvest to expect if fed, kg.
    pub mass_kg: Option<Estimate>,
    /// Nitrogen to put on, g/m2.
    pub feed_nitrogen_g_m2: Option<Estimate>,
    /// Yield to expect if fed, a fraction.
    pub fed_yield: Estimate,
    /// Whether the grower had decided it.
    pub kept: bool,
    /// The judgment.
    pub assessment: AssessmentJson,
}

/// A wish and what came of it.
#[derive(Clone, Debug, Serialize)]
pub struct PlannedWishJson {
    /// Crop key.
    pub crop: String,
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// kg or m2.
    pub unit: &'static str,
    /// Wished.
    pub wished: f64,
    /// From what stands.
    pub standing: f64,
    /// Planned.
    pub planned: f64,
    /// Share met, 0 to 1.
    pub met: f64,
    /// Why not: `no_yield`, `no_window`, `too_late`, `every_place_waits`, `no_place_free`,
    /// `not_enough_area`; null if met.
    pub unmet: Option<&'static str>,
    /// The same in words.
    pub why: Option<String>,
}

/// What is left in a place.
#[derive(Clone, Debug, Serialize)]
pub struct LeftJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Free N, P and K, g/m2.
    pub nutrients_g_m2: Option<[Estimate; 3]>,
    /// Diseases with the share of a host they would cost at the begin and the end.
    pub diseases: Vec<LeftDiseaseJson>,
}

/// A disease left in a place.
#[derive(Clone, Debug, Serialize)]
pub struct LeftDiseaseJson {
    /// Its key.
    pub pathogen: String,
    /// Loss of a susceptible crop when the plan begins.
    pub loss_at_begin: Estimate,
    /// The same at its end.
    pub loss_at_end: Estimate,
}

/// A legume between what stands.
#[derive(Clone, Debug, Serialize)]
pub struct CompanyJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// What stands there.
    pub with: String,
    /// The legume.
    pub crop: String,
    /// Day of sowing.
    pub sown: Date,
    /// Day it is cut.
    pub cut: Date,
    /// Ground it takes, m2.
    pub area_m2: f64,
    /// Seed, g.
    pub seed_g: Option<Estimate>,
    /// Nitrogen to the crop, g.
    pub nitrogen_g: Option<Estimate>,
    /// Change of the crop's yield, a fraction.
    pub yield_change: Estimate,
    /// Whether the grower had decided it.
    pub kept: bool,
}

/// What stands alone.
#[derive(Clone, Debug, Serialize)]
pub struct AloneJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// What stands there.
    pub with: String,
    /// `none_may_stand`, `no_time`, `spacing_unknown`, `no_room`, `costs_yield` or `shares_disease`.
    pub why: &'static str,
}

/// What a cover does in its gap.
#[derive(Clone, Debug, Serialize)]
pub struct PlannedCoverJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Cover.
    pub crop: String,
    /// Day of sowing.
    pub sown: Date,
    /// What it was ranked for; null if the gap leaves it no time to close.
    pub goal: Option<Goal>,
    /// Day to cut it down.
    pub cut_down: Option<Date>,
    /// Dry matter, g/m2.
    pub dry_matter_g_m2: Option<Estimate>,
    /// Nitrogen from the air, g/m2.
    pub fixed_nitrogen_g_m2: Option<Estimate>,
    /// Nitrogen free to the next crop, g/m2.
    pub free_nitrogen_g_m2: Option<Estimate>,
    /// Pathogens of the bed that it lowers.
    pub lowers: Vec<String>,
    /// Pathogens of the bed that it may raise.
    pub may_raise: Vec<String>,
    /// Its place among the covers for this gap, from 1.
    pub rank: Option<usize>,
}

/// Work of one task on one planting within a half-month.
#[derive(Clone, Debug, Serialize)]
pub struct WorkPartJson {
    /// `prepare`, `sow`, `set_out`, `support`, `weed`, `tend`, `pick`, `clear` or `cut_down`.
    pub task: &'static str,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Hours within the half-month.
    pub hours: Estimate,
}

/// The work of a half-month.
#[derive(Clone, Debug, Serialize)]
pub struct WorkJson {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// Hours a week.
    pub hours_a_week: Estimate,
    /// Whether the likely hours pass the limit; null without one.
    pub over: Option<bool>,
    /// What they are made of, most work first.
    pub parts: Vec<WorkPartJson>,
}

/// A goal for the ground.
#[derive(Clone, Debug, Serialize)]
pub struct GoalJson {
    /// `covered` or `legumes`.
    pub goal: &'static str,
    /// Share of all ground and time asked for.
    pub asked: f64,
    /// Share planned.
    pub planned: f64,
}

/// A plan.
#[derive(Clone, Debug, Serialize)]
pub struct PlanJson {
    /// Format number.
    pub format: u32,
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// Value, m2 of full crops.
    pub value: f64,
    /// No plan is worth more.
    pub bound: f64,
    /// The gap, a share of the value.
    pub gap: f64,
    /// The seed.
    pub seed: u64,
    /// Share of the planted ground and time under legumes.
    pub legume_share: f64,
    /// Share of all ground and time under legumes.
    pub legumes_of_all: f64,
    /// Share of the ground and time under any crop.
    pub covered_share: f64,
    /// Legumes between what stands.
    pub company: Vec<CompanyJson>,
    /// What stands alone, and why.
    pub alone: Vec<AloneJson>,
    /// What the covers do.
    pub covers: Vec<PlannedCoverJson>,
    /// Goals asked for.
    pub goals: Vec<GoalJson>,
    /// Hours a week there are, if a limit was asked for.
    pub hours_a_week: Option<f64>,
    /// Work, half-month by half-month.
    pub work: Vec<WorkJson>,
    /// The plantings.
    pub plantings: Vec<PlannedPlantingJson>,
    /// The wishes.
    pub wishes: Vec<PlannedWishJson>,
    /// What is left.
    pub left: Vec<LeftJson>,
}

/// A plan for going out.
#[must_use]
pub fn plan(phrases: Phrases<'_>, plan: &GardenPlan) -> PlanJson {
    let key = |crop| phrases.knowledge.crops[crop].key.to_string();
    PlanJson {
        format: FORMAT,
        from: plan.half_months.day(0),
        to: plan.half_months.end(),
        value: plan.value,
        bound: plan.bound,
        gap: plan.gap,
        seed: plan.seed,
        legume_share: plan.legume_share,
        legumes_of_all: plan.legumes_of_all,
        covered_share: plan.covered_share,
        company: plan.company.iter().map(|company| company_json(phrases, company)).collect(),
        alone: plan.alone.iter().map(|alone| alone_json(phrases, alone)).collect(),
        covers: plan.covers.iter().map(|cover| cover_json(phrases, plan, cover)).collect(),
        goals: plan.goals.iter().map(|goal| goal_json(plan, *goal)).collect(),
        hours_a_week: plan.hours_a_week,
        work: plan.work.iter().map(|work| work_json(phrases, plan, work)).collect(),
        plantings: plan
            .plantings
            .iter()
            .map(|planting| PlannedPlantingJson {
                bed: planting.place.bed.to_string(),
                section: planting.place.section.as_deref().map(str::to_owned),
                crop: key(planting.crop),
                planted: planting.planted,
                removed: planting.cleared,
                method: planting.method.word(),
                harvest: planting.harvest.map(|(first, last)| [first, last]),
                area_m2: planting.area.0,
                mass_kg: planting.mass,
                feed_nitrogen_g_m2: planting.feed,
                fed_yield: planting.fed_yield,
                kept: planting.planned == Planned::Kept,
                assessment: assessment(phrases, &planting.place, &planting.assessment, &[]),
            })
            .collect(),
        wishes: plan
            .wishes
            .iter()
            .map(|wish| PlannedWishJson {
                crop: key(wish.crop),
                from: wish.from,
                to: wish.to,
                unit: match wish.by {
                    WishBy::Mass(_) => "kg",
                    WishBy::Area(_) => "m2",
                },
                wished: wish.wanted(),
                standing: wish.standing,
                planned: wish.planned,
                met: wish.met(),
                unmet: wish.unmet.as_ref().map(unmet_key),
                why: wish.unmet.as_ref().map(|unmet| unmet_words(phrases, unmet)),
            })
            .collect(),
        left: plan
            .left
            .iter()
            .map(|left| LeftJson {
                bed: left.place.bed.to_string(),
                section: left.place.section.as_deref().map(str::to_owned),
                nutrients_g_m2: left.nutrients,
                diseases: left
                    .diseases
                    .iter()
                    .map(|(pathogen, end, begin)| LeftDiseaseJson {
                        pathogen: phrases.knowledge.pathogens[*pathogen].key.to_string(),
                        loss_at_begin: *begin,
                        loss_at_end: *end,
                    })
                    .collect(),
            })
            .collect(),
    }
}

fn company_json(phrases: Phrases<'_>, company: &Company) -> CompanyJson {
    let key = |crop| phrases.knowledge.crops[crop].key.to_string();
    CompanyJson {
        bed: company.place.bed.to_string(),
        section: company.place.section.as_deref().map(str::to_owned),
        with: key(company.with),
        crop: key(company.crop),
        sown: company.sown,
        cut: company.cut,
        area_m2: company.area.0,
        seed_g: company.grams,
        nitrogen_g: company.nitrogen_g,
        yield_change: company.yield_change,
        kept: company.kept,
    }
}

fn alone_json(phrases: Phrases<'_>, alone: &NoCompany) -> AloneJson {
    AloneJson {
        bed: alone.place.bed.to_string(),
        section: alone.place.section.as_deref().map(str::to_owned),
        with: phrases.knowledge.crops[alone.with].key.to_string(),
        why: match alone.why {
            WhyAlone::NoneMayStand => "none_may_stand",
            WhyAlone::NoTime => "no_time",
            WhyAlone::SpacingUnknown => "spacing_unknown",
            WhyAlone::NoRoom => "no_room",
            WhyAlone::CostsYield => "costs_yield",
            WhyAlone::Shares(_) => "shares_disease",
        },
    }
}

fn cover_json(phrases: Phrases<'_>, plan: &GardenPlan, cover: &PlannedCover) -> PlannedCoverJson {
    let candidate = cover.candidate.as_ref();
    let lives = || candidate.into_iter().flat_map(|candidate| &candidate.soil_life);
    let key = |life: &SoilLife| phrases.knowledge.pathogens[life.pathogen].key.to_string();
    PlannedCoverJson {
        bed: cover.place.bed.to_string(),
        section: cover.place.section.as_deref().map(str::to_owned),
        crop: phrases.knowledge.crops[cover.crop].key.to_string(),
        sown: cover.sown,
        goal: candidate.map(|candidate| candidate.goal),
        cut_down: cover.cut(plan),
        dry_matter_g_m2: candidate.and_then(|candidate| candidate.dry_matter),
        fixed_nitrogen_g_m2: candidate.and_then(|candidate| candidate.fixed),
        free_nitrogen_g_m2: candidate.and_then(|candidate| candidate.available),
        lowers: lives().filter(|life| life.turn == Some(Turn::Lowers)).map(key).collect(),
        may_raise: lives().filter(|life| life.may_raise()).map(key).collect(),
        rank: cover.rank,
    }
}

fn goal_json(plan: &GardenPlan, goal: crate::plan::Goal) -> GoalJson {
    let (word, planned) = match goal.kind {
        GoalKind::Covered => ("covered", plan.covered_share),
        GoalKind::Legumes => ("legumes", plan.legumes_of_all),
    };
    GoalJson { goal: word, asked: goal.share, planned }
}

fn work_json(phrases: Phrases<'_>, plan: &GardenPlan, work: &HalfMonthWork) -> WorkJson {
    WorkJson {
        from: work.from,
        to: work.to,
        hours_a_week: work.a_week(),
        over: plan.hours_a_week.map(|limit| work.a_week().likely > limit + 1e-6),
        parts: work
            .parts
            .iter()
            .map(|part| WorkPartJson {
                task: part.task.word(),
                bed: part.place.bed.to_string(),
                section: part.place.section.as_deref().map(str::to_owned),
                crop: phrases.knowledge.crops[part.crop].key.to_string(),
                hours: part.hours,
            })
            .collect(),
    }
}

fn unmet_key(unmet: &Unmet) -> &'static str {
    match unmet {
        Unmet::NoYield => "no_yield",
        Unmet::NoWindow { .. } => "no_window",
        Unmet::TooLate { .. } => "too_late",
        Unmet::EveryPlaceWaits { .. } => "every_place_waits",
        Unmet::NoPlaceFree { .. } => "no_place_free",
        Unmet::NotEnoughArea { .. } => "not_enough_area",
    }
}
