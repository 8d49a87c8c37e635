//! What can go wrong with a planting, with dates and figures.
//!
//! Each question is one small function over the crop's steps. A hazard forbids a start, harms it,
//! or is worth knowing; where the tables have no figure for a crop nothing is said of it.

use super::course::{CropYear, Steps, kill_at_screen};
use super::kind::Kind;
use super::needs::Sourced;
use crate::estimate::Estimate;
use crate::knowledge::Citation;
use crate::records::Method;
use crate::season::Date;

/// How much a hazard weighs; the order is that of a list of hazards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HazardEffect {
    /// No harvest to speak of: the day lies outside the window.
    Forbids,
    /// A poorer or later harvest.
    Harms,
    /// Worth knowing.
    Tells,
}

/// What goes wrong. Temperatures in degrees Celsius.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HazardKind {
    /// Cold kills it before the first harvest.
    Killed {
        /// Chance of it.
        chance: f64,
        /// Temperature at the screen that does it.
        screen_c: f64,
        /// Temperature that kills the plant.
        kill_c: Estimate,
        /// First day by which it has happened in one year of ten.
        one_in_ten: Option<Date>,
    },
    /// Cold ends the harvest early.
    HarvestCutShort {
        /// Temperature that kills the plant.
        kill_c: Estimate,
    },
    /// The soil is too cold for the seed.
    SoilTooCold {
        /// Soil on the day.
        soil_c: f64,
        /// Least it needs.
        least_c: f64,
    },
    /// The soil is too hot for the seed.
    SoilTooHot {
        /// Soil on the day.
        soil_c: f64,
        /// Most it bears.
        most_c: f64,
    },
    /// Seed lies long before it comes up.
    SlowToEmerge {
        /// Days; `None` if not within four months.
        days: Option<f64>,
    },
    /// The weeks after the start are too cool for it to grow on.
    StartTooCool {
        /// Mean of the first two weeks.
        mean_c: f64,
        /// Lowest mean it grows at.
        least_c: f64,
    },
    /// The whole time is too cool.
    TooCool {
        /// Mean from start to first harvest.
        mean_c: f64,
        /// Lowest mean it grows at.
        least_c: f64,
    },
    /// Too hot as it comes to harvest.
    TooHot {
        /// Mean of the weeks about the first harvest.
        mean_c: f64,
        /// Highest mean it grows well at.
        most_c: f64,
    },
    /// The heat for a harvest does not come together.
    NeverReady,
    /// It takes much longer than published.
    Slow {
        /// Days to the likely first harvest.
        days: f64,
        /// Published.
        usual: Estimate,
    },
    /// Nights too cold for fruit to set.
    SetNightsCold {
        /// Mean minimum as fruit sets.
        night_c: f64,
        /// Limits published, lowest to highest.
        least_c: Estimate,
    },
    /// Nights too warm for fruit to set.
    SetNightsWarm {
        /// Mean minimum as fruit sets.
        night_c: f64,
        /// Limits published.
        most_c: Estimate,
    },
    /// Days too hot for fruit to set.
    SetDaysHot {
        /// Mean maximum as fruit sets.
        day_c: f64,
        /// Limits published.
        most_c: Estimate,
    },
    /// Fruit no longer ripens.
    RipeningStops {
        /// Mean minimum of the two weeks.
        night_c: f64,
        /// Mean maximum of the two weeks.
        day_c: f64,
    },
    /// Fruit ripens slowly.
    RipeningSlow {
        /// Mean of the two weeks.
        mean_c: f64,
        /// Below this it is slow.
        least_c: f64,
    },
    /// Red does not form in the heat.
    NoRed {
        /// Mean maximum.
        day_c: f64,
        /// Above this none forms.
        most_c: f64,
    },
    /// Too little light.
    LittleLight {
        /// Light of a day, mol/m2.
        light: f64,
        /// Least published for the kind.
        least: Estimate,
    },
    /// Days under ten hours slow it.
    ShortDays {
        /// How many until the first harvest.
        days: usize,
        /// Hours that count as short.
        hours: f64,
    },
    /// Cold after youth makes it bolt.
    BoltsAfterCold {
        /// Days below the trigger.
        days: usize,
        /// Trigger.
        below_c: f64,
    },
    /// Long days make it bolt.
    BoltsInLongDays {
        /// Hours at the first harvest.
        hours: f64,
        /// Published length at which it bolts.
        from: Estimate,
    },
    /// The days never get long enough for a bulb.
    NeverBulbs {
        /// Longest day met.
        longest: f64,
        /// Hours needed.
        hours: f64,
    },
    /// It bulbs while still small.
    BulbsSmall {
        /// Hours needed.
        hours: f64,
        /// Share of its growth by then.
        grown: f64,
    },
    /// Heads loosen in the heat.
    LooseHeads {
        /// Mean maximum as it heads.
        day_c: f64,
        /// Limit.
        most_c: f64,
    },
    /// Cold makes young plants head too early.
    Buttons {
        /// Days below the limit while young.
        days: usize,
        /// Limit.
        below_c: f64,
    },
}

/// One thing that can go wrong.
#[derive(Clone, Debug)]
pub struct Hazard<'k> {
    /// What.
    pub kind: HazardKind,
    /// How much it weighs.
    pub effect: HazardEffect,
    /// First day of it.
    pub from: Date,
    /// Last day of it.
    pub to: Date,
    /// Source of the limit; `None` where the limit is a choice of policy.
    pub citation: Option<&'k Citation>,
}

/// A hazard before its dates: kind, effect, first and last step, source.
type Found<'k> = (HazardKind, HazardEffect, usize, usize, Option<&'k Citation>);

pub(super) fn hazards<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Hazard<'k>> {
    let found = [
        killed(year, steps),
        soil(year, steps),
        start(year, steps),
        growth(year, steps),
        pace(year, steps),
        fruit_set(year, steps),
        ripening(year, steps),
        light(year, steps),
        bolting(year, steps),
        bulbing(year, steps),
        heading(year, steps),
        cut_short(year, steps),
    ];
    found
        .into_iter()
        .flatten()
        .map(|(kind, effect, from, to, citation)| Hazard {
            kind,
            effect,
            from: year.days.date(from),
            to: year.days.date(to),
            citation,
        })
        .collect()
}

use HazardEffect::{Forbids, Harms, Tells};

/// The step up to which the crop must live and thrive: the likely first harvest; a few weeks where
/// no harvest is asked for.
fn until(year: &CropYear<'_, '_>, steps: &Steps) -> usize {
    steps.harvest[1].unwrap_or(steps.at + year.policy.establishing_days)
}

fn killed<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (Some(kill), Some(screen_c)) = (year.needs.kill, kill_at_screen(year.policy, year.needs))
    else {
        return Vec::new();
    };
    let to = until(year, steps);
    let chance = year.chance_killed(steps.up, to + 1);
    let effect = if chance > year.policy.kill_risk_most {
        Forbids
    } else if chance >= year.policy.kill_risk_told {
        Harms
    } else {
        return Vec::new();
    };
    let first = year.killed_by(steps.up, 0.1);
    let kind = HazardKind::Killed {
        chance,
        screen_c,
        kill_c: kill.value,
        one_in_ten: first.map(|step| year.days.date(step)),
    };
    vec![(kind, effect, first.unwrap_or(steps.up).min(to), to, Some(kill.citation))]
}

fn soil<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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
    if !year.has_emergence() {
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

fn start<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn growth<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn pace<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (Some(usual), Some(_)) = (year.needs.maturity_days, year.need) else { return Vec::new() };
    let Some(ready) = steps.harvest[1] else {
        let last = year.days.days.len() - 1;
        return vec![(HazardKind::NeverReady, Forbids, steps.at, last, Some(usual.citation))];
    };
    let days = (ready - steps.at) as f64;
    let nursery = match (year.needs.counted_from, year.method) {
        (Method::Transplanted, Method::Sown | Method::Volunteer) => year.policy.nursery_days.likely,
        (Method::Transplanted, Method::Transplanted)
        | (
            Method::Sown | Method::Volunteer,
            Method::Transplanted | Method::Sown | Method::Volunteer,
        ) => 0.0,
    };
    let most = usual.value.high + nursery;
    let slow = days / most;
    if slow <= year.policy.slow_told {
        return Vec::new();
    }
    // What lives through a winter may take its time.
    let effect = if slow > year.policy.slow_most && year.needs.is_tender { Forbids } else { Harms };
    let kind = HazardKind::Slow { days, usual: usual.value };
    vec![(kind, effect, steps.at, ready, Some(usual.citation))]
}

/// First and last step of fruit set: from a share of the way to the first harvest on.
fn set_steps(year: &CropYear<'_, '_>, steps: &Steps) -> Option<(usize, usize)> {
    let from = year.step_at_share(steps.at, year.policy.fruit_set_share)?;
    Some((from, from + year.policy.fruit_set_days))
}

fn fruit_set<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn ripening<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn light<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn bolting<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn bulbing<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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
            vec![(kind, Forbids, bulbs, bulbs, Some(limit.citation))]
        }
        Some(_) | None => Vec::new(),
    }
}

fn heading<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
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

fn cut_short<'k>(year: &CropYear<'_, 'k>, steps: &Steps) -> Vec<Found<'k>> {
    let (true, Some(last), Some(kill)) = (steps.ended_by_cold, steps.last, year.needs.kill) else {
        return Vec::new();
    };
    let kind = HazardKind::HarvestCutShort { kill_c: kill.value };
    vec![(kind, Tells, last, last, Some(kill.citation))]
}
