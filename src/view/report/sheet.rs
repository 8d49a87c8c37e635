//! The sheet of one place: its five answers, its core, its logs, what can follow.

use super::super::units::Units;
use super::Material;
use super::answers::{self, Answer};
use super::core::{Core, core};
use super::dose::{self, DoseLog};
use super::feed::{self, FeedLog};
use super::follow::{Following, following};
use crate::advise::PlaceSurvey;
use crate::estimate::Estimate;
use crate::records::Garden;
use crate::season::{Date, add_years};
use chrono::{Datelike, NaiveDate};

/// Years drawn above the ground line.
const YEARS_AHEAD: f64 = 4.0;
/// Years drawn below it at most.
const YEARS_BACK: i32 = 8;

/// The time that every core and log of the report shows, so that they can be laid side by side.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    /// First day: a New Year.
    pub from: Date,
    /// The ground line.
    pub today: Date,
    /// Last day.
    pub to: Date,
}

impl Span {
    /// The time from the first record of a garden, not too long ago, to some years ahead.
    pub(super) fn of(garden: &Garden, today: Date) -> Self {
        let first = garden
            .plantings
            .iter()
            .map(|planting| planting.stood.start)
            .chain(garden.observations.iter().map(|seen| seen.date))
            .min()
            .unwrap_or(today);
        let year = first.year().max(today.year() - YEARS_BACK).min(today.year());
        Self {
            from: NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or(today),
            today,
            to: add_years(today, YEARS_AHEAD),
        }
    }
}

/// The sheet of a place.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Anchor, the same whatever the bed is called.
    pub id: String,
    /// Bed, or bed/section.
    pub name: String,
    /// Kind, size, soil, the grower's note.
    pub about: String,
    /// The five answers.
    pub answers: Vec<Answer>,
    /// The time drawn.
    pub span: Span,
    /// What stood.
    pub core: Core,
    /// What the soil holds of each disease.
    pub doses: Vec<DoseLog>,
    /// What it feeds.
    pub feed: Option<FeedLog>,
    /// What can follow.
    pub following: Following,
}

/// The anchor of the sheet of a place, by its number.
pub(super) fn anchor(at: usize) -> String {
    format!("bed-{}", at + 1)
}

/// The sheet of a place.
pub(super) fn sheet(
    material: &Material<'_, '_>,
    families: &[String],
    span: Span,
    at: usize,
    place: &PlaceSurvey<'_>,
) -> Sheet {
    let state = &place.follows.state;
    let doses = dose::logs(material, span, state);
    let following = following(material, place, &anchor(at));
    Sheet {
        id: anchor(at),
        name: state.place.to_string(),
        about: about(material.phrases.units, place),
        answers: answers::of_place(material, place, &doses, &following),
        span,
        core: core(material, families, span, state),
        doses,
        feed: feed::log(material.phrases.units, span, state),
        following,
    }
}

fn about(units: Units, place: &PlaceSurvey<'_>) -> String {
    let Some(bed) = place.follows.state.bed else { return String::new() };
    let mut parts =
        vec![format!("{} bed, {}", bed.kind.word(), units.sides(bed.length.0, bed.width.0))];
    if let Some(depth) = bed.soil_depth {
        parts.push(format!("{} of soil", units.short_length_range(Estimate::exact(depth.0))));
    }
    if !bed.note.is_empty() {
        parts.push(bed.note.to_string());
    }
    if let Some(from) = place.follows.state.known_from {
        parts.push(format!("records from {from}, before that nothing is known"));
    }
    parts.join("; ")
}
