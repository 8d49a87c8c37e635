//! A legume, or another cover, between standing plants: where the ground is free and the seed goes,
//! when it may come without costing the crop, when it is cut, what nitrogen it leaves, which
//! diseases the two share in this bed, and whether the crop lives through the winter at all.
//!
//! No trial of beans between overwintering peppers exists: where only parts are known the answer is
//! built from them, and says so.

mod calendar;
mod company;
mod geometry;

pub use calendar::{Calendar, Regrowth};
pub use company::{
    Canopy, Restraint, Rival, Timing, WeedFree, canopy, crop_days, rival, timing, weed_free,
    yield_change,
};
pub use geometry::{Areas, Ground, Layout, SeedLine, Sowing, Spot};

use chrono::Datelike;

use super::cover::{SoilLife, Standing, Winter, WinterAnswer, seed_rate, soil_life, winter};
use crate::assess::{
    Assessment, Evidence, FactNote, FigureNote, MissingNote, Proposal, RecordNote, assess,
};
use crate::climate::Climate;
use crate::climate::frost::Frost;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId, Turn, Undersowing, UndersowingKind};
use crate::origin::Origin;
use crate::policy::Policy;
use crate::records::{Garden, Place, Planting, Seen};
use crate::season::{Date, add_days};
use crate::state::stand::{Days, Habit, Stand, cover_range, stand};
use crate::state::{BedState, Presence};

/// What is asked; what is left out is taken from the records.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// What stands.
    pub crop: Option<CropId>,
    /// Day it was planted.
    pub planted: Option<Date>,
    /// Number of plants.
    pub plants: Option<usize>,
    /// Between rows, cm.
    pub row_spacing_cm: Option<f64>,
    /// Between plants in the row, cm.
    pub plant_spacing_cm: Option<f64>,
    /// Only this cover; any cover, not only a legume.
    pub cover: Option<CropId>,
}

/// The crop that stands.
#[derive(Clone, Debug)]
pub struct Crop {
    /// What.
    pub crop: CropId,
    /// Day it was planted.
    pub planted: Date,
    /// The record, if it is one.
    pub record: Option<Origin>,
    /// Where it stands; `None` where plants or spacing are not known.
    pub ground: Option<Ground>,
}

/// What was seen of the crop that stands.
#[derive(Clone, Debug)]
pub struct Health {
    /// Diseases named on it since it was planted.
    pub sick: Vec<PathogenId>,
    /// Day of the last note.
    pub last: Date,
    /// The notes, last first.
    pub evidence: Vec<Evidence>,
}

/// Whether the crop lives through the winter.
#[derive(Clone, Debug)]
pub struct Survival {
    /// What frost does.
    pub winter: Winter,
    /// Temperature that kills it.
    pub kill_c: Option<Estimate>,
    /// Share of years with such a night, over the margin.
    pub chance: Option<Estimate>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

/// The answer.
#[derive(Debug)]
pub struct Intersow<'g> {
    /// The state of the place.
    pub state: BedState<'g>,
    /// Day asked for.
    pub on: Date,
    /// What stands.
    pub standing: Crop,
    /// Rows by which sources advise against any company; the answer is no where there are any.
    pub refused: Vec<Evidence>,
    /// What was last seen of the crop since it was planted, by day.
    pub health: Option<Health>,
    /// The crop's critical weed-free weeks.
    pub weed_free: WeedFree,
    /// Whether it lives through the winter.
    pub survival: Survival,
    /// When it grows again, if it stays.
    pub regrowth: Regrowth,
    /// Months between sowing and cutting in which rain does not make up for what a bed loses;
    /// `None` without rain on record.
    pub dry_months: Option<Vec<u32>>,
    /// Covers, best first.
    pub covers: Vec<CompanyOption>,
}

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

/// Covers for the ground between what stands in a place; `None` if nothing is known to stand there.
#[must_use]
pub fn intersow<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    place: &Place,
    on: Date,
    asked: Asked,
) -> Option<Intersow<'g>> {
    let state = BedState::at(garden, knowledge, policy, place, on);
    let standing = standing(knowledge, garden, &state, asked)?;
    let climate = Climate::of(garden);
    let weed_free = weed_free(knowledge, policy, standing.crop);
    let health = health(&state, &standing);
    let survival = survival(knowledge, policy, climate.as_ref(), standing.crop, on);
    let regrowth =
        calendar::regrowth(knowledge, policy, climate.as_ref(), &standing, &survival, on);
    let refused: Vec<Evidence> = company::advised_against(knowledge, standing.crop, None)
        .map(|row| company::fact(knowledge, row))
        .collect();
    let days = climate
        .as_ref()
        .map(|climate| Days::new(climate, policy, on, policy.intersow_window_days + 400))
        .filter(Days::light_is_known);
    let setting = Setting {
        knowledge,
        policy,
        state: &state,
        climate: climate.as_ref(),
        days: days.as_ref(),
        standing: &standing,
        weed_free: &weed_free,
        regrowth,
        on,
    };
    let mut covers: Vec<CompanyOption> = knowledge
        .covers()
        .into_iter()
        .filter(|crop| seed_rate(knowledge, *crop).is_some())
        .filter(|crop| match asked.cover {
            Some(cover) => *crop == cover,
            None => knowledge.crops[*crop].is_legume(),
        })
        .map(|crop| option(&setting, crop))
        .collect();
    covers.sort_by(|a, b| order(knowledge, a, b));
    let until = covers.first().and_then(|best| best.calendar.cut);
    let dry_months =
        dry_months(&state, climate.as_ref(), on, until.unwrap_or_else(|| add_days(on, 120.0)));
    Some(Intersow {
        state,
        on,
        standing,
        refused,
        health,
        weed_free,
        survival,
        regrowth,
        dry_months,
        covers,
    })
}

struct Setting<'a, 'g> {
    knowledge: &'a Knowledge,
    policy: &'a Policy,
    state: &'a BedState<'g>,
    climate: Option<&'a Climate<'g>>,
    days: Option<&'a Days>,
    standing: &'a Crop,
    weed_free: &'a WeedFree,
    regrowth: Regrowth,
    on: Date,
}

/// What stands: as asked, else the latest planting on record with room between its plants.
fn standing(
    knowledge: &Knowledge,
    garden: &Garden,
    state: &BedState<'_>,
    asked: Asked,
) -> Option<Crop> {
    let on_record: Option<&Planting> = state
        .standing()
        .filter(|planting| !planting.is_volunteer())
        .filter(|planting| asked.crop.is_none_or(|crop| crop == planting.crop))
        .filter(|planting| asked.crop.is_some() || !knowledge.crops[planting.crop].is_legume())
        .max_by_key(|planting| planting.stood.start);
    let crop = asked.crop.or(on_record.map(|planting| planting.crop))?;
    let planted = asked.planted.or(on_record.map(Planting::planted))?;
    Some(Crop {
        crop,
        planted,
        record: on_record.map(|planting| planting.origin.clone()),
        ground: ground(garden, state, on_record, asked),
    })
}

/// What was noted of the crop since it was planted; `None` if nothing was.
fn health(state: &BedState<'_>, standing: &Crop) -> Option<Health> {
    /// Notes shown.
    const MOST: usize = 3;
    let mut notes: Vec<_> = state
        .observations
        .iter()
        .filter(|seen| seen.crop == Some(standing.crop) && seen.date >= standing.planted)
        .collect();
    notes.reverse();
    let last = notes.first()?.date;
    let mut sick: Vec<PathogenId> = notes
        .iter()
        .filter_map(|seen| match seen.seen {
            Seen::Pathogen(pathogen) => Some(pathogen),
            Seen::Disorder(_) | Seen::Unknown | Seen::Healthy => None,
        })
        .collect();
    sick.sort_unstable();
    sick.dedup();
    let evidence = notes
        .iter()
        .take(MOST)
        .map(|seen| {
            Evidence::Record(
                seen.origin.clone(),
                RecordNote::Sighting {
                    date: seen.date,
                    crop: seen.crop,
                    seen: seen.seen.clone(),
                    extent: seen.extent,
                    certainty: seen.certainty,
                },
            )
        })
        .collect();
    Some(Health { sick, last, evidence })
}

/// The bed or the part of it that the crop holds, with its rows.
fn ground(
    garden: &Garden,
    state: &BedState<'_>,
    planting: Option<&Planting>,
    asked: Asked,
) -> Option<Ground> {
    const CM_IN_M: f64 = 100.0;
    let bed = state.bed?;
    let row_spacing =
        asked.row_spacing_cm.or(planting.and_then(|one| one.row_spacing).map(|cm| cm.0))?;
    let plant_spacing =
        asked.plant_spacing_cm.or(planting.and_then(|one| one.plant_spacing).map(|cm| cm.0))?;
    let counted = planting.and_then(|one| one.plants).and_then(|count| usize::try_from(count).ok());
    let whole = bed.area();
    let held = planting
        .and_then(|one| one.area)
        .or_else(|| super::ground_of(garden, state))
        .map_or(1.0, |area| (area.0 / whole.0).clamp(0.05, 1.0));
    // A section is a piece of the bed's length.
    Some(Ground {
        length: bed.length.0 * CM_IN_M * held,
        width: bed.width.0 * CM_IN_M,
        row_spacing,
        plant_spacing,
        plants: asked.plants.or(counted),
    })
}

/// Whether the crop lives through the coming winter.
fn survival(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: Option<&Climate<'_>>,
    crop: CropId,
    on: Date,
) -> Survival {
    /// Until the winter after the day is over in either hemisphere.
    const WINTER_DAYS: f64 = 240.0;
    let figure =
        knowledge.crop_figures(crop, "kill_temp_c").iter().find(|figure| figure.range.is_some());
    let kill_c = figure.and_then(|figure| figure.range);
    let mut evidence: Vec<Evidence> = figure
        .map(|figure| {
            Evidence::Fact(
                FactNote::Cover {
                    crop,
                    field: figure.field.clone(),
                    range: figure.range,
                    text: Box::default(),
                },
                figure.citation.clone(),
            )
        })
        .into_iter()
        .collect();
    evidence.extend(
        knowledge
            .undersowings()
            .iter()
            .filter(|row| row.kind == UndersowingKind::Overwintering)
            .filter(|row| company::speaks_of(row, crop))
            .map(|row| company::fact(knowledge, row)),
    );
    let (Some(climate), Some(kill)) = (climate, kill_c) else {
        return Survival { winter: Winter::Unknown, kill_c, chance: None, evidence };
    };
    let frost = Frost::at(climate, policy);
    let to = add_days(on, WINTER_DAYS);
    let at = |kill: f64| frost.any_night_at_or_below(kill, on, to);
    let margin = policy.winter_kill_margin_c;
    let chance = Estimate::new(at(kill.low - margin), at(kill.likely), at(kill.high + margin));
    evidence.insert(
        0,
        Evidence::Figure(FigureNote::KillingNight { from: on, to, kill_c: kill, chance }),
    );
    let relied_on = policy.winter_kill_relied_on;
    let does = if chance.low >= relied_on {
        let day = (0..240)
            .map(|step| add_days(on, f64::from(step)))
            .find(|day| frost.any_night_at_or_below(kill.likely, on, *day) >= 0.5);
        Winter::Dies(day.unwrap_or(to))
    } else if chance.likely <= 1.0 - relied_on {
        Winter::Lives
    } else {
        Winter::MayDie
    };
    Survival { winter: does, kill_c: Some(kill), chance: Some(chance), evidence }
}

/// Months of growth between two days in which a bed loses more than rain brings.
fn dry_months(
    state: &BedState<'_>,
    climate: Option<&Climate<'_>>,
    from: Date,
    to: Date,
) -> Option<Vec<u32>> {
    /// Colder than this little is drunk.
    const DRINKS_FROM_C: f64 = 6.0;
    let mut dry = Vec::new();
    let mut day = from;
    while day < to {
        let grows = climate.is_none_or(|climate| climate.mean_c(day) >= DRINKS_FROM_C);
        let surplus = state.nutrients.surplus_mm(day.month())?;
        if grows && surplus <= 0.0 && !dry.contains(&day.month()) {
            dry.push(day.month());
        }
        day = add_days(day, 15.0);
    }
    Some(dry)
}

fn option(setting: &Setting<'_, '_>, crop: CropId) -> CompanyOption {
    let (knowledge, policy) = (setting.knowledge, setting.policy);
    let habit = Habit::of(knowledge, policy, crop);
    let mut calendar = calendar::of(setting, crop, habit.as_ref());
    let until = calendar.cut.unwrap_or(setting.on);
    let frost = winter(knowledge, policy, setting.climate, crop, (setting.on, until));
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
    let whole = crop_days(knowledge, setting.standing.crop)
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
            .inocula
            .iter()
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
fn backing(said: &[&Undersowing], crop: CropId) -> Backing {
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
fn distance(setting: &Setting<'_, '_>, crop: CropId) -> (Estimate, Vec<Evidence>) {
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
fn between_seeds(policy: &Policy, rate: Estimate, mass: Estimate) -> f64 {
    const CM2_IN_M2: f64 = 10_000.0;
    let seeds_m2 = rate.likely / mass.likely;
    (CM2_IN_M2 / (seeds_m2 * policy.intersow_lines_cm)).round().clamp(3.0, 40.0)
}

/// Seeds and grams: counted where seeds are laid one by one, by the rate over free ground else.
fn seed(
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
fn shared(setting: &Setting<'_, '_>, crop: CropId) -> (Vec<PathogenId>, usize) {
    let knowledge = setting.knowledge;
    let keeps = |pathogen, crop| knowledge.standing(pathogen, crop).status.keeps_it();
    let mut here: Vec<PathogenId> = setting
        .state
        .inocula
        .iter()
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
fn standing_of(setting: &Setting<'_, '_>, option: &CompanyOption) -> Standing {
    if !option.refused.is_empty() || option.calendar.is_out_of_season {
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
fn seen_lightly(setting: &Setting<'_, '_>, pathogen: PathogenId) -> bool {
    setting.state.inocula.iter().filter(|one| one.pathogen == pathogen).all(|one| {
        one.loss_at(setting.state.date, setting.on).likely < setting.policy.care_loss_light
    })
}

/// Best first: what may stand, has a day to be cut and dies when it is cut; then what shares no
/// disease with the crop; then what sources speak of; then nitrogen.
fn order(knowledge: &Knowledge, a: &CompanyOption, b: &CompanyOption) -> std::cmp::Ordering {
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
fn hard(knowledge: &Knowledge, crop: CropId) -> u8 {
    knowledge.cover_figures(crop, "ease_of_kill_by_hand").first().map_or(1, |figure| {
        if figure.text.contains("hard") { 2 } else { u8::from(figure.text.contains("moderate")) }
    })
}

/// An intersown legume as a planting that a plan may take.
#[derive(Clone, Debug)]
pub struct CompanyCandidate {
    /// The cover.
    pub crop: CropId,
    /// Day of sowing.
    pub sown: Date,
    /// Day it is cut.
    pub cut: Date,
    /// Seed, g.
    pub grams: Option<Estimate>,
    /// Ground it takes, m2.
    pub free_m2: Option<f64>,
    /// Change of the standing crop's yield, as a fraction.
    pub yield_change: Estimate,
    /// Nitrogen to the crop, g.
    pub nitrogen_g: Option<Estimate>,
    /// Whether it may be recommended.
    pub standing: Standing,
}

/// Company that a plan may put between what stands: what is refused or bars itself is left out.
#[must_use]
pub fn candidates(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    on: Date,
    most: usize,
) -> Vec<CompanyCandidate> {
    let Some(advice) = intersow(knowledge, policy, garden, place, on, Asked::default()) else {
        return Vec::new();
    };
    if !advice.refused.is_empty() {
        return Vec::new();
    }
    advice
        .covers
        .iter()
        .filter(|option| option.standing != Standing::NotHere)
        .filter_map(|option| {
            Some(CompanyCandidate {
                crop: option.crop,
                sown: option.calendar.sow,
                cut: option.calendar.cut?,
                grams: option.grams,
                free_m2: option.layout.as_ref().map(|layout| layout.areas.free),
                yield_change: option.yield_change,
                nitrogen_g: option.nitrogen_g,
                standing: option.standing,
            })
        })
        .take(most)
        .collect()
}

impl Intersow<'_> {
    /// Whether sources advise against any company for what stands.
    #[must_use]
    pub fn is_refused(&self) -> bool {
        !self.refused.is_empty()
    }

    /// What is missing from the records for a layout.
    #[must_use]
    pub fn missing(&self) -> Vec<Evidence> {
        let mut missing = Vec::new();
        if self.standing.ground.is_none() {
            missing.push(Evidence::Missing(MissingNote::PlantsAndSpacing));
        }
        if self.dry_months.is_none() {
            missing.push(Evidence::Missing(MissingNote::Rain));
        }
        if self.covers.iter().all(|option| option.stand.is_none()) {
            missing.push(Evidence::Missing(MissingNote::SiteAndClimate));
        }
        missing
    }
}
