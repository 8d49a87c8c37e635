//! Choices: which crop may be started where and when, and the most it may bear there.
//!
//! The most is what the bed model says if nothing is planted before it but what stands: a host planted
//! earlier only raises a dose, a relative only shortens a wait. What earlier crops of a plan might
//! better is given away beforehand, so that the bound holds: diseases that a crop at hand suppresses,
//! a relative's return that another relative would follow, and what the crop before does to this one.

use crate::assess::{
    Assessment, Claim, Effect, Proposal, RuleId, Verdict, assess, counts_as_relative, return_time,
};
use crate::knowledge::{CropId, Knowledge, PathogenId, Role};
use crate::plan::half_months::{A_YEAR, HalfMonths};
use crate::plan::solve::{Choice, NO_FAMILY, PlaceChoices};
use crate::policy::Policy;
use crate::records::{Method, Planting, Residue};
use crate::season::{Date, add_years};
use crate::state::BedState;

use super::courses::{CropCourse, later};
use super::places::PlanPlace;
use super::wishes::Occurrence;

/// What a choice stands for.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Offer {
    pub(in crate::plan) crop: CropId,
    pub(in crate::plan) planted: Date,
    pub(in crate::plan) cleared: Date,
    pub(in crate::plan) harvest: Option<(Date, Date)>,
    pub(in crate::plan) method: Method,
    /// The most it bears, fed, care weighed in.
    pub(in crate::plan) most: f64,
    /// What the crop that stands now does to it, as a factor.
    pub(in crate::plan) after_standing: f64,
    /// Kept by the grower.
    pub(in crate::plan) kept: bool,
}

/// The choices of one place, with what was refused.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct Made {
    pub(in crate::plan) choices: PlaceChoices,
    pub(in crate::plan) offers: Vec<Offer>,
    /// Starts that would serve a wish but must wait: wish, first day, disease.
    pub(in crate::plan) waits: Vec<(usize, Option<Date>, Option<PathogenId>)>,
}

/// What all places share.
#[derive(Clone, Copy)]
pub(in crate::plan) struct Shared<'a> {
    pub(in crate::plan) knowledge: &'a Knowledge,
    pub(in crate::plan) policy: &'a Policy,
    pub(in crate::plan) half_months: HalfMonths,
    pub(in crate::plan) courses: &'a [CropCourse],
    pub(in crate::plan) wishes: &'a [Occurrence],
    /// Families of the crops at hand, by number.
    pub(in crate::plan) families: &'a [Box<str>],
}

impl Shared<'_> {
    pub(super) fn family(&self, crop: CropId) -> u8 {
        let family = &self.knowledge.crops[crop].family;
        let at = self.families.iter().position(|known| known == family);
        at.and_then(|at| u8::try_from(at).ok()).filter(|at| *at < 32).unwrap_or(NO_FAMILY)
    }

    /// Half-months that must lie between a relative and the crop: the shortest published return.
    pub(in crate::plan) fn free_slots(&self, crop: CropId) -> u8 {
        if self.knowledge.crops[crop].role == Role::Cover {
            return 0;
        }
        let years = return_time(self.knowledge, crop).map_or(0.0, |times| times.gap.low);
        let slots = (years * self.policy.plan_return * f64::from(A_YEAR)).round().clamp(0.0, 200.0);
        // Bounded on the line above.
        format!("{slots:.0}").parse().unwrap_or(u8::MAX)
    }
}

/// The choices of a place.
pub(in crate::plan) fn choices(
    shared: Shared<'_>,
    place: &PlanPlace,
    kept: &[&Planting],
    only_kept: bool,
) -> Made {
    let mut made = Made::default();
    for planting in kept {
        keep(shared, place, planting, &mut made);
    }
    if only_kept {
        return made;
    }
    for slot in place.free..shared.half_months.count() {
        let on = shared.half_months.day(slot);
        let open: Vec<(&CropCourse, super::courses::Start)> = shared
            .courses
            .iter()
            .filter_map(|course| Some((course, course.start(slot)?)))
            .filter(|(course, start)| {
                if course.is_cover {
                    place.serves(course.crop, slot) > 0.0
                } else {
                    serves(shared, course.crop, on, start)
                }
            })
            .collect();
        if open.is_empty() {
            continue;
        }
        let state = BedState::at(&place.garden, shared.knowledge, shared.policy, &place.place, on);
        for (course, start) in open {
            let proposal = Proposal { method: Some(start.method), ..Proposal::of(course.crop, on) };
            let judged = assess(shared.knowledge, shared.policy, &state, &proposal);
            if barred(&judged) {
                let wait = (judged.earliest, disease_of(&judged));
                note_wait(shared, course.crop, on, &start, wait, &mut made);
                continue;
            }
            if let Some(until) = returns_on(shared, place, course.crop, on) {
                note_wait(shared, course.crop, on, &start, (Some(until), None), &mut made);
                continue;
            }
            let (most, after_standing) = most(shared, &state, slot, &judged);
            if most > 0.02 {
                offer(shared, place, course, slot, start, (most, after_standing), &mut made);
            }
        }
    }
    made
}

fn serves(shared: Shared<'_>, crop: CropId, on: Date, start: &super::courses::Start) -> bool {
    let harvest = start.harvest.map(|(first, last)| (later(on, first), later(on, last)));
    shared.wishes.iter().any(|wish| wish.crop == crop && wish.served_by(on, harvest) > 0.0)
}

/// Whether the place bars the crop whatever else is planted there.
fn barred(judged: &Assessment) -> bool {
    judged.verdict == Verdict::Wait
        && judged.reasons.iter().any(|reason| {
            reason.effect.verdict() == Verdict::Wait
                && !matches!(reason.rule, RuleId::Predecessor | RuleId::ResidueNotReady)
        })
}

fn note_wait(
    shared: Shared<'_>,
    crop: CropId,
    on: Date,
    start: &super::courses::Start,
    (until, disease): (Option<Date>, Option<PathogenId>),
    made: &mut Made,
) {
    let harvest = start.harvest.map(|(first, last)| (later(on, first), later(on, last)));
    for (at, wish) in shared.wishes.iter().enumerate() {
        if wish.crop == crop && wish.served_by(on, harvest) > 0.0 {
            made.waits.push((at, until, disease));
        }
    }
}

/// The disease for which a judgment waits.
fn disease_of(judged: &Assessment) -> Option<PathogenId> {
    judged.reasons.iter().find_map(|reason| match (&reason.claim, reason.effect) {
        (Claim::Disease { pathogen, .. }, Effect::Wait { .. }) => Some(*pathogen),
        _ => None,
    })
}

/// The day on which a crop may come back after the last relative on record, if that lies ahead.
/// Covers are not asked: they are judged by the diseases they keep.
fn returns_on(shared: Shared<'_>, place: &PlanPlace, crop: CropId, on: Date) -> Option<Date> {
    let crops = &shared.knowledge.crops;
    let family = &crops[crop].family;
    if crops[crop].role == Role::Cover || family.is_empty() {
        return None;
    }
    let shortest = return_time(shared.knowledge, crop).map_or(0.0, |times| times.gap.low);
    let years = shortest.min(shared.policy.plan_return_recorded);
    let cleared = place
        .garden
        .plantings
        .iter()
        .filter(|planting| {
            planting.place.bears_on(&place.place)
                && !planting.is_volunteer()
                && crops[planting.crop].family == *family
                && counts_as_relative(shared.knowledge, shared.policy, planting, on)
        })
        .map(|planting| planting.stood.end_by(on))
        .max()?;
    let until = add_years(cleared, years);
    (until > on).then_some(until)
}

/// The yield of a judgment without what can be put on, and with what its care costs.
pub(super) fn fed(judged: &Assessment, policy: &Policy) -> f64 {
    let care = if judged.verdict == Verdict::Care { policy.plan_care } else { 1.0 };
    fed_yield(judged).likely * care
}

/// Expected yield if the nitrogen that is short is put on.
pub(in crate::plan) fn fed_yield(judged: &Assessment) -> crate::estimate::Estimate {
    let nutrients = judged.reasons.iter().find(|reason| reason.rule == RuleId::NutrientSupply);
    let Some(nutrients) = nutrients else { return judged.expected_yield };
    let part = |whole: f64, part: f64| if part > 1e-6 { whole / part } else { 0.0 };
    let (whole, short) = (judged.expected_yield, nutrients.yield_fraction);
    crate::estimate::Estimate::new(
        part(whole.low, short.low),
        part(whole.likely, short.likely),
        part(whole.high, short.high),
    )
}

/// The most a start can bear after any crops of the plan, and the factor of what stands before it.
fn most(shared: Shared<'_>, state: &BedState<'_>, slot: u8, judged: &Assessment) -> (f64, f64) {
    let crop = judged.proposal.crop;
    let family = shared.family(crop);
    let mut most = fed_yield(judged).likely;
    let mut before = 1.0;
    let mut care = false;
    let give_away = |most: &mut f64, factor: f64| {
        if factor > 1e-6 {
            *most /= factor;
        }
    };
    // A relative planted as early as can be would have to be cleared and waited for.
    let relative_first = shared.courses.iter().any(|course| {
        !course.is_cover && family != NO_FAMILY && shared.family(course.crop) == family
    }) && slot > shared.free_slots(crop);
    let relative_cover = shared.courses.iter().any(|course| {
        course.is_cover && family != NO_FAMILY && shared.family(course.crop) == family
    });
    for reason in &judged.reasons {
        let factor = reason.yield_fraction.likely;
        let cares = matches!(reason.effect, Effect::Care { .. });
        match reason.rule {
            RuleId::Predecessor | RuleId::ResidueNotReady => {
                before *= factor;
                give_away(&mut most, factor);
            }
            RuleId::ReturnTime if relative_first || relative_cover => give_away(&mut most, factor),
            RuleId::HostAfterDisease | RuleId::UnknownDisease if suppressed(shared, state) => {
                give_away(&mut most, factor);
            }
            _ => care |= cares,
        }
    }
    let care = if care { shared.policy.plan_care } else { 1.0 };
    (most * care, before)
}

/// The family that a planting keeps away after it was cleared, if it counts as a relative. A cover of
/// a plan is dug in unless its record says otherwise.
fn family_on_record(shared: Shared<'_>, planting: &Planting, cleared: Date) -> u8 {
    let is_cover = shared.knowledge.crops[planting.crop].role == Role::Cover;
    let residue = planting.residue.or(is_cover.then_some(Residue::DugIn));
    let planting = Planting { residue, ..planting.clone() };
    if counts_as_relative(shared.knowledge, shared.policy, &planting, cleared) {
        shared.family(planting.crop)
    } else {
        NO_FAMILY
    }
}

/// Whether a crop at hand suppresses a disease of the place.
fn suppressed(shared: Shared<'_>, state: &BedState<'_>) -> bool {
    state.inocula().any(|inoculum| {
        shared.courses.iter().any(|course| {
            shared.knowledge.standing(inoculum.pathogen, course.crop).is_suppressive()
        })
    })
}

fn offer(
    shared: Shared<'_>,
    place: &PlanPlace,
    course: &CropCourse,
    slot: u8,
    start: super::courses::Start,
    (most, after_standing): (f64, f64),
    made: &mut Made,
) {
    let half_months = shared.half_months;
    let planted = half_months.day(slot);
    let harvest = start.harvest.map(|(first, last)| (later(planted, first), later(planted, last)));
    if harvest.is_some_and(|(first, _)| first >= half_months.end()) {
        return;
    }
    let done = half_months.on_or_after(later(planted, start.taken)).max(slot + 1);
    // A cover may stand on until the next crop; its residue rests for half a month.
    let longer: &[u8] = if course.is_cover { &[0, 2, 4] } else { &[0] };
    for more in longer {
        let done = done.saturating_add(*more).min(half_months.count());
        // A cover cut off by the end of the plan is left to the plan after it.
        if course.is_cover && later(planted, start.taken * 2 / 3) > half_months.end() {
            return;
        }
        let end = if course.is_cover { (done + 1).min(half_months.count()) } else { done };
        let offer = Offer {
            crop: course.crop,
            planted,
            cleared: half_months.day(done),
            harvest,
            method: start.method,
            most,
            after_standing,
            kept: false,
        };
        let as_planted = super::sequences::planting(&place.place, shared, &offer);
        let choice = Choice {
            crop: number(course.crop),
            start: slot,
            end,
            family: family_on_record(shared, &as_planted, offer.cleared),
            free_slots: shared.free_slots(course.crop),
            own: own_worth(shared, place, course.crop, (slot, done)) * most,
            amounts: amounts(shared, place, course.crop, planted, harvest, most),
            fixed: false,
            trace: trace_of(shared, course.crop),
        };
        made.choices.choices.push(choice);
        made.offers.push(offer);
        if done == half_months.count() {
            break;
        }
    }
}

fn number(crop: CropId) -> u32 {
    u32::try_from(crop.index()).unwrap_or(u32::MAX)
}

/// Trace of a crop: its place among the crops at hand, from 1.
pub(super) fn trace_of(shared: Shared<'_>, crop: CropId) -> u16 {
    let at = shared.courses.iter().position(|course| course.crop == crop);
    at.and_then(|at| u16::try_from(at + 1).ok()).unwrap_or(0)
}

/// What a stand is worth to the soil: ground covered, and what a cover does for it, or what a legume
/// leaves beside its harvest.
fn own_worth(shared: Shared<'_>, place: &PlanPlace, crop: CropId, (slot, end): (u8, u8)) -> f64 {
    let policy = shared.policy;
    let is_cover = shared.knowledge.crops[crop].role == Role::Cover;
    let more = if is_cover {
        policy.plan_cover_serves * place.serves(crop, slot)
    } else if shared.knowledge.crops[crop].is_legume() {
        policy.plan_legume
    } else {
        0.0
    };
    place.area.0 * (f64::from(end - slot) * policy.plan_cover + more)
}

fn amounts(
    shared: Shared<'_>,
    place: &PlanPlace,
    crop: CropId,
    planted: Date,
    harvest: Option<(Date, Date)>,
    most: f64,
) -> Vec<(u32, f64)> {
    (0..)
        .zip(shared.wishes)
        .filter(|(_, wish)| wish.crop == crop && wish.wanted_m2.is_some())
        .map(|(at, wish)| (at, place.area.0 * most * wish.served_by(planted, harvest)))
        .filter(|(_, amount)| *amount > 0.0)
        .collect()
}

/// A planting that the grower has decided.
fn keep(shared: Shared<'_>, place: &PlanPlace, planting: &Planting, made: &mut Made) {
    let half_months = shared.half_months;
    let slot = (0..half_months.count())
        .rev()
        .find(|slot| half_months.day(*slot) <= planting.stood.start)
        .unwrap_or(0);
    let start = shared
        .courses
        .iter()
        .find(|course| course.crop == planting.crop)
        .and_then(|course| course.start(slot));
    let planted = planting.stood.start;
    let taken = start.map_or(90, |start| start.taken);
    let cleared = planting.stood.end.unwrap_or_else(|| later(planted, taken));
    let end = half_months.on_or_after(cleared).max(slot + 1).min(half_months.count());
    let harvest = start.and_then(|start| start.harvest);
    let harvest = harvest.map(|(first, last)| (later(planted, first), later(planted, last)));
    let state = BedState::at(&place.garden, shared.knowledge, shared.policy, &place.place, planted);
    let method = planting.method.or(start.map(|start| start.method)).unwrap_or(Method::Sown);
    let proposal = Proposal { method: Some(method), ..Proposal::of(planting.crop, planted) };
    let judged = assess(shared.knowledge, shared.policy, &state, &proposal);
    let (most, after_standing) = most(shared, &state, slot, &judged);
    made.choices.choices.push(Choice {
        crop: number(planting.crop),
        start: slot,
        end,
        family: family_on_record(shared, planting, cleared),
        free_slots: shared.free_slots(planting.crop),
        own: own_worth(shared, place, planting.crop, (slot, end)) * most,
        amounts: amounts(shared, place, planting.crop, planted, harvest, most),
        fixed: true,
        trace: trace_of(shared, planting.crop),
    });
    made.offers.push(Offer {
        crop: planting.crop,
        planted,
        cleared,
        harvest,
        method,
        most,
        after_standing,
        kept: true,
    });
}
