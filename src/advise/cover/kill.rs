//! When and how a cover is killed by hand, and how long the next crop waits after it.

use crate::assess::{Evidence, FactNote};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, TimingRule};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::{Date, add_days};
use crate::state::stand::Stage;

use super::goal::Goal;

/// How the next crop is started, as far as the wait goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Start {
    /// Small seed in place.
    SmallSeed,
    /// Large seed in place, which maggots of fresh green matter eat.
    LargeSeed,
    /// Plants, sets, tubers, cloves.
    Transplants,
    /// Not known.
    Unknown,
}

/// Days between killing a cover and the next crop.
#[derive(Clone, Debug)]
pub struct Wait {
    /// How the next crop is started.
    pub start: Start,
    /// Days after it is dug in.
    pub dug_in: Estimate,
    /// Days after it is cut and left on the surface as a mulch.
    pub as_mulch: Estimate,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// How a next crop is started.
#[must_use]
pub(super) fn start_of(
    knowledge: &Knowledge,
    next: Option<CropId>,
    method: Option<Method>,
) -> Start {
    let Some(next) = next else { return Start::Unknown };
    if knowledge.piece(next).is_some() {
        return Start::Transplants;
    }
    match method {
        Some(Method::Transplanted) => Start::Transplants,
        Some(Method::Sown | Method::Volunteer) => {
            if knowledge.sequences.is_member(&knowledge.crops, "small_seeded_crops", next) {
                Start::SmallSeed
            } else {
                Start::LargeSeed
            }
        }
        None => Start::Unknown,
    }
}

/// Days to wait after a cover, from every rule and statement that means it.
#[must_use]
pub fn wait_after(
    knowledge: &Knowledge,
    cover: CropId,
    next: Option<CropId>,
    method: Option<Method>,
) -> Wait {
    const DAYS_A_WEEK: f64 = 7.0;
    /// Waits longer than this are returns, not residues.
    const LONGEST_DAYS: f64 = 100.0;
    let start = start_of(knowledge, next, method);
    let rule = match start {
        Start::SmallSeed => "wait_after_incorporation_small_seed",
        Start::LargeSeed => "wait_after_incorporation_maggots",
        Start::Transplants => "wait_after_incorporation_transplants",
        Start::Unknown => "wait_after_incorporation",
    };
    let of = |rule: &str| -> Vec<&TimingRule> {
        knowledge
            .timing_rules()
            .iter()
            .filter(|row| &*row.rule == rule && super::applies(knowledge, row, cover))
            .collect()
    };
    let mut rules = of(rule);
    if rules.is_empty() {
        rules = of("wait_after_incorporation");
    }
    let mut evidence: Vec<Evidence> =
        rules.iter().map(|row| super::timing_fact(knowledge, row)).collect();
    let mut waits: Vec<Estimate> = rules
        .iter()
        .filter_map(|row| row.range)
        .map(|weeks| weeks.map(|weeks| weeks * DAYS_A_WEEK))
        .collect();
    if let Some(next) = next {
        let pairs = knowledge.sequences.on(cover, next).filter(|row| {
            let clashes = matches!(
                (&*row.next_method, start),
                ("sown", Start::Transplants)
                    | ("transplanted", Start::SmallSeed | Start::LargeSeed)
            );
            // A rule for this way of starting says more than one for all crops.
            let for_all = &*row.next == "any" && start != Start::Unknown;
            !clashes && !for_all && &*row.previous_condition != "killed_as_mulch"
        });
        for row in pairs {
            let Some(wait) = row.wait_days.filter(|wait| wait.high < LONGEST_DAYS) else {
                continue;
            };
            waits.push(wait);
            let effect = match row.follows {
                crate::knowledge::Follows::Well => "good",
                crate::knowledge::Follows::Badly => "bad",
                crate::knowledge::Follows::Neutral => "neutral",
            };
            evidence.push(Evidence::Fact(
                FactNote::Sequence {
                    previous: row.previous.clone(),
                    next: row.next.clone(),
                    effect,
                    wait_days: row.wait_days,
                    note: row.note.clone(),
                },
                row.citation.clone(),
            ));
        }
    }
    let dug_in = waits
        .into_iter()
        .reduce(|one, other| Estimate {
            low: one.low.min(other.low),
            // The longer of two printed waits is the safe one.
            likely: one.likely.max(other.likely),
            high: one.high.max(other.high),
        })
        .unwrap_or(Estimate { low: 14.0, likely: 21.0, high: 28.0 });
    let mulch = of("wait_after_cut_as_mulch");
    evidence.extend(mulch.iter().map(|row| super::timing_fact(knowledge, row)));
    // Small seed does not come up through a mulch.
    let as_mulch = match start {
        Start::Transplants | Start::LargeSeed | Start::Unknown => mulch
            .iter()
            .find_map(|row| row.range)
            .map_or(Estimate::ZERO, |weeks| weeks.map(|weeks| weeks * DAYS_A_WEEK)),
        Start::SmallSeed => dug_in,
    };
    Wait { start, dug_in, as_mulch, evidence }
}

/// When a cover is killed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum KillFor {
    /// As late as the wait allows.
    TheWait,
    /// In bud or first bloom, when a legume holds most nitrogen that comes free.
    FirstBloom,
    /// Before a cereal joints, so that it ties nothing up.
    Jointing,
    /// Before it sets seed.
    Seed,
}

/// The killing of a cover.
#[derive(Clone, Debug)]
pub struct Kill {
    /// The day for it.
    pub on: Date,
    /// The last day that serves the wait of the next crop, if dug in.
    pub latest: Date,
    /// What set the day.
    pub by: KillFor,
    /// Stage then.
    pub stage: Stage,
    /// The word of the tables for how hard it is to kill by hand.
    pub ease: Box<str>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

impl Kill {
    /// Whether it is hard to kill by hand, so that it may come back in the next crop.
    #[must_use]
    pub fn is_hard(&self) -> bool {
        self.ease.contains("hard")
    }
}

/// The day to kill a cover: no later than the wait allows, sooner where its stage asks for it.
pub(super) fn day_of_kill(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    goal: Goal,
    (from, latest): (Date, Date),
    bloom: Option<Date>,
) -> (Date, KillFor) {
    let least = add_days(from, policy.cover_days_fewest).min(latest);
    let Some(bloom) = bloom else { return (latest, KillFor::TheWait) };
    let is_legume = knowledge.crops[crop].is_legume();
    let cereal = knowledge.sequences.is_member(&knowledge.crops, "cereal_cover", crop)
        || knowledge.sequences.is_member(&knowledge.crops, "grass_cover", crop);
    let days = (bloom - from).num_days() as f64;
    let (wanted, by) = match goal {
        Goal::Nitrogen if is_legume => (add_days(bloom, 3.0), KillFor::FirstBloom),
        Goal::Nitrogen | Goal::Scavenging if cereal => {
            (add_days(from, days * policy.jointing_share), KillFor::Jointing)
        }
        Goal::Nitrogen
        | Goal::Weeds
        | Goal::OrganicMatter
        | Goal::Scavenging
        | Goal::Nematodes
        | Goal::Bloom => (add_days(bloom, policy.days_from_bloom_to_seed), KillFor::Seed),
    };
    // Killing early to spare nitrogen leaves the ground bare for as long: the gap comes first where
    // it is nearly over.
    if wanted >= latest { (latest, KillFor::TheWait) } else { (wanted.max(least), by) }
}
