//! When a bed with a standing crop is free: by its season, and by what is still picked from it.
//!
//! The days over which a crop is usually picked are a guess made at planting. What was picked lately
//! is the better witness: a brassica that gives side shoots past those days gives until heat or
//! cold ends it. A crop cleared early is no longer standing, and its bed is free from that day.

use crate::assess::season::{Kind, SeasonAnswer, SiteDays, season};
use crate::climate::Climate;
use crate::climate::days::HORIZON;
use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::{Garden, Harvest, Method, Place, Planting};
use crate::season::{Date, add_days};

/// Until when a standing crop is expected to give.
#[derive(Clone, Debug)]
pub struct Free<'g> {
    /// The planting.
    pub planting: &'g Planting,
    /// The last picking on record.
    pub picked: Option<&'g Harvest>,
    /// First day on which the bed is expected to be free.
    pub from: Date,
    /// What ends it.
    pub ends: Ends,
}

/// What ends a standing crop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ends {
    /// The usual days of picking are over then.
    UsualDays,
    /// It gives past its usual days, until days too hot for it.
    Heat,
    /// Cold kills it in every other year.
    Cold,
    /// The records already say when it is cleared.
    Cleared,
    /// Its usual days are over and nothing was picked lately: it may be cleared.
    Over,
}

/// The crops that stand in a place on a day, and when the bed is free of each; what there are no
/// figures for is left out, and so is what came by itself.
#[must_use]
pub fn free<'g>(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &'g Garden,
    place: &Place,
    on: Date,
) -> Vec<Free<'g>> {
    let Some(climate) = Climate::of(garden) else { return Vec::new() };
    garden
        .plantings
        .at(place)
        .filter(|planting| planting.stood.holds(on))
        .filter(|planting| planting.method != Some(Method::Volunteer))
        .filter_map(|planting| {
            let picked = garden.harvests.at(&planting.place).rfind(|harvest| {
                harvest.crop == planting.crop && (planting.stood.start..=on).contains(&harvest.date)
            });
            if let Some(end) = planting.stood.end {
                return Some(Free { planting, picked, from: end, ends: Ends::Cleared });
            }
            // Long enough for a crop that stands into its second year.
            let stood = usize::try_from((on - planting.stood.start).num_days()).unwrap_or(0);
            let days = SiteDays::new(&climate, policy, planting.stood.start, stood + HORIZON);
            let kind = Kind::of(&knowledge.crops[planting.crop].key, &planting.variety);
            let start = planting.stood.start;
            let method = planting.method;
            let answer = season(knowledge, policy, &days, planting.crop, kind, method, start);
            let (from, ends) = end(policy, &days, &answer, picked, on)?;
            Some(Free { planting, picked, from, ends })
        })
        .collect()
}

fn end(
    policy: &Policy,
    days: &SiteDays,
    answer: &SeasonAnswer<'_>,
    picked: Option<&Harvest>,
    on: Date,
) -> Option<(Date, Ends)> {
    let usual = answer.course.last_harvest?;
    let span = answer.needs.harvest_days.map_or(0.0, |days| days.value.likely);
    // What is picked over weeks goes on giving; a root or a head is picked once.
    let gives = picked.is_some_and(|harvest| {
        span >= policy.picked_over_days && harvest.date >= add_days(on, -policy.still_gives_days)
    });
    if usual > on {
        let by_cold = answer.course.ended_by_cold;
        return Some((usual, if by_cold { Ends::Cold } else { Ends::UsualDays }));
    }
    if !gives {
        return Some((on, Ends::Over));
    }
    let today = days.index(on);
    // Side shoots run to flower once it is warmer than the plant grows best in.
    let hottest = answer.needs.growth_best.or(answer.needs.growth_most).map(|best| best.value.high);
    let too_hot = hottest.and_then(|most| {
        (today..days.days.len().saturating_sub(14))
            .find(|step| days.mean_of(*step, step + 14, |day| day.mean).is_some_and(|c| c > most))
    });
    let killed = answer.killed_by(policy, days, on);
    match (too_hot, killed) {
        (Some(hot), Some(cold)) if cold <= hot => Some((days.date(cold), Ends::Cold)),
        (Some(hot), _) => Some((days.date(hot), Ends::Heat)),
        (None, Some(cold)) => Some((days.date(cold), Ends::Cold)),
        // Nothing ends it within the days looked at: as long again as it is looked back.
        (None, None) => Some((add_days(on, policy.still_gives_days), Ends::UsualDays)),
    }
}
