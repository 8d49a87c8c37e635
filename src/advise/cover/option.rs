//! One cover or mixture for the gap, and how options are ranked.

use std::sync::Arc;

use super::growth::{grown, growth};
use super::rank::{standing, worth};
use crate::assess::{Assessment, Evidence, Proposal, assess};
use crate::climate::soil::soil_mean_c;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::season::{Date, add_days};
use crate::state::Presence;
use crate::state::stand::{Habit, Stage, Stand, cover_range};

use super::kill::{Kill, KillFor, Wait, day_of_kill, wait_after};
use super::mixture::Mixture;
use super::next::{NextCrop, after};
use super::soil_life::{SoilLife, is_spoken_of, soil_life};
use super::winter::{Winter, WinterAnswer};
use super::{Setting, cover_fact, seed_rate, timing_fact};

/// One of the plants sown.
#[derive(Clone, Debug)]
pub struct Part {
    /// The cover.
    pub crop: CropId,
    /// Share of its own full seed rate.
    pub share: f64,
    /// Seed, g/m2, at that share.
    pub rate: Estimate,
    /// Seed for the ground, g.
    pub seed: Option<Estimate>,
    /// Depth of sowing, cm.
    pub depth_cm: Option<Estimate>,
    /// Group of the inoculant, for legumes.
    pub inoculant: Option<Box<str>>,
}

/// Whether it fits the gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// It does.
    Fits,
    /// Too few days before it must be killed.
    TooShort,
    /// Frost kills it before it has grown.
    FrostFirst,
    /// The soil is too cold to germinate.
    TooCold,
    /// The gap is too warm or too cool for what it is.
    OutOfSeason,
}

/// Whether it may be recommended for this bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// Nothing on record speaks against it.
    Recommended,
    /// Something must be looked at first.
    WithCare,
    /// It feeds a disease that the bed has, or would itself be taken.
    NotHere,
}

/// One cover or mixture.
#[derive(Clone, Debug)]
pub struct CoverOption {
    /// Key of a published mixture.
    pub mixture: Option<Box<str>>,
    /// What is sown.
    pub parts: Vec<Part>,
    /// Whether it may be recommended.
    pub standing: Standing,
    /// Whether it fits the gap.
    pub fit: Fit,
    /// The judgment of the bed for it, of the worst of its parts.
    pub assessment: Assessment,
    /// Soil at sowing depth on the first day, and the least it germinates at.
    pub germination_c: Option<(f64, f64)>,
    /// What frost does, to the tenderest part.
    pub winter: WinterAnswer,
    /// The killing.
    pub kill: Kill,
    /// The wait after it.
    pub wait: Wait,
    /// First bloom.
    pub bloom: [Option<Date>; 3],
    /// The stand on the day it ends; `None` without site and climate.
    pub stand: Option<Stand>,
    /// Nitrogen to the next crop within four to six weeks after killing, as the source has it.
    pub timing: Vec<Evidence>,
    /// What growth rests on.
    pub growth: Vec<Evidence>,
    /// What it does to the bed's own pathogens.
    pub soil_life: Vec<SoilLife>,
    /// The next crop after it.
    pub next: Option<NextCrop>,
    /// What the goal is measured by.
    pub worth: Option<Estimate>,
}

impl CoverOption {
    /// The day it ends, by hand or by frost.
    #[must_use]
    pub fn ended(&self) -> Date {
        match self.winter.winter {
            Winter::Dies(day) => day.min(self.kill.on),
            Winter::Lives | Winter::MayDie | Winter::Unknown => self.kill.on,
        }
    }

    /// First day for the next crop if it is dug in.
    #[must_use]
    pub fn ready(&self) -> Date {
        add_days(self.kill.on, self.wait.dug_in.likely)
    }

    /// Whether a disease of the bed is raised, or may be.
    pub fn raised(&self) -> impl Iterator<Item = &SoilLife> {
        self.soil_life.iter().filter(|life| life.may_raise())
    }
}

/// The option of a mixture; `None` if only what fits is asked for and it does not, which costs no judgment to say.
pub(super) fn of(setting: &Setting<'_, '_>, mixture: &Mixture) -> Option<CoverOption> {
    let (knowledge, policy, gap) = (setting.knowledge, setting.policy, setting.question.gap);
    let crops: Vec<CropId> = mixture.parts.iter().map(|(crop, _)| *crop).collect();
    let wait = crops
        .iter()
        .map(|crop| wait_after(knowledge, *crop, setting.question.next, setting.method))
        .max_by(|a, b| a.dug_in.likely.total_cmp(&b.dug_in.likely))
        .unwrap_or_else(|| wait_after(knowledge, crops[0], setting.question.next, setting.method));
    let latest = add_days(gap.to, -wait.dug_in.likely.ceil());
    let on_site = setting.on_site;
    let habits: Vec<Option<Arc<Habit>>> =
        crops.iter().map(|crop| on_site.habit(knowledge, policy, *crop)).collect();
    // A mixture is killed when its first partner asks for it.
    let lead = lead_of(knowledge, &crops);
    let bloom = habits[lead]
        .as_ref()
        .zip(setting.days)
        .map_or([None; 3], |(habit, days)| on_site.bloom(policy, habit, days, gap));
    let (on, by) =
        day_of_kill(knowledge, policy, crops[lead], setting.goal, (gap.from, latest), bloom[1]);
    let on = on.max(gap.from);
    let winter = crops
        .iter()
        .map(|crop| on_site.winter(knowledge, policy, setting.climate, *crop, (gap.from, on)))
        .reduce(|one, other| if hardness(&other) < hardness(&one) { other } else { one })
        .unwrap_or_else(winter_unknown);
    let ended = match winter.winter {
        Winter::Dies(day) => day.min(on),
        Winter::Lives | Winter::MayDie | Winter::Unknown => on,
    };
    let germination_c = germination(setting, &crops);
    let fits = |grown: Option<&Stand>| fit(setting, &crops, germination_c, (on, ended), grown);
    // What does not fit by its days, whatever it grows to.
    if setting.only_fitting && fits(None) != Fit::Fits {
        return None;
    }
    let grown = grown(setting, mixture, &habits, ended);
    let fit = fits(grown.as_ref());
    if setting.only_fitting && fit != Fit::Fits {
        return None;
    }
    let parts: Vec<Part> =
        mixture.parts.iter().filter_map(|(crop, share)| part(setting, *crop, *share)).collect();
    let assessment = crops
        .iter()
        .map(|crop| assess(knowledge, policy, setting.state, &Proposal::of(*crop, gap.from)))
        .max_by_key(|assessment| assessment.verdict)
        .unwrap_or_else(|| {
            assess(knowledge, policy, setting.state, &Proposal::of(crops[0], gap.from))
        });
    let soil_life = lives(setting, &crops);
    let next = after(setting, crops.iter().copied(), (gap.from, ended));
    let ease = ease(knowledge, &crops);
    let mut option = CoverOption {
        mixture: mixture.key.clone(),
        standing: Standing::Recommended,
        fit,
        assessment,
        germination_c,
        winter,
        kill: Kill {
            on,
            latest,
            by,
            stage: grown.as_ref().map_or(Stage::Leafy, |stand| stand.stage),
            ease: ease.0,
            evidence: ease.1.into_iter().chain(kill_rules(setting, crops[lead], by)).collect(),
        },
        wait,
        bloom,
        growth: growth(setting, habits[lead].as_deref(), grown.as_ref()),
        timing: release_rules(setting, crops[lead]),
        stand: grown,
        soil_life,
        next,
        worth: None,
        parts,
    };
    option.standing = standing(setting, &option);
    option.worth = worth(setting, &option);
    Some(option)
}

fn winter_unknown() -> WinterAnswer {
    WinterAnswer { winter: Winter::Unknown, kill_c: None, chance: None, evidence: Vec::new() }
}

/// The tenderer of two answers comes first.
fn hardness(answer: &WinterAnswer) -> u8 {
    match answer.winter {
        Winter::Dies(_) => 0,
        Winter::MayDie => 1,
        Winter::Unknown => 2,
        Winter::Lives => 3,
    }
}

/// The partner that sets the day of killing: the first legume, else the first.
fn lead_of(knowledge: &Knowledge, crops: &[CropId]) -> usize {
    crops.iter().position(|crop| knowledge.crops[*crop].is_legume()).unwrap_or(0)
}

fn part(setting: &Setting<'_, '_>, crop: CropId, share: f64) -> Option<Part> {
    let knowledge = setting.knowledge;
    let (rate, _) = seed_rate(knowledge, crop)?;
    let rate = rate.map(|grams| grams * share);
    Some(Part {
        crop,
        share,
        rate,
        seed: setting.ground.map(|ground| rate.map(|grams| grams * ground.0)),
        depth_cm: cover_range(knowledge, crop, "sow_depth_cm"),
        inoculant: knowledge
            .cover_figures(crop, "inoculant_group")
            .first()
            .map(|figure| figure.text.clone()),
    })
}

/// What it does to each pathogen of the bed, each once; far-fetched causes of an unknown disease are
/// left out, and so is what does not stay with a bed unless a source speaks of covers and it.
fn lives(setting: &Setting<'_, '_>, crops: &[CropId]) -> Vec<SoilLife> {
    let mut here: Vec<PathogenId> = setting
        .state
        .inocula()
        .filter(|inoculum| {
            setting.knowledge.pathogens[inoculum.pathogen].is_bound_to_bed()
                || is_spoken_of(setting.knowledge, inoculum.pathogen)
        })
        .filter(|inoculum| match inoculum.presence {
            Presence::Candidate(chance) => chance >= setting.policy.far_fetched,
            Presence::Sighted(_) | Presence::Beside => true,
        })
        .map(|inoculum| inoculum.pathogen)
        .collect();
    here.dedup();
    here.into_iter()
        .filter_map(|pathogen| {
            crops
                .iter()
                .map(|crop| soil_life(setting.knowledge, *crop, pathogen))
                // Of a mixture the partner that raises it counts.
                .reduce(
                    |one, other| {
                        if other.may_raise() && !one.may_raise() { other } else { one }
                    },
                )
        })
        .collect()
}

/// Soil on the first day and the least a cover germinates at, of the partner that is nearest to not
/// coming up.
fn germination(setting: &Setting<'_, '_>, crops: &[CropId]) -> Option<(f64, f64)> {
    let climate = setting.climate?;
    let soil = soil_mean_c(climate, setting.question.gap.from) + setting.policy.bare_bed_warmer_c;
    crops
        .iter()
        .filter_map(|crop| cover_range(setting.knowledge, *crop, "min_germ_c"))
        .map(|least| (soil, least.low))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

fn fit(
    setting: &Setting<'_, '_>,
    crops: &[CropId],
    germination: Option<(f64, f64)>,
    (kill, ended): (Date, Date),
    grown: Option<&Stand>,
) -> Fit {
    let (knowledge, policy, gap) = (setting.knowledge, setting.policy, setting.question.gap);
    if germination.is_some_and(|(soil, least)| soil < least) {
        return Fit::TooCold;
    }
    if let Some(climate) = setting.climate {
        let days = (kill - gap.from).num_days().max(1);
        let mean = (0..4)
            .map(|part| climate.mean_c(add_days(gap.from, (days * part / 4) as f64)))
            .sum::<f64>()
            / 4.0;
        let out = crops.iter().any(|crop| {
            match knowledge.cover_figures(*crop, "season").first().map(|figure| &*figure.text) {
                Some("warm") => mean < policy.warm_cover_c,
                Some("cool") => mean > policy.cool_cover_c,
                _ => false,
            }
        });
        if out {
            return Fit::OutOfSeason;
        }
    }
    let least = policy.cover_days_fewest;
    if ((kill - gap.from).num_days() as f64) < least {
        return Fit::TooShort;
    }
    if ((ended - gap.from).num_days() as f64) < least {
        return Fit::FrostFirst;
    }
    match grown {
        // Half of the ground is never covered: the seed is wasted.
        Some(stand) if stand.ground_cover.likely < 0.5 => Fit::TooShort,
        _ => Fit::Fits,
    }
}

fn ease(knowledge: &Knowledge, crops: &[CropId]) -> (Box<str>, Vec<Evidence>) {
    let hard =
        |text: &str| u8::from(text.contains("hard")) * 2 + u8::from(text.contains("moderate"));
    crops
        .iter()
        .filter_map(|crop| knowledge.cover_figures(*crop, "ease_of_kill_by_hand").first())
        .max_by_key(|figure| hard(&figure.text))
        .map_or((Box::default(), Vec::new()), |figure| {
            (figure.text.clone(), vec![cover_fact(figure)])
        })
}

fn rules(setting: &Setting<'_, '_>, crop: CropId, wanted: &[&str]) -> Vec<Evidence> {
    setting
        .knowledge
        .timing_rules()
        .iter()
        .filter(|row| wanted.contains(&&*row.rule))
        .filter(|row| super::applies(setting.knowledge, row, crop))
        .map(|row| timing_fact(setting.knowledge, row))
        .collect()
}

fn kill_rules(setting: &Setting<'_, '_>, crop: CropId, by: KillFor) -> Vec<Evidence> {
    let wanted: &[&str] = match by {
        KillFor::FirstBloom => &["kill_stage_for_most_nitrogen"],
        KillFor::Jointing => &["kill_stage_to_avoid_tie_up"],
        KillFor::Seed => &["kill_stage", "kill_stage_before_viable_seed"],
        KillFor::TheWait => &[],
    };
    rules(setting, crop, wanted)
}

fn release_rules(setting: &Setting<'_, '_>, crop: CropId) -> Vec<Evidence> {
    rules(setting, crop, &["cover_nitrogen_mostly_released_by", "soil_nitrate_peak"])
}
