//! One cover between the plants: distance, seed, nitrogen, shared diseases, and whether it may stand.

use super::super::cover::{SoilLife, Standing, Winter, WinterAnswer, seed_rate, soil_life, winter};
use super::Setting;
use super::calendar::{self, Calendar};
use super::company::{self, Timing, canopy, crop_days, rival, yield_change};
use super::geometry::{Layout, Sowing};
use crate::assess::{Assessment, Evidence, Proposal, assess};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId, Turn, Undersowing, UndersowingKind};
use crate::policy::Policy;
use crate::state::Presence;
use crate::state::stand::{Habit, Stand, cover_range, stand};

/// How well a pair is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Backing {
    /// A trial of the pair, or of a mixture with it.
    Trial,
    /// Practice that names the pair.
    Practice,
    /// Only the parts: the answer is built from them.
    Parts,
}

/// One cover between the plants.
#[derive(Clone, Debug)]
pub struct CompanyOption {
    /// The cover.
    pub crop: CropId,
    /// Whether it may be recommended.
    pub standing: Standing,
    /// Rows by which sources advise against this pair.
    pub refused: Vec<Evidence>,
    /// The judgment of the bed's soil for it.
    pub assessment: Assessment,
    /// Distance kept from stems, cm.
    pub distance_cm: Estimate,
    /// What the distance rests on; empty where it is policy.
    pub distance_evidence: Vec<Evidence>,
    /// Stems, lines of seed, areas; `None` where plants or spacing are not known.
    pub layout: Option<Layout>,
    /// Number of seeds, low to high.
    pub seeds: Option<Estimate>,
    /// Seed, g.
    pub grams: Option<Estimate>,
    /// Whether seeds are laid one by one.
    pub is_single: bool,
    /// When.
    pub calendar: Calendar,
    /// What the company costs the crop.
    pub yield_change: Estimate,
    /// The stand when it is cut, on a square metre of free ground.
    pub stand: Option<Stand>,
    /// Nitrogen to the crop from the free ground, g; below nil it ties up.
    pub nitrogen_g: Option<Estimate>,
    /// Shade it bears, 0 to 4.
    pub shade: Option<f64>,
    /// Pathogens of this bed that it and the crop both keep.
    pub shared_here: Vec<PathogenId>,
    /// Pathogens that both keep, not on record here.
    pub shared_elsewhere: usize,
    /// What it does to each pathogen of the bed.
    pub soil_life: Vec<SoilLife>,
    /// What is published of the pair.
    pub said: Vec<Evidence>,
    /// How well the pair is known.
    pub backing: Backing,
    /// Whether it may come back after it is cut.
    pub is_hard_to_kill: bool,
    /// What frost does to it before it is cut.
    pub winter: WinterAnswer,
}

pub(super) fn option(setting: &Setting<'_, '_>, crop: CropId) -> CompanyOption {
    let (knowledge, policy) = (setting.knowledge, setting.policy);
    let habit = Habit::of(knowledge, policy, crop);
    let mut calendar = calendar::of(setting, crop, habit.as_ref());
    let until = calendar.cut.unwrap_or(setting.on);
    let frost = winter(knowledge, policy, setting.frost, crop, (setting.on, until));
    if let Winter::Dies(day) = frost.winter {
        let stood = (day - calendar.sow).num_days() as f64;
        calendar.cut = (stood >= policy.cover_days_fewest).then_some(day);
    }
    let said = company::said_of_pair(knowledge, setting.standing.crop, crop);
    let (distance_cm, distance_evidence) = distance(setting, crop);
    let seed_mass = cover_range(knowledge, crop, "seed_mass_g");
    let is_single = seed_mass.is_some_and(|grams| grams.likely >= policy.intersow_single_seed_g);
    let rate = seed_rate(knowledge, crop).map(|(rate, _)| rate);
    let layout = setting.standing.ground.map(|ground| {
        let between_seeds = match (rate, seed_mass) {
            (Some(rate), Some(mass)) if is_single => between_seeds(policy, rate, mass),
            _ => policy.intersow_pinch_cm,
        };
        Layout::new(
            ground,
            Sowing {
                distance: distance_cm.likely.ceil(),
                margin: policy.intersow_margin_cm,
                between_lines: policy.intersow_lines_cm,
                between_seeds,
            },
        )
    });
    let (seeds, grams) = seed(layout.as_ref(), rate, seed_mass, is_single);
    let sown = calendar.sow;
    let grown =
        setting.days.zip(habit.as_ref()).zip(calendar.cut).and_then(|((days, habit), cut)| {
            stand(knowledge, policy, habit, days, (sown, cut), None)
        });
    let free = layout.as_ref().map(|layout| layout.areas.free);
    let nitrogen_g =
        free.zip(grown.as_ref()).map(|(free, stand)| stand.available.map(|grams| grams * free));
    let after = (sown - setting.standing.planted).num_days() as f64;
    let whole = crop_days(knowledge, setting.policy, setting.standing.crop)
        .max((setting.on - setting.standing.planted).num_days() as f64);
    let change = yield_change(
        policy,
        canopy(knowledge, setting.standing.crop),
        rival(knowledge, policy, crop),
        after,
        whole,
    );
    let (shared_here, shared_elsewhere) = shared(setting, crop);
    let mut option = CompanyOption {
        crop,
        standing: Standing::Recommended,
        refused: company::advised_against(knowledge, setting.standing.crop, Some(crop))
            .map(|row| company::fact(knowledge, row))
            .collect(),
        assessment: assess(knowledge, policy, setting.state, &Proposal::of(crop, setting.on)),
        distance_cm,
        distance_evidence,
        layout,
        seeds,
        grams,
        is_single,
        calendar,
        yield_change: change,
        stand: grown,
        nitrogen_g,
        shade: cover_range(knowledge, crop, "shade_tolerance").map(|shade| shade.likely),
        shared_here,
        shared_elsewhere,
        soil_life: setting
            .state
            .inocula()
            .filter(|one| knowledge.pathogens[one.pathogen].is_bound_to_bed())
            .filter(|one| matches!(one.presence, Presence::Sighted(_)))
            .map(|one| soil_life(knowledge, crop, one.pathogen))
            .collect(),
        backing: backing(&said, crop),
        is_hard_to_kill: hard(knowledge, crop) == 2,
        winter: frost,
        said: said.into_iter().map(|row| company::fact(knowledge, row)).collect(),
    };
    option.standing = standing_of(setting, &option);
    option
}

/// How well a pair is known by what is said of it.
pub(super) fn backing(said: &[&Undersowing], crop: CropId) -> Backing {
    let names = |row: &&&Undersowing| row.covers.iter().any(|cover| cover.is(crop));
    if said.iter().filter(names).any(|row| row.kind == UndersowingKind::Trial) {
        Backing::Trial
    } else if said.iter().any(|row| names(&row)) {
        Backing::Practice
    } else {
        Backing::Parts
    }
}

/// Distance from the stems: what is printed for the pair, for the crop, or policy.
pub(super) fn distance(setting: &Setting<'_, '_>, crop: CropId) -> (Estimate, Vec<Evidence>) {
    let rows =
        || {
            setting.knowledge.undersowings().iter().filter(|row| {
                row.offset_cm.is_some() && company::speaks_of(row, setting.standing.crop)
            })
        };
    let pair = |row: &&Undersowing| row.covers.iter().any(|cover| cover.is(crop));
    let row = rows().find(pair).or_else(|| {
        rows().max_by(|a, b| {
            let far = |row: &Undersowing| row.offset_cm.map_or(0.0, |offset| offset.high);
            far(a).total_cmp(&far(b))
        })
    });
    match row.and_then(|row| Some((row.offset_cm?, row))) {
        Some((offset, row)) => (offset, vec![company::fact(setting.knowledge, row)]),
        None => (setting.policy.intersow_distance_cm, Vec::new()),
    }
}

/// Distance between seeds laid one by one, whole centimetres: as many a square metre as the rate is
/// heavy, in lines so far apart.
pub(super) fn between_seeds(policy: &Policy, rate: Estimate, mass: Estimate) -> f64 {
    const CM2_IN_M2: f64 = 10_000.0;
    let seeds_m2 = rate.likely / mass.likely;
    (CM2_IN_M2 / (seeds_m2 * policy.intersow_lines_cm)).round().clamp(3.0, 40.0)
}

/// Seeds and grams: counted where seeds are laid one by one, by the rate over free ground else.
pub(super) fn seed(
    layout: Option<&Layout>,
    rate: Option<Estimate>,
    mass: Option<Estimate>,
    is_single: bool,
) -> (Option<Estimate>, Option<Estimate>) {
    let Some(layout) = layout else { return (None, None) };
    if is_single {
        let seeds = layout.seeds() as f64;
        return (Some(Estimate::exact(seeds)), mass.map(|mass| mass.map(|grams| grams * seeds)));
    }
    let grams = rate.map(|rate| rate.map(|rate| rate * layout.areas.free));
    let seeds = grams.zip(mass).map(|(grams, mass)| {
        Estimate::new(grams.low / mass.high, grams.likely / mass.likely, grams.high / mass.low)
    });
    (seeds, grams)
}

/// Pathogens that both keep: those of this bed, and how many others.
pub(super) fn shared(setting: &Setting<'_, '_>, crop: CropId) -> (Vec<PathogenId>, usize) {
    let knowledge = setting.knowledge;
    let keeps = |pathogen, crop| knowledge.standing(pathogen, crop).status.keeps_it();
    let mut here: Vec<PathogenId> = setting
        .state
        .inocula()
        .filter(|one| !matches!(one.presence, Presence::Candidate(chance) if chance < setting.policy.far_fetched))
        .map(|one| one.pathogen)
        .filter(|pathogen| {
            keeps(*pathogen, setting.standing.crop) && keeps(*pathogen, crop)
        })
        .collect();
    here.dedup();
    let all = knowledge.graph().shared_pathogens(setting.standing.crop, crop).len();
    let elsewhere = all.saturating_sub(here.len());
    (here, elsewhere)
}

/// Whether a cover may be recommended between these plants.
pub(super) fn standing_of(setting: &Setting<'_, '_>, option: &CompanyOption) -> Standing {
    // Where the days are known and none is left to cut it, it is not worth its seed.
    let has_no_time = setting.days.is_some() && option.calendar.cut.is_none();
    if !option.refused.is_empty() || option.calendar.is_out_of_season || has_no_time {
        return Standing::NotHere;
    }
    let mut standing = Standing::Recommended;
    if option.calendar.timing != Timing::Relay
        || option.is_hard_to_kill
        || matches!(option.winter.winter, Winter::Dies(_))
        || option.yield_change.likely < -setting.policy.company_loss_told
        || !option.shared_here.is_empty()
    {
        standing = Standing::WithCare;
    }
    for life in &option.soil_life {
        // What the bed had as a trace and both keep is said with care; a surer raise bars it.
        let worst = match life.turn {
            Some(Turn::Raises) if !life.is_weak => {
                if seen_lightly(setting, life.pathogen) {
                    Standing::WithCare
                } else {
                    Standing::NotHere
                }
            }
            _ if life.may_raise() || life.is_contested => Standing::WithCare,
            _ => Standing::Recommended,
        };
        standing = standing.max(worst);
    }
    standing.max(match option.assessment.verdict {
        crate::assess::Verdict::Plant => Standing::Recommended,
        crate::assess::Verdict::Care | crate::assess::Verdict::Wait => Standing::WithCare,
    })
}

/// Whether what was seen of a pathogen amounts to little by now: under a twentieth of a crop.
pub(super) fn seen_lightly(setting: &Setting<'_, '_>, pathogen: PathogenId) -> bool {
    setting.state.inocula().filter(|one| one.pathogen == pathogen).all(|one| {
        one.loss_at(setting.state.date, setting.on).likely < setting.policy.care_loss_light
    })
}

/// Best first: what may stand, has a day to be cut and dies when it is cut; then what shares no
/// disease with the crop; then what sources speak of; then nitrogen.
pub(super) fn order(
    knowledge: &Knowledge,
    a: &CompanyOption,
    b: &CompanyOption,
) -> std::cmp::Ordering {
    let gate = |option: &CompanyOption| {
        (
            option.standing == Standing::NotHere,
            option.calendar.cut.is_none(),
            hard(knowledge, option.crop) == 2,
            option.standing,
            option.shared_here.len(),
            option.backing == Backing::Parts,
            hard(knowledge, option.crop),
        )
    };
    let nitrogen = |option: &CompanyOption| {
        option.stand.as_ref().map_or(f64::NEG_INFINITY, |stand| stand.available.likely)
    };
    gate(a)
        .cmp(&gate(b))
        .then(nitrogen(b).total_cmp(&nitrogen(a)))
        .then(knowledge.crops[a.crop].name.cmp(&knowledge.crops[b.crop].name))
}

/// How hard a cover is to kill by hand: 0 easy, 1 moderate or not known, 2 hard.
pub(super) fn hard(knowledge: &Knowledge, crop: CropId) -> u8 {
    knowledge.cover_figures(crop, "ease_of_kill_by_hand").first().map_or(1, |figure| {
        if figure.text.contains("hard") { 2 } else { u8::from(figure.text.contains("moderate")) }
    })
}
