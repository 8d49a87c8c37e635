//! Hazards of single stages: fruit set, ripening, light, bolting, bulbing, heading.

use super::course::{CropYear, Steps};
use super::hazards::HazardEffect::{Forbids, Harms, Tells};
use super::hazards::{Found, HazardKind, until};
use super::kind::Kind;
use super::needs::Sourced;

/// First and last step of fruit set: from a share of the way to the first harvest on.
fn set_steps(year: &CropYear<'_, '_>, steps: &Steps) -> Option<(usize, usize)> {
    let from = year.step_at_share(steps.at, year.policy.fruit_set_share)?;
    Some((from, from + year.policy.fruit_set_days))
}

pub(super) fn fruit_set<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let Some((from, to)) = set_steps(year, steps) else { return found };
    // Small-fruited kinds are said to bear extremes better, without a figure.
    let give =
        if year.needs.kind == Kind::SmallFruited { year.policy.small_fruit_margin_c } else { 0.0 };
    let night = year.days.mean_of(from, to, |day| day.tmin);
    let day = year.days.mean_of(from, to, |day| day.tmax);
    if let (Some(limit), Some(night_c)) = (year.needs.limit_range("fruit_set_night_min_c"), night) {
        let least_c = limit.value.map(|value| value - give);
        if night_c < least_c.high {
            let effect = if night_c < least_c.low { Forbids } else { Harms };
            found.push((
                HazardKind::SetNightsCold { night_c, least_c },
                effect,
                from,
                to,
                Some(limit.citation),
            ));
        }
    }
    if let (Some(limit), Some(night_c)) = (year.needs.limit_range("fruit_set_night_max_c"), night) {
        let most_c = limit.value.map(|value| value + give);
        if night_c > most_c.low {
            let effect = if night_c > most_c.high { Forbids } else { Harms };
            found.push((
                HazardKind::SetNightsWarm { night_c, most_c },
                effect,
                from,
                to,
                Some(limit.citation),
            ));
        }
    }
    if let (Some(limit), Some(day_c)) = (year.needs.limit_range("fruit_set_day_max_c"), day) {
        let most_c = limit.value.map(|value| value + give);
        if day_c > most_c.low {
            let effect = if day_c > most_c.high { Forbids } else { Harms };
            found.push((
                HazardKind::SetDaysHot { day_c, most_c },
                effect,
                from,
                to,
                Some(limit.citation),
            ));
        }
    }
    found
}

pub(super) fn ripening<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let (Some(from), Some(least)) = (steps.harvest[1], year.needs.limit_range("ripening_min_c"))
    else {
        return found;
    };
    let picked_to = steps.last.unwrap_or(from).max(from);
    let fortnight = |from: usize| {
        Some((
            year.days.mean_of(from, from + 14, |day| day.tmin)?,
            year.days.mean_of(from, from + 14, |day| day.tmax)?,
        ))
    };
    // Nights below 10 C with days below 16 C for two weeks end it (the row's own note).
    let too_cold = |step: &usize| {
        fortnight(*step).is_some_and(|(night, day)| {
            night < least.value.low && day < year.policy.ripening_stop_day_c
        })
    };
    if let Some(stop) = (from..=picked_to).find(|step| too_cold(step)) {
        let (night_c, day_c) = fortnight(stop).unwrap_or((0.0, 0.0));
        let effect = if stop == from { Forbids } else { Harms };
        found.push((
            HazardKind::RipeningStops { night_c, day_c },
            effect,
            stop,
            stop + 14,
            Some(least.citation),
        ));
    } else if let Some(mean_c) = year.days.mean_of(from, from + 14, |day| day.mean)
        && mean_c < least.value.high
    {
        let kind = HazardKind::RipeningSlow { mean_c, least_c: least.value.high };
        found.push((kind, Harms, from, from + 14, Some(least.citation)));
    }
    if let (Some(most), Some(day_c)) =
        (year.needs.limit("ripening_max_c"), year.days.mean_of(from, from + 14, |day| day.tmax))
        && day_c > most.value.high
    {
        let kind = HazardKind::NoRed { day_c, most_c: most.value.high };
        found.push((kind, Harms, from, from + 14, Some(most.citation)));
    }
    found
}

pub(super) fn light<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let to = until(year, steps);
    let from = set_steps(year, steps).map_or(steps.up, |(from, _)| from).min(to);
    let mean = year.days.mean_of(from, to.max(from + 1), |day| day.light.unwrap_or(f64::NAN));
    if let (Some(limit), Some(light)) = (year.needs.limit_range("dli_mol_m2_d_min"), mean)
        && light < limit.value.high
    {
        let effect = if light < limit.value.low { Forbids } else { Harms };
        let kind = HazardKind::LittleLight { light, least: limit.value };
        found.push((kind, effect, from, to, Some(limit.citation)));
    }
    let hours = year.policy.short_day_h;
    let short = |step: &usize| year.days.days[*step].daylength.is_some_and(|day| day < hours);
    let days: Vec<usize> = (steps.at..to.min(year.days.days.len())).filter(short).collect();
    if let (Some(first), Some(last)) = (days.first(), days.last()) {
        let citation = year.needs.limit("min_daylength_h").map(|limit| limit.citation);
        found.push((
            HazardKind::ShortDays { days: days.len(), hours },
            Tells,
            *first,
            *last,
            citation,
        ));
    }
    found
}

pub(super) fn bolting<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let Some(to) = steps.harvest[1] else { return found };
    let grown = year.step_at_share(steps.at, year.policy.juvenile_share).unwrap_or(to).min(to);
    if let Some(trigger) = year.needs.limit("bolting_trigger_temp_c") {
        let below_c = trigger.value.high;
        let cold: Vec<usize> =
            (grown..to).filter(|step| year.days.days[*step].mean < below_c).collect();
        if let (Some(first), Some(last)) = (cold.first(), cold.last())
            && cold.len() >= year.policy.bolting_days_told
        {
            let effect = if cold.len() >= year.policy.bolting_days_most { Forbids } else { Harms };
            let kind = HazardKind::BoltsAfterCold { days: cold.len(), below_c };
            found.push((kind, effect, *first, *last, Some(trigger.citation)));
        }
    }
    let counter: [(&str, f64, f64); 2] =
        [("vernalization_days", 1.0, 10.0), ("vernalization_weeks", 7.0, 5.0)];
    for (limit, days, below_c) in counter {
        // Garlic must have its cold; for the others it is what makes them bolt.
        if year.needs.bulbing.is_some() {
            break;
        }
        let Some(need) = year.needs.limit(limit) else { continue };
        let cold: Vec<usize> =
            (grown..to).filter(|step| year.days.days[*step].mean <= below_c).collect();
        if let (Some(first), Some(last)) = (cold.first(), cold.last())
            && cold.len() as f64 >= need.value.low * days
        {
            let kind = HazardKind::BoltsAfterCold { days: cold.len(), below_c };
            found.push((kind, Forbids, *first, *last, Some(need.citation)));
        }
    }
    if let (Some(limit), Some(hours)) = (
        year.needs.limit("critical_daylength_h"),
        year.days.days.get(to).and_then(|day| day.daylength),
    ) && hours > limit.value.low
    {
        let effect = if hours > limit.value.high { Forbids } else { Harms };
        let kind = HazardKind::BoltsInLongDays { hours, from: limit.value };
        found.push((kind, effect, grown, to, Some(limit.citation)));
    }
    found
}

pub(super) fn bulbing<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let Some(limit) = year.needs.bulbing else { return Vec::new() };
    let hours = limit.value.low;
    let Some(longest) =
        year.days.days.iter().skip(steps.at).filter_map(|day| day.daylength).reduce(f64::max)
    else {
        return Vec::new();
    };
    let last = year.days.days.len() - 1;
    if longest < hours {
        let kind = HazardKind::NeverBulbs { longest, hours };
        return vec![(kind, Forbids, steps.at, last, Some(limit.citation))];
    }
    let Some(bulbs) = year.bulbing_from(steps.at) else { return Vec::new() };
    match year.share_at(steps.at, bulbs) {
        Some(grown) if grown < year.policy.bulbing_share => {
            let kind = HazardKind::BulbsSmall { hours, grown };
            // Out of seed no bulb of use is left; a clove brings stores along and makes a smaller one.
            let effect = if year.needs.is_from_pieces() { Harms } else { Forbids };
            vec![(kind, effect, bulbs, bulbs, Some(limit.citation))]
        }
        Some(_) | None => Vec::new(),
    }
}

pub(super) fn heading<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let mut found = Vec::new();
    let Some(ready) = steps.harvest[1] else { return found };
    let from = year.step_at_share(steps.at, year.policy.heading_share).unwrap_or(ready).min(ready);
    let hot = |limit: Sourced<'k>| {
        let day_c = year.days.mean_of(from, ready + 1, |day| day.tmax)?;
        let kind = HazardKind::LooseHeads { day_c, most_c: limit.value.high };
        (day_c > limit.value.high).then_some((kind, Forbids, from, ready, Some(limit.citation)))
    };
    found.extend(year.needs.limit("heading_max_c").and_then(hot));
    if let Some(limit) = year.needs.limit("buttoning_cold_c") {
        let below_c = limit.value.high;
        let young: Vec<usize> =
            (steps.up..from).filter(|step| year.days.days[*step].mean < below_c).collect();
        if let (Some(first), Some(last)) = (young.first(), young.last())
            && young.len() >= year.policy.buttoning_days
        {
            let kind = HazardKind::Buttons { days: young.len(), below_c };
            found.push((kind, Harms, *first, *last, Some(limit.citation)));
        }
    }
    found
}
