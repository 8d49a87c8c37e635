//! Which cover fits a gap and what it is worth there: growth by heat and light, nitrogen, frost,
//! killing by hand, the wait after it, and what it does to the bed's own diseases and to the next
//! crop.
//!
//! A cover that feeds what the bed has is never recommended; it stands at the end of the ranking
//! with that reason. Among the others those that fit the days, the temperatures and the winter come
//! first, and then what the goal asks for, measured in its own unit.

mod gap;
mod goal;
mod growth;
mod kill;
mod mixture;
mod next;
mod on_site;
mod option;
mod rank;
mod soil_life;
mod winter;

pub use gap::{Asked, FoundGap, Gap, GapEnd, find_gap};
pub use goal::{Aim, Goal, Why, need_of_bed};
pub use kill::{Kill, KillFor, Start, Wait, wait_after};
pub use mixture::{Mixture, mixtures};
pub use next::NextCrop;
pub use on_site::OnSite;
pub use option::{CoverOption, Fit, Part, Standing};
pub use soil_life::{SoilLife, settling_test, soil_life};
pub use winter::{Winter, WinterAnswer, winter};

use crate::assess::{Evidence, FactNote};
use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Figure, Knowledge, Meant, TimingRule};
use crate::policy::Policy;
use crate::records::{Garden, Method, Place};
use crate::season::Date;
use crate::state::BedState;
use crate::state::stand::Days;
use crate::units::SquareMetres;

/// What is asked of a cover.
#[derive(Clone, Copy, Debug)]
pub struct Question {
    /// The gap.
    pub gap: Gap,
    /// The next crop, if it is known.
    pub next: Option<CropId>,
    /// How it is started; `None` for the way of this garden.
    pub next_method: Option<Method>,
    /// The goal; `None` for what the bed needs most.
    pub goal: Option<Goal>,
}

/// The answer: covers and simple mixtures, best first.
#[derive(Debug)]
pub struct Covers<'g> {
    /// The state of the place on the first free day.
    pub state: BedState<'g>,
    /// What was asked.
    pub question: Question,
    /// The goal and why.
    pub aim: Aim,
    /// Ground to sow.
    pub ground: Option<SquareMetres>,
    /// Whether site and climate are on record, without which nothing can be said of growth.
    pub grows_on_paper: bool,
    /// Best first.
    pub ranked: Vec<CoverOption>,
}

/// All that the parts of the answer look at.
struct Setting<'a, 'g> {
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    garden: &'g Garden,
    state: &'a BedState<'g>,
    climate: Option<&'a Climate<'g>>,
    days: Option<&'a Days>,
    question: Question,
    method: Option<Method>,
    goal: Goal,
    ground: Option<SquareMetres>,
    /// Whether what does not fit the gap is left out.
    only_fitting: bool,
    on_site: &'a OnSite,
    /// The next crop on the same day after bare ground.
    bare: Option<next::Judged>,
}

/// Covers for a gap in a place, best first.
#[must_use]
pub fn cover<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    place: &Place,
    question: Question,
) -> Covers<'g> {
    covers_of(knowledge, policy, garden, place, question, None)
}

/// Covers for a gap: all of them, or for a plan, which hands in what it knows of the site, only those
/// that fit it. These cost it no judgments of others.
fn covers_of<'g>(
    knowledge: &'g Knowledge,
    policy: &'g Policy,
    garden: &'g Garden,
    place: &Place,
    question: Question,
    of_plan: Option<&OnSite>,
) -> Covers<'g> {
    let fresh = OnSite::default();
    let on_site = of_plan.unwrap_or(&fresh);
    let gap = question.gap;
    let state = BedState::at(garden, knowledge, policy, place, gap.from);
    let climate = Climate::of(garden);
    let days = on_site.days(policy, climate.as_ref(), gap);
    let aim = question.goal.map_or_else(
        || need_of_bed(knowledge, policy, &state, gap, question.next),
        |goal| Aim { goal, why: Why::Asked },
    );
    let ground = super::ground_of(garden, &state);
    let method = question
        .next_method
        .or_else(|| question.next.and_then(|next| gap::usual_method(knowledge, garden, next)));
    let setting = Setting {
        knowledge,
        policy,
        garden,
        state: &state,
        climate: climate.as_ref(),
        days: days.as_deref(),
        question,
        method,
        goal: aim.goal,
        ground,
        only_fitting: of_plan.is_some(),
        on_site,
        bare: next::bare(knowledge, policy, garden, place, question, method),
    };
    let mut ranked: Vec<CoverOption> = grown_as_covers(knowledge)
        .into_iter()
        .filter_map(|crop| option::of(&setting, &Mixture::of_one(crop)))
        .collect();
    let mixed: Vec<CoverOption> = mixtures(knowledge, policy, &ranked)
        .iter()
        .filter_map(|mixture| option::of(&setting, mixture))
        .collect();
    ranked.extend(mixed);
    ranked.sort_by(|a, b| rank::order(knowledge, a, b));
    let grows_on_paper = days.is_some();
    Covers { state, question, aim, ground, grows_on_paper, ranked }
}

/// Plants that the tables know as covers: those with a kind and a seed rate.
fn grown_as_covers(knowledge: &Knowledge) -> Vec<CropId> {
    knowledge
        .covers()
        .into_iter()
        .filter(|crop| !knowledge.cover_figures(*crop, "type").is_empty())
        .filter(|crop| seed_rate(knowledge, *crop).is_some())
        .collect()
}

/// Seed rate by hand, g/m2: the garden's where it is published, else the broadcast field rate, else
/// the drilled one.
#[must_use]
pub fn seed_rate(knowledge: &Knowledge, crop: CropId) -> Option<(Estimate, &Figure)> {
    const KG_HA_IN_G_M2: f64 = 0.1;
    let of = |field: &str| {
        knowledge.cover_figures(crop, field).iter().find_map(|figure| Some((figure.range?, figure)))
    };
    of("seed_rate_g_m2").or_else(|| {
        of("seed_rate_kg_ha_broadcast")
            .or_else(|| of("seed_rate_kg_ha_drilled"))
            .map(|(rate, figure)| (rate.map(|kg| kg * KG_HA_IN_G_M2), figure))
    })
}

/// Whether a rule of timing means a cover, by key, by group, or because it means all.
fn applies(knowledge: &Knowledge, row: &TimingRule, crop: CropId) -> bool {
    match &row.applies_to {
        None => true,
        Some(Meant::One(one)) => *one == crop,
        Some(Meant::Words(group)) => knowledge.sequences.is_member(&knowledge.crops, group, crop),
    }
}

/// A rule of timing as evidence.
fn timing_fact(knowledge: &Knowledge, row: &TimingRule) -> Evidence {
    let applies_to =
        row.applies_to.as_ref().map_or("", |meant| meant.written(&knowledge.crops)).into();
    Evidence::Fact(
        FactNote::Timing {
            rule: row.rule.clone(),
            applies_to,
            range: row.range,
            at_least: row.at_least,
            text: row.text.clone(),
            unit: row.unit.clone(),
        },
        row.citation.clone(),
    )
}

/// A figure of a cover as evidence.
fn cover_fact(figure: &Figure) -> Evidence {
    Evidence::Fact(
        FactNote::Cover {
            crop: figure.crop,
            field: figure.field.clone(),
            range: figure.range,
            text: figure.text.clone(),
        },
        figure.citation.clone(),
    )
}

/// A cover as a planting that a plan may take: what it is, when, and what it does.
#[derive(Clone, Debug)]
pub struct CoverCandidate {
    /// What is sown, with grams of seed where the ground is known.
    pub parts: Vec<Part>,
    /// Day of sowing.
    pub sown: Date,
    /// Day it is killed.
    pub killed: Date,
    /// First day for the next crop, if it is dug in.
    pub ready: Date,
    /// Whether it may be recommended.
    pub standing: Standing,
    /// What it was ranked for.
    pub goal: Goal,
    /// What the goal is measured by, in the goal's unit.
    pub worth: Option<Estimate>,
    /// Dry matter, g/m2.
    pub dry_matter: Option<Estimate>,
    /// Nitrogen from the air, g/m2.
    pub fixed: Option<Estimate>,
    /// Nitrogen free to the next crop, g/m2; below nil it ties up.
    pub available: Option<Estimate>,
    /// Factor on the yield of the next crop beside bare ground.
    pub next_yield: Estimate,
    /// What it does to the bed's diseases.
    pub soil_life: Vec<SoilLife>,
}

/// Covers that a plan may put into a gap: those that fit it, best first, those that feed the bed's
/// own diseases left out. At most so many, by what is known of the garden's site so far.
#[must_use]
pub fn candidates(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    question: Question,
    (most, on_site): (usize, &OnSite),
) -> Vec<CoverCandidate> {
    let covers = covers_of(knowledge, policy, garden, place, question, Some(on_site));
    let goal = covers.aim.goal;
    covers
        .ranked
        .into_iter()
        .filter(|option| option.fit == Fit::Fits && option.standing != Standing::NotHere)
        .take(most)
        .map(|option| CoverCandidate {
            sown: question.gap.from,
            killed: option.ended(),
            ready: option.ready(),
            standing: option.standing,
            goal,
            worth: option.worth,
            dry_matter: option.stand.as_ref().map(|stand| stand.dry_matter),
            fixed: option.stand.as_ref().map(|stand| stand.fixed),
            available: option.stand.as_ref().map(|stand| stand.available),
            next_yield: option.next.as_ref().map_or(Estimate::ONE, NextCrop::factor),
            soil_life: option.soil_life,
            parts: option.parts,
        })
        .collect()
}
