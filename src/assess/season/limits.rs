//! Hazards of the whole course: cold that kills, soil, growth too cool or too hot, slowness.

use super::course::{CropYear, Steps, kill_at_screen};
use super::hazards::HazardEffect::{Forbids, Harms, Tells};
use super::hazards::{Found, HazardKind, until};
use crate::estimate::Estimate;
use crate::records::Method;

pub(super) fn killed<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (Some(kill), Some(screen_c)) = (year.needs.kill, kill_at_screen(year.policy, year.needs))
    else {
        return Vec::new();
    };
    let to = until(year, steps);
    let mortal = year.mortal_from(steps);
    let chance = year.chance_killed(mortal, to + 1);
    let effect = if chance > year.policy.kill_risk_most {
        Forbids
    } else if chance >= year.policy.kill_risk_told {
        Harms
    } else {
        return Vec::new();
    };
    let first = year.killed_by(mortal, 0.1);
    let kind = HazardKind::Killed {
        chance,
        screen_c,
        kill_c: kill.value,
        one_in_ten: first.map(|step| year.days.date(step)),
    };
    vec![(kind, effect, first.unwrap_or(mortal).min(to), to, Some(kill.citation))]
}

/// Young shoots that freeze and are replaced from what was planted: weeks are lost, not the crop.
pub(super) fn shoots<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (Some(regrowth), Some(screen_c)) =
        (year.needs.regrowth_days, kill_at_screen(year.policy, year.needs))
    else {
        return Vec::new();
    };
    let to = year.mortal_from(steps).min(until(year, steps));
    let chance = year.chance_killed(steps.up, to);
    if chance < year.policy.kill_risk_told {
        return Vec::new();
    }
    let effect = if chance > year.policy.kill_risk_most { Harms } else { Tells };
    let kind = HazardKind::ShootsFreeze { chance, screen_c, regrowth_days: regrowth.value };
    vec![(kind, effect, steps.up, to, Some(regrowth.citation))]
}

pub(super) fn soil<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    if year.method == Method::Transplanted {
        return found;
    }
    let Some(today) = year.days.days.get(steps.at) else { return found };
    let (soil_c, at) = (today.bed, steps.at);
    if let Some(least) = year.needs.soil_least
        && soil_c < least.value.low
    {
        let kind = HazardKind::SoilTooCold { soil_c, least_c: least.value.low };
        found.push((kind, Forbids, at, at, Some(least.citation)));
    }
    if let Some(most) = year.needs.soil_most
        && soil_c > most.value.high
    {
        let kind = HazardKind::SoilTooHot { soil_c, most_c: most.value.high };
        found.push((kind, Forbids, at, at, Some(most.citation)));
    }
    if !year.covers_emergence(at, steps.emergence[1]) {
        return found;
    }
    let days = steps.emergence[1].map(|step| (step - at) as f64);
    if days.is_none_or(|days| days > year.policy.emergence_days_most) {
        let kind = HazardKind::SlowToEmerge { days };
        let effect = if days.is_none_or(|days| days > 2.0 * year.policy.emergence_days_most) {
            Forbids
        } else {
            Harms
        };
        found.push((kind, effect, at, steps.emergence[1].unwrap_or(at), None));
    }
    found
}

pub(super) fn start<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let Some(least) = year.needs.growth_least else { return Vec::new() };
    let to = steps.at + 14;
    let Some(mean_c) = year.days.mean_of(steps.at, to, |day| day.mean) else { return Vec::new() };
    if mean_c >= least.value.low - year.policy.start_below_growth_c {
        return Vec::new();
    }
    let kind = HazardKind::StartTooCool { mean_c, least_c: least.value.low };
    vec![(
        kind,
        if year.needs.is_tender { Forbids } else { Harms },
        steps.at,
        to,
        Some(least.citation),
    )]
}

pub(super) fn growth<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let (from, to) = (steps.at, until(year, steps));
    if let (Some(least), Some(mean_c)) =
        (year.needs.growth_least, year.days.mean_of(from, to, |day| day.mean))
        && mean_c < least.value.low - year.policy.growth_margin_c
    {
        let kind = HazardKind::TooCool { mean_c, least_c: least.value.low };
        found.push((kind, Forbids, from, to, Some(least.citation)));
    }
    // Young plants bear heat that spoils what is picked: what counts are the last weeks before the
    // first harvest and the first after it.
    let late = year.policy.ripening_weeks_days;
    let (from, to) = (to.saturating_sub(late).max(steps.at), to + late);
    if let (Some(most), Some(mean_c)) =
        (year.needs.growth_most, year.days.mean_of(from, to, |day| day.mean))
    {
        let over = mean_c - most.value.high;
        let effect = if over > year.policy.growth_margin_c { Forbids } else { Harms };
        if over > 0.0 {
            let kind = HazardKind::TooHot { mean_c, most_c: most.value.high };
            found.push((kind, effect, from, to, Some(most.citation)));
        }
    }
    found
}

/// Days that are printed for it from such a start to the first harvest.
pub(super) fn usual_days(year: &CropYear<'_, '_>) -> Option<Estimate> {
    let nursery = match (year.needs.counted_from, year.method) {
        (Method::Transplanted, Method::Sown | Method::Volunteer) => year.policy.nursery_days.likely,
        (Method::Transplanted, Method::Transplanted)
        | (
            Method::Sown | Method::Volunteer,
            Method::Transplanted | Method::Sown | Method::Volunteer,
        ) => 0.0,
    };
    Some(year.needs.maturity_days?.value.map(|days| days + nursery))
}

pub(super) fn pace<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (Some(usual), Some(_)) = (year.needs.maturity_days, year.need) else { return Vec::new() };
    let Some(ready) = steps.harvest[1] else {
        let last = year.days.days.len() - 1;
        return vec![(HazardKind::NeverReady, Forbids, steps.at, last, Some(usual.citation))];
    };
    let days = (ready - steps.at) as f64;
    let most = usual_days(year).map_or(usual.value.high, |days| days.high);
    let slow = days / most;
    if slow <= year.policy.slow_told {
        return Vec::new();
    }
    // What lives through a winter may take its time.
    let effect = if slow > year.policy.slow_most && year.needs.is_tender { Forbids } else { Harms };
    let kind = HazardKind::Slow { days, usual: usual.value };
    vec![(kind, effect, steps.at, ready, Some(usual.citation))]
}

pub(super) fn cut_short<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (true, Some(last), Some(kill)) = (steps.ended_by_cold, steps.last, year.needs.kill) else {
        return Vec::new();
    };
    let kind = HazardKind::HarvestCutShort { kill_c: kill.value };
    vec![(kind, Tells, last, last, Some(kill.citation))]
}
