//! Planting windows: the days of a year on which a start leads to a harvest.
//!
//! Derived for any site and either hemisphere by asking every day of the year in turn; nothing is
//! looked up. Spells shorter than the policy's fewest days are noise of the estimate and dropped.

use super::course::CropYear;
use super::hazards::{HazardEffect, HazardKind};
use super::kind::Kind;
use super::limits;
use super::needs::CropNeeds;
use super::yields::season_yield;
use crate::climate::Climate;
use crate::climate::days::{HORIZON, SiteDays};
use crate::climate::temperature::DAYS;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::Date;

/// Days on end on which a start leads to a harvest.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// First day.
    pub from: Date,
    /// Last day; earlier in the calendar than the first where it runs over New Year.
    pub to: Date,
    /// How many days.
    pub days: usize,
    /// What forbids the day before the window opens.
    pub opens_after: Option<Shut>,
    /// What forbids the day after it closes.
    pub closes_before: Option<Shut>,
}

/// What keeps a day out of a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shut {
    /// Something forbids it.
    Hazard(HazardKind),
    /// Nothing forbids it, but other times of the year suit the crop much better.
    BetterTimes {
        /// Suitability of the day, times speed for a tender crop.
        worth: f64,
        /// The same of the best day.
        best: f64,
    },
}

/// The windows of a crop at a site.
#[derive(Clone, Debug, PartialEq)]
pub struct Windows {
    /// Days on which a start leads to a harvest.
    pub possible: Vec<Window>,
    /// Those of them whose temperatures suit it nearly as well as the best of the year.
    pub good: Vec<Window>,
}

/// A start: what forbids it, and its suitability with the days to harvest.
type Start = (Option<HazardKind>, Option<(f64, Option<f64>)>);

/// The days of a normal year, long enough to follow a start on its last day to the harvest.
#[must_use]
pub fn normal_year(climate: &Climate<'_>, policy: &Policy, year: Date) -> SiteDays {
    SiteDays::new(&climate.normals_only(), policy, year, DAYS + HORIZON)
}

/// Windows of a crop, in the order of the calendar from the first of the days on; one window of a
/// whole year where no day is shut out. `days` must be those of [`normal_year`].
#[must_use]
pub fn windows(
    knowledge: &Knowledge,
    policy: &Policy,
    days: &SiteDays,
    crop: CropId,
    kind: Kind,
    method: Option<Method>,
) -> Windows {
    let needs = CropNeeds::of(knowledge, policy, crop, kind, days.latitude);
    let method = needs.method(method);
    let year = CropYear::new(knowledge, policy, days, &needs, method);
    let starts: Vec<Start> = (0..365)
        .map(|at| {
            let steps = year.course(at);
            let obstacle = year
                .hazards(at, &steps)
                .into_iter()
                .find(|hazard| hazard.effect == HazardEffect::Forbids)
                .map(|hazard| hazard.kind);
            let days = steps.harvest[1].map(|harvest| (harvest - at).max(1) as f64);
            (obstacle, year.fit(&steps).map(|fit| (fit, days)))
        })
        .collect();
    let possible: Vec<Option<Shut>> =
        starts.iter().map(|(obstacle, _)| obstacle.map(Shut::Hazard)).collect();
    // A tender crop has the warm half of the year only, so what takes twice the days printed for it is
    // worth half; a hardy one stands through the winter and may take its time. The best of the year
    // among the days that nothing forbids sets the measure.
    let open =
        || starts.iter().filter(|(obstacle, _)| obstacle.is_none()).filter_map(|(_, fit)| *fit);
    let quickest = open().filter_map(|(_, days)| days).fold(f64::INFINITY, f64::min);
    // Quicker than printed is no gain: the crop of high summer is not the better for it.
    let quick = limits::usual_days(&year).map_or(quickest, |usual| quickest.max(usual.low));
    let worth = |(fit, days): (f64, Option<f64>)| match days {
        Some(days) if needs.is_tender => fit * (quick / days).min(1.0),
        Some(_) | None => fit,
    };
    let best = open().map(worth).fold(0.0, f64::max);
    let good: Vec<Option<Shut>> = starts
        .iter()
        .map(|(obstacle, fit)| match (obstacle, fit) {
            (Some(obstacle), _) => Some(Shut::Hazard(*obstacle)),
            (None, Some(fit)) if worth(*fit) < policy.good_start_share * best => {
                Some(Shut::BetterTimes { worth: worth(*fit), best })
            }
            (None, _) => None,
        })
        .collect();
    Windows { possible: spells(policy, days, &possible), good: spells(policy, days, &good) }
}

/// When a start may be made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Opening<D> {
    /// The first such day.
    pub(crate) first: D,
    /// Whether no day of the year is free of what forbids a start, and this is one of those on
    /// which a poor crop is to be had.
    pub(crate) is_marginal: bool,
}

/// Days from a place in the normal year until nothing forbids a start for as many days as make a
/// window; where the year has no such days, until the best
/// of years leaves a poor crop.
pub(super) fn opens_from(year: &CropYear<'_, '_>, place: usize) -> Option<Opening<usize>> {
    let fewest = year.policy.window_days_fewest.max(1);
    let first = |is_marginal: bool| {
        let open = |wait: usize| {
            let at = (place + wait) % 365;
            let steps = year.course(at);
            let hazards = year.hazards(at, &steps);
            if is_marginal {
                let leaves = season_yield(year, &steps, &hazards).whole();
                leaves.high >= year.policy.season_poor_crop
            } else {
                hazards.iter().all(|hazard| hazard.effect != HazardEffect::Forbids)
            }
        };
        if open(0) {
            return Some(0);
        }
        // No window is shorter than the distance between two looks.
        (1..365).step_by(fewest).filter(|wait| open(*wait)).find_map(|wait| {
            let begins = (1..=wait).rev().take_while(|day| open(*day)).last()?;
            (wait..begins + fewest).all(open).then_some(begins)
        })
    };
    [false, true]
        .into_iter()
        .find_map(|is_marginal| first(is_marginal).map(|first| Opening { first, is_marginal }))
}

/// The open spells of a year, in the order of the calendar from its first day on.
fn spells(policy: &Policy, days: &SiteDays, obstacles: &[Option<Shut>]) -> Vec<Window> {
    let count = obstacles.len();
    let Some(first) = obstacles.iter().position(Option::is_some) else {
        return vec![Window {
            from: days.date(0),
            to: days.date(count - 1),
            days: count,
            opens_after: None,
            closes_before: None,
        }];
    };
    // Round the year from a forbidden day, so that a spell over New Year is found whole.
    let mut found = Vec::new();
    let mut open: Option<usize> = None;
    for step in first..=first + count {
        match (&obstacles[step % count], open) {
            (None, None) => open = Some(step),
            (Some(obstacle), Some(from)) => {
                let length = step - from;
                if length >= policy.window_days_fewest {
                    found.push((
                        from % count,
                        Window {
                            from: days.date(from % count),
                            to: days.date((step - 1) % count),
                            days: length,
                            opens_after: obstacles[(from + count - 1) % count],
                            closes_before: Some(*obstacle),
                        },
                    ));
                }
                open = None;
            }
            (None, Some(_)) | (Some(_), None) => {}
        }
    }
    found.sort_by_key(|(from, _)| *from);
    found.into_iter().map(|(_, window)| window).collect()
}
