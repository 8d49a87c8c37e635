//! What a season leaves of the yield: the part of the harvest that cold lets be picked, how the
//! temperatures suit what is picked, the light, and harm without a figure of its own.
//!
//! Each part is a fraction of the yield of the same crop in weather that suits it, with a range;
//! their product is what the season leaves. Early and late years, one standard deviation of a
//! season's mean warmer and cooler, make the ends.

use super::course::{CropYear, Steps};
use super::hazards::{Hazard, HazardEffect, HazardKind};
use crate::estimate::Estimate;

/// The parts of what a season leaves of the yield.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeasonYield {
    /// Share of the days of picking that the crop lives to see; where no harvest is asked for, the
    /// chance that it lives until it is established.
    pub picked: Estimate,
    /// How well the temperatures suit what is picked; `None` without figures of its growth.
    pub suits: Option<Estimate>,
    /// Light beside what is published as the least.
    pub light: Estimate,
    /// Harm that no other part counts.
    pub harmed: Estimate,
}

impl SeasonYield {
    /// The product of the parts.
    #[must_use]
    pub fn whole(&self) -> Estimate {
        self.picked * self.suits.unwrap_or(Estimate::ONE) * self.light * self.harmed
    }
}

pub(super) fn season_yield(
    year: &CropYear<'_, '_>,
    steps: &Steps,
    hazards: &[Hazard<'_>],
) -> SeasonYield {
    let least_light = hazards.iter().find_map(|hazard| match hazard.kind {
        HazardKind::LittleLight { light, least } => Some((light, least)),
        _ => None,
    });
    SeasonYield {
        picked: picked(year, steps, hazards),
        suits: suits(year, steps),
        // Yield follows light one to one as long as there is less of it than the crop can use.
        light: least_light
            .map_or(Estimate::ONE, |(light, least)| least.map(|least| (light / least).min(1.0))),
        harmed: harmed(year, hazards),
    }
}

fn suits(year: &CropYear<'_, '_>, steps: &Steps) -> Option<Estimate> {
    let sd = year.policy.season_mean_sd_c;
    let likely = year.fit(steps)?;
    // A warm year also ripens early: what is picked then is formed in its own weeks.
    let (warm, cool) = (year.fit_of_year(steps, 0, sd)?, year.fit_of_year(steps, 2, -sd)?);
    Some(Estimate { low: likely.min(warm).min(cool), likely, high: likely.max(warm).max(cool) })
}

fn picked(year: &CropYear<'_, '_>, steps: &Steps, hazards: &[Hazard<'_>]) -> Estimate {
    let last = year.days.days.len();
    if year.need.is_none() {
        let until = steps.at + year.policy.establishing_days;
        return Estimate::exact(year.chance_living(year.mortal_from(steps), until));
    }
    let span = year.needs.harvest_days.map_or(1.0, |days| days.value.likely.max(1.0));
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a span of days from the table, at least one"
    )]
    let span = span.round() as usize;
    let ripe_until = hazards.iter().find_map(|hazard| match hazard.kind {
        HazardKind::RipeningStops { .. } => Some(year.days.index(hazard.from)),
        _ => None,
    });
    let share = |first: Option<usize>| {
        let Some(first) = first else { return 0.0 };
        let end = (first + span).min(last.max(first + 1));
        let alive: f64 = (first..end)
            .filter(|step| ripe_until.is_none_or(|stop| *step < stop))
            .map(|step| year.chance_living(year.mortal_from(steps), step))
            .fold(0.0, |sum, alive| sum + alive);
        alive / (end - first) as f64
    };
    let [early, likely, late] = steps.harvest.map(share);
    Estimate { low: early.min(likely).min(late), likely, high: early.max(likely).max(late) }
}

/// What harms without a figure of how much: the worst of it, not each anew, since one cold spell
/// shows in several questions.
fn harmed(year: &CropYear<'_, '_>, hazards: &[Hazard<'_>]) -> Estimate {
    let worst =
        hazards.iter().filter(|hazard| !has_own_part(&hazard.kind)).map(|hazard| hazard.effect);
    match worst.min() {
        Some(HazardEffect::Forbids) => year.policy.season_forbidden,
        Some(HazardEffect::Harms) => year.policy.season_harmed,
        Some(HazardEffect::Tells) | None => Estimate::ONE,
    }
}

/// Whether another part of the yield counts a hazard, or it costs time and no yield.
fn has_own_part(kind: &HazardKind) -> bool {
    match kind {
        HazardKind::Killed { .. }
        | HazardKind::HarvestCutShort { .. }
        | HazardKind::RipeningStops { .. }
        | HazardKind::NeverReady
        | HazardKind::TooCool { .. }
        | HazardKind::TooHot { .. }
        | HazardKind::LittleLight { .. }
        | HazardKind::ShortDays { .. }
        | HazardKind::Slow { .. } => true,
        HazardKind::ShootsFreeze { .. }
        | HazardKind::SoilTooCold { .. }
        | HazardKind::SoilTooHot { .. }
        | HazardKind::SlowToEmerge { .. }
        | HazardKind::StartTooCool { .. }
        | HazardKind::SetNightsCold { .. }
        | HazardKind::SetNightsWarm { .. }
        | HazardKind::SetDaysHot { .. }
        | HazardKind::RipeningSlow { .. }
        | HazardKind::NoRed { .. }
        | HazardKind::BoltsAfterCold { .. }
        | HazardKind::BoltsInLongDays { .. }
        | HazardKind::NeverBulbs { .. }
        | HazardKind::BulbsSmall { .. }
        | HazardKind::LooseHeads { .. }
        | HazardKind::Buttons { .. } => false,
    }
}
