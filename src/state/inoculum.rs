//! What the soil holds of each pathogen: a dose q such that a fully susceptible crop loses the
//! share 1 - exp(-q), by independent action of propagules.
//!
//! Without a host q halves every half-life. A season of a host multiplies it up to a ceiling, a
//! carrier keeps it, an observation sets it, a healthy susceptible crop lowers what can be there,
//! suppressive crops and treatments divide it. The same steps that give the dose are its reasons.
//!
//! Every sighting begins a strand of its own, carried on to the date by all that came after it; the
//! dose is that of the highest strand. So a second look that finds less, or a look early in a
//! season before the crop has multiplied it, never makes the bed cleaner than it was held to be:
//! only a healthy host, a treatment, a suppressive crop or time does.

use crate::estimate::Estimate;
use crate::knowledge::{HostStatus, PathogenId};
use crate::policy::Policy;
use crate::records::{Certainty, Extent, Observation, Planting, Seen, Treatment};
use crate::season::{DAYS_PER_YEAR, Date};

use super::bed_state::BedState;
use super::half_life::{HalfLife, half_life};
use super::treated::{NotLowered, acts_on_soil, lowering, suppression};
use super::warmth::warmth;

/// Why a pathogen is held to be here.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Presence {
    /// Seen and named, with the surest certainty of any sighting.
    Sighted(Certainty),
    /// One of the causes that an unknown disease may have, with its chance.
    Candidate(f64),
    /// Seen in another section of the same bed.
    Beside,
}

/// What happened to the dose, and to what it rose or fell.
#[derive(Clone, Debug)]
pub struct DoseStep<'g> {
    /// When.
    pub date: Date,
    /// What.
    pub event: DoseEvent<'g>,
    /// The dose after it.
    pub dose: Estimate,
}

/// What changes a dose.
#[derive(Clone, Debug)]
pub enum DoseEvent<'g> {
    /// The disease was seen.
    Sighting(&'g Observation),
    /// A host, carrier or poor host stood for a season without the disease being noted.
    Season(&'g Planting, HostStatus),
    /// A susceptible crop stood and was found healthy.
    Healthy(&'g Observation),
    /// A suppressive crop stood or its residue was dug in, with the share of the dose it left.
    Suppressed(&'g Planting, Result<Estimate, NotLowered>),
    /// A treatment, with the share of the dose it left, or why it took nothing off.
    Treated(&'g Treatment, Result<Estimate, NotLowered>),
}

/// The inoculum of one pathogen at a place.
#[derive(Clone, Debug)]
pub struct Inoculum<'g> {
    /// The pathogen.
    pub pathogen: PathogenId,
    /// Why it is held to be here.
    pub presence: Presence,
    /// The dose at the date of the state.
    pub dose: Estimate,
    /// The half-life used.
    pub half_life: HalfLife,
    /// The day from which the years without a host count: when the last host was cleared, or the
    /// date itself while one still stands.
    pub hostless_since: Date,
    /// The plantings that were hosts since the first sighting, in order.
    pub hosts_since: Vec<&'g Planting>,
    /// What made the dose what it is, in order.
    pub steps: Vec<DoseStep<'g>>,
}

impl<'g> Inoculum<'g> {
    /// The latest sighting.
    #[must_use]
    pub fn last_sighting(&self) -> Option<&'g Observation> {
        self.steps.iter().rev().find_map(|step| match step.event {
            DoseEvent::Sighting(seen) => Some(seen),
            DoseEvent::Season(..)
            | DoseEvent::Healthy(_)
            | DoseEvent::Suppressed(..)
            | DoseEvent::Treated(..) => None,
        })
    }

    /// Whether a treatment or a suppressive crop came after the last sighting.
    #[must_use]
    pub fn was_lowered(&self) -> bool {
        self.steps
            .iter()
            .rev()
            .take_while(|step| !matches!(step.event, DoseEvent::Sighting(_)))
            .any(|step| {
                matches!(step.event, DoseEvent::Suppressed(_, Ok(_)) | DoseEvent::Treated(_, Ok(_)))
            })
    }
}

/// The share of a crop that an extent stands for.
#[must_use]
pub fn extent_share(policy: &Policy, extent: Option<Extent>) -> Estimate {
    match extent {
        Some(Extent::Trace) => policy.extent_trace,
        Some(Extent::Light) => policy.extent_light,
        Some(Extent::Moderate) => policy.extent_moderate,
        Some(Extent::Severe) => policy.extent_severe,
        Some(Extent::Percent(percent)) => {
            let share = percent / 100.0;
            Estimate::new((share - 0.05).max(share * 0.5), share, (share + 0.05).min(0.99))
        }
        None => policy.extent_not_given,
    }
}

/// How likely the name of a cause is the right one, by its certainty.
#[must_use]
pub fn certainty_weight(policy: &Policy, certainty: Certainty) -> f64 {
    match certainty {
        Certainty::Suspected => policy.certainty_suspected,
        Certainty::FieldCheck => policy.certainty_field_check,
        Certainty::Laboratory => policy.certainty_laboratory,
    }
}

/// A sighting with the weight of its certainty.
type Weighted<'g> = (&'g Observation, f64);

/// A pathogen held to be at a place, with the sightings that say so.
type Held<'g> = (PathogenId, Presence, Vec<Weighted<'g>>);

/// The inocula of a place, by pathogen: one for every pathogen that was seen and named, and one for
/// every pathogen that was seen beside it.
pub(super) fn seen<'g>(state: &BedState<'g>) -> Vec<Inoculum<'g>> {
    let mut held: Vec<Held<'g>> = Vec::new();
    for seen in &state.observations {
        let Seen::Pathogen(pathogen) = seen.seen else {
            continue;
        };
        let weight = certainty_weight(state.policy, seen.certainty);
        match held.iter_mut().find(|(known, ..)| *known == pathogen) {
            Some((_, presence, sightings)) => {
                if let Presence::Sighted(surest) = presence {
                    *surest = seen.certainty.max(*surest);
                }
                sightings.push((seen, weight));
            }
            None => {
                held.push((pathogen, Presence::Sighted(seen.certainty), vec![(*seen, weight)]));
            }
        }
    }
    for seen in &state.beside {
        let Seen::Pathogen(pathogen) = seen.seen else {
            continue;
        };
        let weight = state.policy.beside_weight;
        // Seen here too, and perhaps long ago: what was seen beside it stands on its own.
        let known = held
            .iter_mut()
            .find(|(known, presence, _)| *known == pathogen && *presence == Presence::Beside);
        match known {
            Some((.., sightings)) => sightings.push((seen, weight)),
            None => held.push((pathogen, Presence::Beside, vec![(*seen, weight)])),
        }
    }
    folded(state, held)
}

/// One inoculum for every pathogen that may be the cause of an unknown disease and was not named.
pub(super) fn suspected<'g>(state: &BedState<'g>) -> Vec<Inoculum<'g>> {
    let is_named = |pathogen: PathogenId| {
        state.observations.iter().any(|seen| seen.seen == Seen::Pathogen(pathogen))
    };
    let mut held: Vec<Held<'g>> = Vec::new();
    for episode in state.episodes() {
        for candidate in &episode.candidates {
            let Some(pathogen) = candidate.pathogen.filter(|one| !is_named(*one)) else {
                continue;
            };
            match held.iter_mut().find(|(known, ..)| *known == pathogen) {
                Some((_, Presence::Candidate(chance), _)) => {
                    *chance = chance.max(candidate.chance);
                }
                Some(_) => {}
                None => held.push((
                    pathogen,
                    Presence::Candidate(candidate.chance),
                    episode.notes.iter().map(|note| (*note, 1.0)).collect(),
                )),
            }
        }
    }
    folded(state, held)
}

fn folded<'g>(state: &BedState<'g>, mut held: Vec<Held<'g>>) -> Vec<Inoculum<'g>> {
    held.sort_by_key(|(pathogen, ..)| *pathogen);
    held.into_iter()
        .map(|(pathogen, presence, sightings)| fold(state, pathogen, presence, &sightings))
        .collect()
}

/// A planting as one pathogen meets it.
struct Standing<'g> {
    planting: &'g Planting,
    status: HostStatus,
    suppressive: bool,
}

#[expect(clippy::too_many_lines, reason = "all that happens to a dose, in one order")]
fn fold<'g>(
    state: &BedState<'g>,
    pathogen: PathogenId,
    presence: Presence,
    sightings: &[Weighted<'g>],
) -> Inoculum<'g> {
    let (knowledge, policy) = (state.knowledge, state.policy);
    let first = sightings.first().map_or(state.date, |(seen, _)| seen.date);
    let standings: Vec<Standing<'g>> = state
        .plantings
        .iter()
        .copied()
        .filter(|planting| planting.stood.end_by(state.date) >= first)
        .map(|planting| {
            let standing = knowledge.standing(pathogen, planting.crop);
            // What multiplies one species of an undetermined group may do so here, whatever it does
            // to the others.
            let suppressive = standing.is_suppressive()
                || !standing.status.may_suffer() && knowledge.may_suppress(planting.crop, pathogen);
            Standing { planting, status: standing.status, suppressive }
        })
        .collect();
    let hosts_since: Vec<&Planting> = standings
        .iter()
        .filter(|standing| {
            is_the_sighted_crop(standing, sightings)
                || (standing.status.may_suffer() && !ended_healthy(state, standing.planting))
        })
        .map(|standing| standing.planting)
        .collect();
    let mut events: Vec<(Date, u8, DoseEvent<'g>, f64)> = sightings
        .iter()
        .map(|(seen, weight)| (seen.date, 0, DoseEvent::Sighting(seen), *weight))
        .collect();
    for standing in &standings {
        let end = standing.planting.stood.end_by(state.date);
        let seen_in_it = sightings
            .iter()
            .any(|(seen, _)| standing.planting.stood.start <= seen.date && seen.date <= end);
        let days = (end - standing.planting.stood.start).num_days() as f64;
        if standing.suppressive && end > first && !seen_in_it {
            let planting = standing.planting;
            let left = suppression(knowledge, policy, pathogen, planting.crop, planting.residue)
                .map(|lowering| lowering.left);
            events.push((end, 2, DoseEvent::Suppressed(planting, left), 1.0));
        } else if days > 0.0 && matters_for_a_season(standing.status) {
            let seasons =
                (days / policy.days_of_a_season).min(1.0) * multiplied(state, pathogen, standing);
            events.push((end, 1, DoseEvent::Season(standing.planting, standing.status), seasons));
        }
    }
    for seen in state.observations.iter().copied() {
        let healthy_host = seen.seen == Seen::Healthy
            && seen.date > first
            && seen
                .crop
                .is_some_and(|crop| knowledge.standing(pathogen, crop).status == HostStatus::Host);
        if healthy_host {
            events.push((seen.date, 3, DoseEvent::Healthy(seen), 1.0));
        }
    }
    for treatment in state.treatments.iter().copied() {
        let end = treatment.lasted.end_by(state.date);
        if end > first && acts_on_soil(&treatment.practice.0) {
            let climate = state.climate.as_ref();
            let left = lowering(knowledge, policy, climate, pathogen, treatment, state.date)
                .map(|lowering| lowering.left);
            events.push((end, 4, DoseEvent::Treated(treatment, left), 1.0));
        }
    }
    events.sort_by_key(|(date, order, ..)| (*date, *order));
    let half_life = half_life(&knowledge.pathogens[pathogen], policy);
    let nematode = knowledge.pathogens[pathogen].is_nematode();
    let kept: Vec<(Date, Date)> = standings
        .iter()
        .filter(|standing| standing.status.keeps_it())
        .map(|standing| (standing.planting.stood.start, standing.planting.stood.end_by(state.date)))
        .collect();
    let mut strands: Vec<(&Observation, Estimate)> = Vec::with_capacity(sightings.len());
    let mut at = first;
    let mut steps = Vec::with_capacity(events.len());
    for (date, _, event, weight) in events {
        decay(&mut strands, half_life, hostless_years(at, date, &kept));
        at = date;
        if let DoseEvent::Sighting(seen) = event {
            strands.push((seen, seen_dose(policy, seen, weight)));
        } else {
            let mut acted = false;
            for (seen, dose) in &mut strands {
                if acts_on(&event, date, seen, nematode) {
                    *dose = after(policy, *dose, &event, weight, nematode);
                    acted = true;
                }
            }
            if !acted {
                continue;
            }
        }
        steps.push(DoseStep { date, event, dose: highest(&strands) });
    }
    decay(&mut strands, half_life, hostless_years(at, state.date, &kept));
    let dose = highest(&strands);
    let hostless_since = hosts_since
        .iter()
        .map(|planting| planting.stood.end_by(state.date))
        .chain(sightings.iter().map(|(seen, _)| seen.date))
        .max()
        .unwrap_or(state.date);
    Inoculum { pathogen, presence, dose, half_life, hostless_since, hosts_since, steps }
}

/// Share of a season in which a planting multiplied the pathogen: what grew in days too cool for it
/// did not, and what only keeps it does so in any season.
fn multiplied(state: &BedState<'_>, pathogen: PathogenId, standing: &Standing<'_>) -> f64 {
    let Some(climate) = state.climate.as_ref().filter(|_| standing.status.may_suffer()) else {
        return 1.0;
    };
    let stood = standing.planting.stood;
    let end = stood.end_by(state.date);
    warmth(state.policy, climate, &state.knowledge.pathogens[pathogen], stood.start, end)
        .map_or(1.0, |share| share.likely)
}

/// Whether a planting is gone and was found healthy when it was last looked at: a host on which
/// the disease did not come back has not begun it anew.
fn ended_healthy(state: &BedState<'_>, planting: &Planting) -> bool {
    let Some(end) = planting.stood.end.filter(|end| *end <= state.date) else { return false };
    let last = state.observations.iter().rfind(|seen| {
        seen.crop == Some(planting.crop)
            && seen.place.bears_on(&planting.place)
            && (planting.stood.start..=end).contains(&seen.date)
    });
    last.is_some_and(|seen| seen.seen == Seen::Healthy)
}

/// The crop on which the disease was seen is a host here, whatever the tables say.
fn is_the_sighted_crop(standing: &Standing<'_>, sightings: &[(&Observation, f64)]) -> bool {
    sightings.iter().any(|(seen, _)| {
        seen.crop == Some(standing.planting.crop)
            && standing.planting.place.bears_on(&seen.place)
            && standing.planting.stood.start <= seen.date
            && standing.planting.stood.end.is_none_or(|end| seen.date <= end)
    })
}

fn matters_for_a_season(status: HostStatus) -> bool {
    matches!(
        status,
        HostStatus::Host
            | HostStatus::WeakHost
            | HostStatus::InferredHost
            | HostStatus::Carrier
            | HostStatus::PoorHost
    )
}

/// The dose that a sighting stands for.
fn seen_dose(policy: &Policy, seen: &Observation, weight: f64) -> Estimate {
    let share = extent_share(policy, seen.extent);
    let dose = share.map(|share| -(1.0 - share.min(0.99)).ln());
    // A sighting that is not sure leaves open that the cause is another one.
    let low = if weight < 1.0 { dose.low * weight * weight } else { dose.low };
    Estimate::new(low, dose.likely * weight, dose.high)
}

fn decay(strands: &mut [(&Observation, Estimate)], half_life: HalfLife, years: f64) {
    for (_, dose) in strands {
        *dose = decayed(*dose, half_life.years(), years);
    }
}

/// The dose of all strands: the highest of them, down to what the latest look allows.
fn highest(strands: &[(&Observation, Estimate)]) -> Estimate {
    let Some((_, latest)) = strands.last() else { return Estimate::ZERO };
    let most = |end: fn(&Estimate) -> f64| {
        strands.iter().map(|(_, dose)| end(dose)).max_by(f64::total_cmp).unwrap_or_default()
    };
    Estimate::new(latest.low, most(|dose| dose.likely), most(|dose| dose.high))
}

/// Whether what happened bears on the strand of a sighting: it came later, and a season in which
/// the disease was seen is in what was seen. Not so for nematodes: what roots suffer goes by the
/// number before planting (Seinhorst 1965), and several broods a season leave many more.
fn acts_on(event: &DoseEvent<'_>, date: Date, seen: &Observation, nematode: bool) -> bool {
    let within = match event {
        DoseEvent::Season(planting, status) => {
            planting.stood.start <= seen.date && !(nematode && status.may_suffer())
        }
        DoseEvent::Sighting(_)
        | DoseEvent::Healthy(_)
        | DoseEvent::Suppressed(..)
        | DoseEvent::Treated(..) => false,
    };
    date > seen.date && !within
}

/// A strand after something that is no sighting; a sighting leaves other strands as they are.
fn after(
    policy: &Policy,
    dose: Estimate,
    event: &DoseEvent<'_>,
    weight: f64,
    nematode: bool,
) -> Estimate {
    match event {
        DoseEvent::Sighting(_) => dose,
        DoseEvent::Season(_, status) => {
            let factor = match status {
                HostStatus::Host | HostStatus::WeakHost | HostStatus::InferredHost if nematode => {
                    policy.nematode_season_factor
                }
                HostStatus::Host | HostStatus::WeakHost | HostStatus::InferredHost => {
                    policy.host_season_factor
                }
                HostStatus::Carrier => policy.carrier_season_factor,
                HostStatus::PoorHost => policy.poor_host_season_factor,
                HostStatus::Ungraded
                | HostStatus::Unrecorded
                | HostStatus::AdvisedBreak
                | HostStatus::OutsideRange
                | HostStatus::NonHost => Estimate::ONE,
            };
            let grow =
                |dose: f64, factor: f64| logistic(dose, factor.powf(weight), policy.dose_ceiling);
            Estimate::new(
                grow(dose.low, factor.low),
                grow(dose.likely, factor.likely),
                grow(dose.high, factor.high),
            )
        }
        DoseEvent::Healthy(_) => {
            let factor = policy.healthy_host_factor;
            Estimate::new(dose.low * factor, dose.likely * factor, dose.high * factor.sqrt())
        }
        DoseEvent::Suppressed(_, left) | DoseEvent::Treated(_, left) => {
            left.as_ref().map_or(dose, |left| dose * *left)
        }
    }
}

/// Growth by a factor while small, levelling off at the ceiling.
fn logistic(dose: f64, factor: f64, ceiling: f64) -> f64 {
    if dose <= 0.0 || dose >= ceiling {
        return dose;
    }
    ceiling / (1.0 + (ceiling / dose - 1.0) / factor)
}

pub(super) fn years(from: Date, to: Date) -> f64 {
    ((to - from).num_days() as f64 / DAYS_PER_YEAR).max(0.0)
}

/// Years between two days during which nothing stood that keeps the pathogen.
fn hostless_years(from: Date, to: Date, kept: &[(Date, Date)]) -> f64 {
    if to <= from {
        return 0.0;
    }
    let mut spans: Vec<(Date, Date)> = kept
        .iter()
        .map(|(start, end)| ((*start).max(from), (*end).min(to)))
        .filter(|(start, end)| start < end)
        .collect();
    spans.sort();
    let (mut covered, mut reached) = (0, from);
    for (start, end) in spans {
        let start = start.max(reached);
        if end > start {
            covered += (end - start).num_days();
            reached = end;
        }
    }
    ((to - from).num_days() - covered) as f64 / DAYS_PER_YEAR
}

pub(super) fn decayed(dose: Estimate, half_life: Estimate, years: f64) -> Estimate {
    let left = |half_life: f64| (-years / half_life.max(0.01)).exp2();
    Estimate::new(
        dose.low * left(half_life.low),
        dose.likely * left(half_life.likely),
        dose.high * left(half_life.high),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_season_multiplies_a_small_dose_and_levels_off() {
        assert!((logistic(0.01, 4.0, 3.0) / 0.01 - 4.0).abs() < 0.05);
        assert!(logistic(2.9, 4.0, 3.0) < 3.0);
        assert!(logistic(0.0, 4.0, 3.0).abs() < f64::EPSILON);
        // What was seen in the soil may be more than a season builds: a host does not lower it.
        assert!((logistic(3.5, 4.0, 3.0) - 3.5).abs() < f64::EPSILON);
    }

    #[test]
    fn a_half_life_halves() {
        let one = Estimate::exact(1.0);
        let dose = decayed(one, Estimate::new(1.0, 2.0, 4.0), 2.0);
        assert!((dose.low - 0.25).abs() < 1e-12);
        assert!((dose.likely - 0.5).abs() < 1e-12);
        assert!((dose.high - 0.5_f64.sqrt()).abs() < 1e-12);
    }

    #[test]
    fn years_under_a_host_do_not_count_as_a_break() {
        let day = |text| crate::season::iso_day(text).expect("a day");
        let kept = [(day("2024-03-01"), day("2024-09-01")), (day("2024-06-01"), day("2024-10-01"))];
        let years = hostless_years(day("2024-01-01"), day("2025-01-01"), &kept);
        assert!((years * DAYS_PER_YEAR - 152.0).abs() < 1e-9, "{years}");
    }
}
