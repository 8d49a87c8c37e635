//! One cover or mixture for the gap, and how options are ranked.

use std::cmp::Ordering;

use crate::assess::{Assessment, Evidence, FigureNote, MissingNote, Proposal, Verdict, assess};
use crate::climate::soil::soil_mean_c;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId, Turn};
use crate::season::{Date, add_days};
use crate::state::Presence;
use crate::state::nutrients::{Need, NeedBasis};
use crate::state::stand::{
    Habit, Stage, Stand, available, cover_range, sod_gives, stand, washed_out,
};

use super::goal::Goal;
use super::kill::{Kill, KillFor, Wait, day_of_kill, wait_after};
use super::mixture::Mixture;
use super::next::{NextCrop, after};
use super::soil_life::{SoilLife, is_spoken_of, soil_life};
use super::winter::{Winter, WinterAnswer, winter};
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

/// The option of a mixture.
pub(super) fn of(setting: &Setting<'_, '_>, mixture: &Mixture) -> CoverOption {
    let (knowledge, policy, gap) = (setting.knowledge, setting.policy, setting.question.gap);
    let crops: Vec<CropId> = mixture.parts.iter().map(|(crop, _)| *crop).collect();
    let parts: Vec<Part> =
        mixture.parts.iter().filter_map(|(crop, share)| part(setting, *crop, *share)).collect();
    let assessment = crops
        .iter()
        .map(|crop| assess(knowledge, policy, setting.state, &Proposal::of(*crop, gap.from)))
        .max_by_key(|assessment| assessment.verdict)
        .unwrap_or_else(|| {
            assess(knowledge, policy, setting.state, &Proposal::of(crops[0], gap.from))
        });
    let wait = crops
        .iter()
        .map(|crop| wait_after(knowledge, *crop, setting.question.next, setting.method))
        .max_by(|a, b| a.dug_in.likely.total_cmp(&b.dug_in.likely))
        .unwrap_or_else(|| wait_after(knowledge, crops[0], setting.question.next, setting.method));
    let latest = add_days(gap.to, -wait.dug_in.likely.ceil());
    let habits: Vec<Option<Habit>> =
        crops.iter().map(|crop| Habit::of(knowledge, policy, *crop)).collect();
    // A mixture is killed when its first partner asks for it.
    let lead = lead_of(knowledge, &crops);
    let bloom = habits[lead]
        .as_ref()
        .zip(setting.days)
        .map_or([None; 3], |(habit, days)| habit.bloom(days, policy, gap.from));
    let (on, by) =
        day_of_kill(knowledge, policy, crops[lead], setting.goal, (gap.from, latest), bloom[1]);
    let on = on.max(gap.from);
    let winter = crops
        .iter()
        .map(|crop| winter(knowledge, policy, setting.climate, *crop, (gap.from, on)))
        .reduce(|one, other| if hardness(&other) < hardness(&one) { other } else { one })
        .unwrap_or_else(winter_unknown);
    let ended = match winter.winter {
        Winter::Dies(day) => day.min(on),
        Winter::Lives | Winter::MayDie | Winter::Unknown => on,
    };
    let grown = grown(setting, mixture, &habits, ended);
    let soil_life = lives(setting, &crops);
    let next = after(setting, crops.iter().copied(), (gap.from, ended));
    let germination_c = germination(setting, &crops);
    let fit = fit(setting, &crops, germination_c, (on, ended), grown.as_ref());
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
        growth: growth(setting, habits[lead].as_ref(), grown.as_ref()),
        timing: release_rules(setting, crops[lead]),
        stand: grown,
        soil_life,
        next,
        worth: None,
        parts,
    };
    option.standing = standing(setting, &option);
    option.worth = worth(setting, &option);
    option
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

/// The stand of a mixture: each partner on its share of the ground, added up.
fn grown(
    setting: &Setting<'_, '_>,
    mixture: &Mixture,
    habits: &[Option<Habit>],
    ended: Date,
) -> Option<Stand> {
    let days = setting.days?;
    let span = (setting.question.gap.from, ended);
    let whole: f64 = mixture.parts.iter().map(|(_, share)| share).sum();
    let mut sum: Option<Stand> = None;
    for ((crop, share), habit) in mixture.parts.iter().zip(habits) {
        let soil = soil_nitrogen(setting, *crop, span);
        let alone =
            stand(setting.knowledge, setting.policy, habit.as_ref()?, days, span, Some(soil))?;
        let share = share / whole;
        sum = Some(match sum {
            None if mixture.parts.len() == 1 => alone,
            None => scaled(alone, share),
            Some(sum) => joined(&sum, &scaled(alone, share)),
        });
    }
    let mut sum = sum?;
    sum.available = available(setting.knowledge, sum.dry_matter, sum.nitrogen_percent);
    let stood = (span.1 - span.0).num_days() as f64;
    let perennial = mixture
        .parts
        .iter()
        .map(|(crop, share)| {
            let gives = sod_gives(setting.knowledge, setting.policy, *crop, stood);
            gives.map(|grams| grams * share / whole)
        })
        .fold(Estimate::ZERO, |sum, one| sum + one);
    let books = &setting.state.nutrients;
    let lost = setting.climate.map_or(Estimate::ZERO, |climate| {
        let idle = (ended, setting.question.gap.to);
        washed_out(setting.policy, climate, idle, |month| books.surplus_mm(month))
    });
    sum.available = kept(sum.available + perennial, lost);
    Some(sum)
}

/// What is left of freed nitrogen after the rain; what ties up does so whatever it rains.
fn kept(available: Estimate, lost: Estimate) -> Estimate {
    let one = |grams: f64, lost: f64| if grams > 0.0 { grams * (1.0 - lost) } else { grams };
    Estimate::new(
        one(available.low, lost.high),
        one(available.likely, lost.likely),
        one(available.high, lost.low),
    )
}

fn scaled(mut stand: Stand, share: f64) -> Stand {
    for figure in [
        &mut stand.dry_matter,
        &mut stand.nitrogen,
        &mut stand.fixed,
        &mut stand.recycled,
        &mut stand.light_mj,
    ] {
        *figure = figure.map(|figure| figure * share);
    }
    stand
}

fn joined(one: &Stand, other: &Stand) -> Stand {
    let dry_matter = one.dry_matter + other.dry_matter;
    let nitrogen = one.nitrogen + other.nitrogen;
    let percent = |nitrogen: f64, mass: f64| if mass > 0.0 { nitrogen / mass * 100.0 } else { 0.0 };
    Stand {
        dry_matter,
        nitrogen,
        nitrogen_percent: Estimate::new(
            percent(nitrogen.low, dry_matter.low),
            percent(nitrogen.likely, dry_matter.likely),
            percent(nitrogen.high, dry_matter.high),
        ),
        fixed: one.fixed + other.fixed,
        recycled: one.recycled + other.recycled,
        light_mj: one.light_mj + other.light_mj,
        ground_cover: one.ground_cover.spanning(other.ground_cover),
        covered_days: one.covered_days.spanning(other.covered_days),
        is_starved: one.is_starved || other.is_starved,
        ..one.clone()
    }
}

/// What the soil can give a cover meanwhile, by the books of the place.
fn soil_nitrogen(setting: &Setting<'_, '_>, crop: CropId, span: (Date, Date)) -> Estimate {
    /// More than any cover takes, so that the books tell what there is.
    const HUNGRY: f64 = 40.0;
    let need = Need {
        grams: [Estimate::exact(HUNGRY), Estimate::ZERO, Estimate::ZERO],
        basis: NeedBasis::Class,
        citation: None,
        fixed_share: Estimate::ZERO,
    };
    setting.state.nutrients.supply(setting.knowledge, crop, &need, span).nitrogen().range()
}

/// What it does to each pathogen of the bed, each once; far-fetched causes of an unknown disease are
/// left out, and so is what does not stay with a bed unless a source speaks of covers and it.
fn lives(setting: &Setting<'_, '_>, crops: &[CropId]) -> Vec<SoilLife> {
    let mut here: Vec<PathogenId> = setting
        .state
        .inocula
        .iter()
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

fn growth(
    setting: &Setting<'_, '_>,
    habit: Option<&Habit>,
    grown: Option<&Stand>,
) -> Vec<Evidence> {
    let (Some(habit), Some(stand)) = (habit, grown) else {
        return vec![Evidence::Missing(MissingNote::SiteAndClimate)];
    };
    let mut evidence = vec![Evidence::Figure(FigureNote::HeatAndLight {
        from: stand.sown,
        to: stand.ended,
        degree_days: stand.degree_days,
        base_c: habit.base_c,
        light_mj: stand.light_mj,
    })];
    if let Some(citation) = &habit.light_use_citation {
        evidence.push(Evidence::Fact(
            crate::assess::FactNote::Cover {
                crop: habit.crop,
                field: "light_use_g_mj".into(),
                range: Some(habit.light_use),
                text: Box::default(),
            },
            citation.clone(),
        ));
    }
    for field in ["n_percent_bloom", "ndfa_percent", "dry_matter_t_ha"] {
        evidence.extend(
            setting
                .knowledge
                .cover_figures(habit.crop, field)
                .iter()
                .find(|figure| figure.range.is_some())
                .map(cover_fact),
        );
    }
    evidence
}

/// Whether it may be recommended: never where it feeds a disease that was seen in this bed, with
/// care where that is possible or the cover itself stands at risk.
fn standing(setting: &Setting<'_, '_>, option: &CoverOption) -> Standing {
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
        let seen = setting.state.inocula.iter().any(|inoculum| {
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
fn worth(setting: &Setting<'_, '_>, option: &CoverOption) -> Option<Estimate> {
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
fn lowered(life: &SoilLife) -> Estimate {
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

fn name(knowledge: &Knowledge, option: &CoverOption) -> Vec<Box<str>> {
    option.parts.iter().map(|part| knowledge.crops[part.crop].name.clone()).collect()
}
