//! Disease on record against the crop proposed.
//!
//! Before the shortest published interval a host waits. When it is served but the organism may
//! live on, care. Where nothing is published, what is usual for such a pathogen and the dose decide. What does not stay with the bed
//! never bars it. A host by weak evidence, a carrier, or a crop nobody has tested is care at most;
//! unknown never reads as clean.

use super::Judge;
use super::evidence::{Evidence, FactNote, FigureNote, MissingNote, RecordNote};
use super::interval::Spans;
use super::reason::{Claim, Effect, Reason, RuleId};
use super::resisted::{Resisted, resisted};
use super::verdict::{Confidence, Verdict, sure_of};
use crate::estimate::Estimate;
use crate::knowledge::{
    Basis, Clears, CropId, HostRow, HostStanding, HostStatus, IntervalRow, Knowledge, Pathogen,
    PathogenId, Role, Says, Usual,
};
use crate::policy::Policy;
use crate::records::{Certainty, Observation};
use crate::season::{Date, add_years, years_between};
use crate::state::nutrients::grown_by;
use crate::state::{DoseEvent, HalfLife, Inoculum, Presence, suppression, warmth};

/// The reasons that disease gives, one a pathogen.
pub(super) fn reasons(judge: &Judge<'_, '_>) -> Vec<Reason> {
    let mut reasons: Vec<(PathogenId, Reason)> = Vec::new();
    for inoculum in judge.state.seen() {
        let reason = one(judge, inoculum);
        match reasons.last_mut() {
            Some((pathogen, here)) if *pathogen == inoculum.pathogen => with_beside(here, reason),
            _ => reasons.push((inoculum.pathogen, reason)),
        }
    }
    reasons.into_iter().map(|(_, reason)| reason).collect()
}

/// A disease seen here and in another section of the bed: the stricter of the two speaks, and the
/// greater loss counts.
fn with_beside(here: &mut Reason, mut beside: Reason) {
    let strictness = |reason: &Reason| {
        let until = reason.effect.until().unwrap_or(Date::MAX);
        (reason.effect.verdict(), until)
    };
    let worse = Estimate::new(
        here.yield_fraction.low.min(beside.yield_fraction.low),
        here.yield_fraction.likely.min(beside.yield_fraction.likely),
        here.yield_fraction.high.min(beside.yield_fraction.high),
    );
    let stricter =
        beside.effect.verdict() > Verdict::Plant && strictness(&beside) > strictness(here);
    if stricter {
        std::mem::swap(here, &mut beside);
    }
    if stricter || worse.likely < here.yield_fraction.likely {
        let sightings = beside
            .evidence
            .into_iter()
            .filter(|leaf| matches!(leaf, Evidence::Record(_, RecordNote::Sighting { .. })));
        here.evidence.extend(sightings);
    }
    here.yield_fraction = worse;
}

/// The reason that one pathogen gives, as if it were surely here.
pub(super) fn one(judge: &Judge<'_, '_>, inoculum: &Inoculum<'_>) -> Reason {
    let pathogen = &judge.knowledge.pathogens[inoculum.pathogen];
    if !pathogen.is_bound_to_bed() {
        let mut evidence = sightings(inoculum);
        evidence.push(Evidence::Fact(
            FactNote::Spread { pathogen: inoculum.pathogen },
            pathogen.citation.clone(),
        ));
        return Reason {
            rule: RuleId::NotOfTheBed,
            claim: Claim::NotOfTheBed { pathogen: inoculum.pathogen },
            effect: Effect::NoBearing,
            yield_fraction: Estimate::ONE,
            certainty: sure_of(judge, &pathogen.citation),
            evidence,
        };
    }
    let crop = judge.proposal.crop;
    let standing = standing(judge, inoculum);
    let spans = Spans::on(judge.knowledge, inoculum.pathogen, crop);
    let resisted = resisted(judge, inoculum.pathogen);
    let since = inoculum.hostless_since.min(judge.proposal.on);
    let years = years_between(since, judge.proposal.on);
    let timed = timed_effect(judge, inoculum, &spans, since);
    let alive = alive_effect(judge, inoculum, &spans, since);
    let effect = match standing.status {
        HostStatus::Host => timed,
        // The same species, or a crop for which a source prints the interval, is held for a host.
        HostStatus::WeakHost | HostStatus::InferredHost
            if spans.names_crop || is_of_a_host_species(judge, inoculum.pathogen, &standing) =>
        {
            timed
        }
        HostStatus::WeakHost | HostStatus::InferredHost => at_most_care(timed),
        HostStatus::Unrecorded | HostStatus::Ungraded if spans.names_crop => timed,
        HostStatus::Carrier | HostStatus::Ungraded | HostStatus::Unrecorded => alive,
        // That a chart of its genus calls it a host leaves care.
        HostStatus::PoorHost | HostStatus::AdvisedBreak if standing.is_contested() => {
            at_most_care(alive)
        }
        HostStatus::PoorHost if pathogen.is_nematode() => Effect::Allows,
        HostStatus::PoorHost => at_most_care(alive),
        HostStatus::AdvisedBreak | HostStatus::OutsideRange | HostStatus::NonHost => Effect::Allows,
    };
    let (knowledge, policy) = (judge.knowledge, judge.policy);
    let effect = if is_grown_against(knowledge, policy, inoculum.pathogen, crop, &standing) {
        at_most_care(effect)
    } else {
        effect
    };
    let season = season(judge, pathogen);
    let too_cool =
        season.as_ref().is_some_and(|season| season.share.likely < judge.policy.cool_season_share);
    let effect = if resisted.is_some() || too_cool { at_most_care(effect) } else { effect };
    let effect = match inoculum.presence {
        Presence::Beside => at_most_care(effect),
        Presence::Sighted(_) | Presence::Candidate(_) => effect,
    };
    let mut loss = loss_of_crop(judge, inoculum, resisted.as_ref());
    if let Some(season) = &season {
        loss = loss * season.share;
    }
    let certainty = certainty(judge, inoculum, &standing, &spans, effect);
    let mut evidence = evidence(judge, inoculum, &standing, &spans, resisted, effect);
    if let Some(season) = season.filter(|_| standing.status.may_suffer()) {
        evidence.push(Evidence::Fact(
            FactNote::SeasonOfDisease {
                from: judge.proposal.on,
                to: season.until,
                share: season.share,
                least_c: season.least_c,
                full_c: season.full_c,
            },
            pathogen.citation.clone(),
        ));
    }
    Reason {
        rule: RuleId::HostAfterDisease,
        claim: Claim::Disease {
            pathogen: inoculum.pathogen,
            presence: inoculum.presence,
            crop,
            status: standing.status,
            years,
            resisted: effect_is_resisted(&evidence),
        },
        effect,
        yield_fraction: loss.map(|loss| 1.0 - loss),
        certainty,
        evidence,
    }
}

/// What the tables say of the crop, unless the bed's own records say more: a crop on which a check
/// or a laboratory named the disease here is a host, whether tables list it, doubt it or do not know.
fn standing<'k>(judge: &Judge<'k, '_>, inoculum: &Inoculum<'_>) -> HostStanding<'k> {
    let listed = judge.knowledge.standing(inoculum.pathogen, judge.proposal.crop);
    if is_seen_on_it(judge.proposal.crop, inoculum) {
        HostStanding { status: HostStatus::Host, ..listed }
    } else {
        listed
    }
}

/// Whether the disease was surely seen on the crop here.
fn is_seen_on_it(crop: CropId, inoculum: &Inoculum<'_>) -> bool {
    inoculum.steps.iter().any(|step| match step.event {
        DoseEvent::Sighting(seen) => {
            seen.crop == Some(crop) && seen.certainty != Certainty::Suspected
        }
        _ => false,
    })
}

/// Whether a crop that is not grown to be eaten lowers the pathogen by standing there, though a list
/// calls it a host, or a poor one: what it suffers itself costs nothing, and what it is sown for should
/// not wait. That sources disagree leaves care.
fn is_grown_against(
    knowledge: &Knowledge,
    policy: &Policy,
    pathogen: PathogenId,
    crop: CropId,
    standing: &HostStanding<'_>,
) -> bool {
    matches!(knowledge.crops[crop].role, Role::Cover | Role::Flower)
        && (standing.status.may_suffer() || standing.status == HostStatus::PoorHost)
        && knowledge.may_suppress(crop, pathogen)
        && suppression(knowledge, policy, pathogen, crop, None)
            .is_ok_and(|lowering| lowering.left.likely < 1.0)
}

/// What the temperatures of the crop's time let a pathogen do.
struct Season {
    until: Date,
    share: Estimate,
    least_c: f64,
    full_c: f64,
}

fn season(judge: &Judge<'_, '_>, pathogen: &Pathogen) -> Option<Season> {
    let (least_c, full_c) = (pathogen.least_c?, pathogen.optimum_c?.low);
    let climate = judge.state.climate.as_ref()?;
    let from = judge.proposal.on;
    // The printed days, not the longer stay of a crop that winters: its cold months would thin out
    // the warm ones in which it is infected.
    let until = grown_by(judge.knowledge, judge.policy, None, judge.proposal.crop, from);
    let share = warmth(judge.policy, climate, pathogen, from, until)?;
    Some(Season { until, share, least_c, full_c })
}

/// Whether the crop is another garden form of a species that the pathogen takes in the field: what
/// took up spores in a pot says less of its other forms.
fn is_of_a_host_species(
    judge: &Judge<'_, '_>,
    pathogen: PathogenId,
    standing: &HostStanding<'_>,
) -> bool {
    let outside_pots = |row: &HostRow| {
        row.says == Says::Host && !matches!(row.basis, Basis::Inoculated | Basis::Partial)
    };
    standing.inferred_by == Some("species")
        && standing.relatives.iter().any(|relative| {
            judge.knowledge.standing(pathogen, *relative).rows.iter().any(outside_pots)
        })
}

fn effect_is_resisted(evidence: &[Evidence]) -> bool {
    evidence.iter().any(|leaf| matches!(leaf, Evidence::Fact(FactNote::Resistance { .. }, _)))
}

/// What waiting has done for a host: wait, care or free by years and dose.
fn timed_effect(
    judge: &Judge<'_, '_>,
    inoculum: &Inoculum<'_>,
    spans: &Spans<'_>,
    since: Date,
) -> Effect {
    let on = judge.proposal.on;
    if let Some(shortest) = spans.shortest {
        let until = add_years(since, shortest);
        if on < until {
            if !inoculum.was_lowered() {
                return Effect::Wait { until: Some(until) };
            }
            // Something was done against it: the wait ends when the dose is low, if that is sooner.
            let from = judge.state.date;
            if inoculum.loss_at(from, on).likely < judge.policy.care_loss {
                return Effect::Care { until: Some(until) };
            }
            let low = inoculum.below(from, judge.policy.care_loss).likely;
            return Effect::Wait { until: Some(low.map_or(until, |low| low.min(until))) };
        }
        return alive_effect(judge, inoculum, spans, since);
    }
    // Years that sources print but hold to be too few: the longest of them must be over, and
    // after it there is still care.
    if let Some(too_few) = spans.too_few {
        let until = add_years(since, too_few);
        if on < until {
            return Effect::Wait { until: Some(until) };
        }
        return match alive_effect(judge, inoculum, spans, since) {
            Effect::Allows => Effect::Care { until: None },
            effect => effect,
        };
    }
    if spans.rows.iter().any(|row| row.clears == Clears::No) {
        return Effect::Wait { until: None };
    }
    let loss = inoculum.loss_at(judge.state.date, on).likely;
    let by_dose = if loss >= judge.policy.wait_loss {
        match inoculum.below(judge.state.date, judge.policy.wait_loss).likely {
            Some(until) => Some(until),
            None => return Effect::Wait { until: None },
        }
    } else {
        None
    };
    // Nobody prints years for the pair: what sources usually print for such a pathogen is evidence
    // too, and outweighs a half-life that is not known either.
    let usual = usual(judge, inoculum).map(|usual| add_years(since, usual.years));
    let by_dose =
        by_dose.filter(|_| usual.is_none() || !matches!(inoculum.half_life, HalfLife::Unknown(_)));
    match by_dose.into_iter().chain(usual).max().filter(|until| on < *until) {
        Some(until) => Effect::Wait { until: Some(until) },
        None => alive_effect(judge, inoculum, spans, since),
    }
}

/// What sources usually print for a pathogen's kind.
fn usual(judge: &Judge<'_, '_>, inoculum: &Inoculum<'_>) -> Option<Usual> {
    let knowledge = judge.knowledge;
    knowledge.intervals.usual(&knowledge.pathogens, inoculum.pathogen)
}

/// Care while the organism may live on, then free.
fn alive_effect(
    judge: &Judge<'_, '_>,
    inoculum: &Inoculum<'_>,
    spans: &Spans<'_>,
    since: Date,
) -> Effect {
    let pathogen = &judge.knowledge.pathogens[inoculum.pathogen];
    let on = judge.proposal.on;
    let survival = pathogen.survival_years.map(|years| years.high);
    let lasts = [survival, spans.longest].into_iter().flatten().max_by(f64::total_cmp);
    let open = pathogen.survival_open || (survival.is_none() && spans.never_clears);
    let Some(lasts) = lasts else {
        return if inoculum.loss_at(judge.state.date, on).likely < judge.policy.care_loss && !open {
            Effect::Allows
        } else {
            Effect::Care { until: None }
        };
    };
    let until = add_years(since, lasts);
    if open {
        Effect::Care { until: None }
    } else if on < until {
        Effect::Care { until: Some(until) }
    } else {
        Effect::Allows
    }
}

fn at_most_care(effect: Effect) -> Effect {
    match effect {
        Effect::Wait { until } => Effect::Care { until },
        other => other,
    }
}

/// How a crop suffers a disease, beside a susceptible one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suffered {
    /// The part of a susceptible crop's loss, 0 to 1.
    pub part: Estimate,
    /// Whether it is not known that it takes the disease at all: nobody lists it, or sources
    /// disagree. The part is then more of a chance.
    pub doubtful: bool,
}

/// How a crop suffers a disease, by its host status; one that is grown against the disease may or
/// may not.
#[must_use]
pub fn suffered(
    knowledge: &Knowledge,
    policy: &Policy,
    pathogen: PathogenId,
    crop: CropId,
) -> Suffered {
    let standing = knowledge.standing(pathogen, crop);
    let disputed = is_grown_against(knowledge, policy, pathogen, crop, &standing);
    let status = if disputed { HostStatus::Ungraded } else { standing.status };
    let part = match status {
        HostStatus::Host => Estimate::ONE,
        HostStatus::WeakHost | HostStatus::InferredHost => policy.weak_host_loss,
        HostStatus::PoorHost => policy.poor_host_loss,
        HostStatus::Unrecorded | HostStatus::Ungraded => {
            Estimate::new(0.0, 0.1, policy.weak_host_loss.high)
        }
        HostStatus::Carrier
        | HostStatus::AdvisedBreak
        | HostStatus::OutsideRange
        | HostStatus::NonHost => Estimate::ZERO,
    };
    let doubtful = matches!(status, HostStatus::Unrecorded | HostStatus::Ungraded);
    Suffered { part, doubtful }
}

/// Share of the crop that the disease would cost.
fn loss_of_crop(
    judge: &Judge<'_, '_>,
    inoculum: &Inoculum<'_>,
    resisted: Option<&Resisted>,
) -> Estimate {
    let policy = judge.policy;
    let part = if is_seen_on_it(judge.proposal.crop, inoculum) {
        Estimate::ONE
    } else {
        suffered(judge.knowledge, policy, inoculum.pathogen, judge.proposal.crop).part
    };
    if part.high <= 0.0 {
        return Estimate::ZERO;
    }
    let part = resisted.map_or(part, |resisted| part * resisted.loss(policy));
    let chance = match inoculum.presence {
        Presence::Sighted(_) | Presence::Candidate(_) => Estimate::ONE,
        Presence::Beside => judge.policy.beside_loss,
    };
    let loss = inoculum.loss_at(judge.state.date, judge.proposal.on) * part * chance;
    Estimate::new(loss.low.min(1.0), loss.likely.min(1.0), loss.high.min(1.0))
}

fn certainty(
    judge: &Judge<'_, '_>,
    inoculum: &Inoculum<'_>,
    standing: &HostStanding<'_>,
    spans: &Spans<'_>,
    effect: Effect,
) -> Confidence {
    let of_presence = match inoculum.presence {
        Presence::Sighted(Certainty::Laboratory | Certainty::FieldCheck) => Confidence::High,
        Presence::Sighted(Certainty::Suspected) => Confidence::Moderate,
        Presence::Candidate(_) | Presence::Beside => Confidence::Low,
    };
    let of_status = match standing.status {
        HostStatus::Unrecorded | HostStatus::Ungraded | HostStatus::InferredHost => Confidence::Low,
        HostStatus::OutsideRange | HostStatus::AdvisedBreak | HostStatus::WeakHost => {
            Confidence::Moderate
        }
        HostStatus::Host if is_seen_on_it(judge.proposal.crop, inoculum) => Confidence::High,
        HostStatus::Host | HostStatus::Carrier | HostStatus::PoorHost | HostStatus::NonHost => {
            standing
                .witnesses()
                .map(|row| {
                    let sure = sure_of(judge, &row.citation);
                    if row.is_direct() { sure } else { sure.min(Confidence::Moderate) }
                })
                .max()
                .unwrap_or(Confidence::Low)
        }
    };
    let timed = matches!(effect, Effect::Wait { .. }) && standing.status == HostStatus::Host;
    // Before the shortest interval is over, every source that prints as many years says so too.
    let of_interval = if timed {
        let says_wait = |row: &&IntervalRow| {
            row.years_min.is_none_or(|years| spans.shortest.is_none_or(|least| years >= least))
        };
        let sure = spans.rows.iter().copied().filter(says_wait);
        sure.map(|row| sure_of(judge, &row.citation)).max().unwrap_or(Confidence::Moderate)
    } else {
        Confidence::High
    };
    of_presence.min(of_status).min(of_interval)
}

fn sightings(inoculum: &Inoculum<'_>) -> Vec<Evidence> {
    let mut leaves: Vec<Evidence> = Vec::new();
    let seen: Vec<&Observation> = inoculum
        .steps
        .iter()
        .filter_map(|step| match step.event {
            DoseEvent::Sighting(seen) => Some(seen),
            _ => None,
        })
        .collect();
    // The latest two: the same disease over ten years is one reason, not ten.
    for seen in seen.iter().rev().take(2).rev() {
        leaves.push(Evidence::sighting(seen));
    }
    leaves
}

fn evidence(
    judge: &Judge<'_, '_>,
    inoculum: &Inoculum<'_>,
    standing: &HostStanding<'_>,
    spans: &Spans<'_>,
    resisted: Option<Resisted>,
    effect: Effect,
) -> Vec<Evidence> {
    let mut leaves = sightings(inoculum);
    for step in &inoculum.steps {
        let date = step.date;
        match &step.event {
            DoseEvent::Treated(treatment, left) => {
                let practice = treatment.practice.0.clone();
                let note = RecordNote::Treatment { date, practice, left: left.clone() };
                leaves.push(Evidence::Record(treatment.origin.clone(), note));
            }
            // A treatment was meant to do something, and the grower asks why it did not; of a crop
            // only what it did is a reason.
            DoseEvent::Suppressed(planting, Ok(left)) => {
                let crop = planting.crop;
                let note = RecordNote::SuppressiveCrop { date, crop, left: *left };
                leaves.push(Evidence::Record(planting.origin.clone(), note));
            }
            DoseEvent::Suppressed(_, Err(_))
            | DoseEvent::Sighting(_)
            | DoseEvent::Season(..)
            | DoseEvent::Healthy(_) => {}
        }
    }
    if let Some(last) = inoculum.hosts_since.last() {
        leaves.push(Evidence::planting(last));
    }
    status_evidence(judge, inoculum.pathogen, standing, &mut leaves);
    let timed = matches!(effect, Effect::Wait { .. } | Effect::Care { .. });
    if timed && standing.status.may_suffer() {
        for row in spans.rows.iter().take(2) {
            leaves.push(Evidence::Fact(
                FactNote::Interval {
                    disease: row.disease.clone(),
                    years_min: row.years_min,
                    years_max: row.years_max,
                    open_ended: row.open_ended,
                    enough: row.enough,
                    clears: row.clears,
                },
                row.citation.clone(),
            ));
        }
        if spans.rows.is_empty() {
            leaves.push(Evidence::Missing(MissingNote::Interval { pathogen: inoculum.pathogen }));
        }
        let is_unprinted = spans.shortest.is_none() && spans.too_few.is_none();
        if let Some(usual) = usual(judge, inoculum).filter(|_| is_unprinted) {
            leaves.push(Evidence::Figure(FigureNote::UsualInterval {
                kind: judge.knowledge.pathogens[inoculum.pathogen].kind.clone(),
                years: usual.years,
                rows: usual.rows,
            }));
        }
    }
    if timed {
        let pathogen = &judge.knowledge.pathogens[inoculum.pathogen];
        leaves.push(Evidence::Fact(
            FactNote::Survival {
                pathogen: inoculum.pathogen,
                years: pathogen.survival_years,
                open: pathogen.survival_open,
            },
            pathogen.citation.clone(),
        ));
        let since = inoculum.hostless_since.min(judge.proposal.on);
        leaves.push(Evidence::Figure(FigureNote::YearsWithoutHost {
            from: since,
            to: judge.proposal.on,
        }));
    }
    if standing.status.may_suffer() {
        leaves.push(Evidence::Figure(FigureNote::ExpectedLoss {
            half_life: inoculum.half_life.years(),
            loss: inoculum.loss_at(judge.state.date, judge.proposal.on),
        }));
    }
    leaves.extend(resisted.map(|resisted| resisted.evidence));
    leaves
}

/// What the tables say of the pair: the witness of the status, and one row that disagrees.
fn status_evidence(
    judge: &Judge<'_, '_>,
    pathogen: PathogenId,
    standing: &HostStanding<'_>,
    leaves: &mut Vec<Evidence>,
) {
    let crop = judge.proposal.crop;
    let witness = standing.witness();
    let dissent = standing.rows.iter().find(|row| {
        witness.is_some_and(|witness| witness.says != row.says)
            && !matches!(row.says, Says::ResistantCultivars)
    });
    for row in witness.into_iter().chain(dissent) {
        leaves.push(Evidence::Fact(
            FactNote::Host {
                pathogen,
                crop,
                says: row.says,
                basis: row.basis,
                note: row.note.clone(),
            },
            row.citation.clone(),
        ));
    }
    match standing.status {
        HostStatus::InferredHost => {
            if let Some((rank, relative)) = standing.inferred_by.zip(standing.relatives.first()) {
                let row = judge.knowledge.standing(pathogen, *relative);
                let citation = row.witness().map_or_else(
                    || judge.knowledge.pathogens[pathogen].citation.clone(),
                    |row| row.citation.clone(),
                );
                let relatives = standing.relatives.iter().copied().take(4).collect();
                leaves.push(Evidence::Fact(FactNote::Relatives { relatives, rank }, citation));
            }
        }
        HostStatus::OutsideRange => leaves.push(Evidence::Fact(
            FactNote::OutsideRange { pathogen },
            judge.knowledge.pathogens[pathogen].citation.clone(),
        )),
        HostStatus::Unrecorded => {
            leaves.push(Evidence::Missing(MissingNote::HostStatus { pathogen, crop }));
        }
        HostStatus::Host
        | HostStatus::WeakHost
        | HostStatus::Carrier
        | HostStatus::PoorHost
        | HostStatus::Ungraded
        | HostStatus::AdvisedBreak
        | HostStatus::NonHost => {}
    }
}
