//! A crop's season as a page: windows, emergence, harvest, and what can go wrong.

use super::hazard::hazard_words;
use super::phrase::Phrases;
use super::season_words::{reached_words, season_yield_words};
use super::text::{Label, Line, Page};
use super::units::Units;
use super::words;
use crate::assess::season::{Hazard, HazardEffect, Kind, SeasonAnswer, Shut, Window, Windows};
use crate::climate::frost::{FrostBasis, FrostDate};
use crate::estimate::Estimate;
use crate::records::Started;
use crate::season::{Date, month_name};
use chrono::Datelike;

/// What the site's frosts are, for the head of the page.
#[derive(Clone, Copy, Debug)]
pub struct FrostWords {
    /// Usual last frost, and what it rests on.
    pub last: (FrostDate, FrostBasis),
    /// Usual first frost, and what it rests on.
    pub first: (FrostDate, FrostBasis),
    /// Whether the spread of days is assumed; then its degrees.
    pub assumed_spread_c: Option<f64>,
}

/// `12 Mar`.
fn day_month(date: Date) -> String {
    format!("{} {}", date.day(), month_name(date.month()))
}

fn place_in_year(date: FrostDate, near: Date) -> String {
    date.from(near).map_or_else(|| "none in most years".to_owned(), day_month)
}

/// `12 Mar to 30 Jun`, the whole year, or none.
fn window_words(found: &[Window]) -> String {
    match found {
        [] => "no day of the year".to_owned(),
        [whole] if whole.days >= 365 => "the whole year".to_owned(),
        several => {
            let spells: Vec<String> = several
                .iter()
                .map(|window| format!("{} to {}", day_month(window.from), day_month(window.to)))
                .collect();
            words::list(&spells)
        }
    }
}

/// What shuts a window, in few words.
fn shut_words(units: Units, shut: &Shut) -> String {
    match shut {
        Shut::Hazard(kind) => {
            let text = hazard_words(units, kind);
            text.split([':', ';']).next().unwrap_or_default().to_owned()
        }
        Shut::BetterTimes { .. } => "other times suit it much better".to_owned(),
    }
}

fn kind_words(kind: Kind) -> &'static str {
    match kind {
        Kind::Plain => "",
        Kind::SmallFruited => " (small-fruited)",
        Kind::LargeFruited => " (large-fruited)",
        Kind::ShortDay => " (short-day)",
        Kind::Intermediate => " (intermediate-day)",
        Kind::LongDay => " (long-day)",
    }
}

fn hazard_line(phrases: Phrases<'_>, hazard: &Hazard<'_>) -> Line {
    let (label, word) = match hazard.effect {
        HazardEffect::Forbids => (Label::Wait, "no  "),
        HazardEffect::Harms => (Label::Care, "care"),
        HazardEffect::Tells => (Label::Plain, "note"),
    };
    let dates = if hazard.from == hazard.to {
        hazard.from.to_string()
    } else {
        format!("{} to {}", hazard.from, hazard.to)
    };
    let source =
        hazard.citation.map_or_else(|| "policy".to_owned(), |rests_on| phrases.source(rests_on));
    Line::at(1)
        .hanging(6)
        .and(label, word)
        .text(format!(" {} ({dates}) ", hazard_words(phrases.units, &hazard.kind)))
        .and(Label::Source, format!("[{source}]"))
}

/// Windows, course and hazards of a crop.
#[must_use]
pub fn season_page(
    phrases: Phrases<'_>,
    answer: &SeasonAnswer<'_>,
    windows: &Windows,
    frost: &FrostWords,
) -> Page {
    let mut page = Page::default();
    let crop = phrases.crop(answer.needs.crop);
    page.heading(format!(
        "{}{} {} on {}",
        words::sentence(crop),
        kind_words(answer.needs.kind),
        words::started(Started::of(phrases.knowledge, answer.needs.crop, answer.method)),
        answer.on
    ));
    let basis = |basis: FrostBasis| match basis {
        FrostBasis::Recorded => "site.csv",
        FrostBasis::Normals => "from the normals, to about 10 days",
    };
    page.line(
        Line::at(1)
            .text(format!(
                "last frost {}, first frost {} ",
                place_in_year(frost.last.0, answer.on),
                place_in_year(frost.first.0, answer.on)
            ))
            .and(
                Label::Source,
                if frost.last.1 == frost.first.1 {
                    format!("[{}]", basis(frost.last.1))
                } else {
                    format!("[{}; {}]", basis(frost.last.1), basis(frost.first.1))
                },
            ),
    );
    page.line(
        Line::at(1)
            .text("good days to start: ")
            .and(Label::Plant, window_words(&windows.good))
            .text("; possible: ")
            .text(window_words(&windows.possible)),
    );
    for window in &windows.good {
        if let Some(ends) = ends_words(phrases.units, window) {
            page.line(Line::at(3).text(ends));
        }
    }
    course_lines(phrases, answer, &mut page);
    page.blank();
    if answer.hazards.is_empty() {
        page.line(Line::at(1).text("nothing on record speaks against this day"));
    }
    page.lines(answer.hazards.iter().map(|hazard| hazard_line(phrases, hazard)));
    if let Some(spread) = frost.assumed_spread_c {
        page.line(Line::at(1).text(format!(
            "single days are assumed to spread {} degrees about the normal; write tmin_sd_{} in climate.csv to replace the assumption",
            phrases.units.degrees_apart(spread),
            phrases.units.degree_sign().to_ascii_lowercase()
        )));
    }
    page
}

/// What shuts a window before its first day and after its last, told once if it is the same.
fn ends_words(units: Units, window: &Window) -> Option<String> {
    let (first, last) = (day_month(window.from), day_month(window.to));
    let words = |shut: &Option<Shut>| shut.as_ref().map(|shut| shut_words(units, shut));
    match (words(&window.opens_after), words(&window.closes_before)) {
        (Some(before), Some(after)) if before == after => {
            Some(format!("before {first} and after {last}: {before}"))
        }
        (Some(before), Some(after)) => {
            Some(format!("before {first}: {before}; after {last}: {after}"))
        }
        (Some(before), None) => Some(format!("before {first}: {before}")),
        (None, Some(after)) => Some(format!("after {last}: {after}")),
        (None, None) => None,
    }
}

fn course_lines(phrases: Phrases<'_>, answer: &SeasonAnswer<'_>, page: &mut Page) {
    if let Some(emergence) = reached_words(answer.course.emergence) {
        let grow = answer.seedlings.map_or_else(String::new, |seedlings| {
            format!(
                "; at a soil of {} {:.0} of 100 good seeds grow",
                phrases.units.whole_degrees(seedlings.soil_c),
                seedlings.share * 100.0
            )
        });
        let known = phrases.knowledge.emergence(answer.needs.crop);
        let source = known
            .trials
            .first()
            .map(|trial| &trial.citation)
            .or_else(|| known.thermal.first().map(|row| &row.citation))
            .map_or_else(String::new, |rests_on| phrases.source(rests_on));
        page.line(
            Line::at(1)
                .text(format!("comes up {emergence}{grow} "))
                .and(Label::Source, format!("[{source}]")),
        );
    }
    match (reached_words(answer.course.first_harvest), answer.needs.heat) {
        (Some(harvest), Some(heat)) => {
            let how = if heat.is_printed {
                "printed heat sum".to_owned()
            } else {
                let days = answer.needs.maturity_days.map_or(Estimate::ZERO, |days| days.value);
                format!("{} days at its best", words::range(days.low, days.high))
            };
            page.line(Line::at(1).text(format!("first harvest {harvest} ")).and(
                Label::Source,
                format!(
                    "[{how}, {:.0} to {:.0} degree-days above {}: {}]",
                    phrases.units.heat_sum(heat.degree_days.low),
                    phrases.units.heat_sum(heat.degree_days.high),
                    phrases.units.degrees(heat.base_c),
                    phrases.source(heat.rests_on)
                ),
            ));
        }
        (None, Some(_)) => {
            page.line(Line::at(1).and(Label::Wait, "no harvest within the days looked at"));
        }
        (_, None) => {
            page.line(Line::at(1).and(
                Label::Unknown,
                "no harvest date: no days to maturity on record, or it yields in later years only",
            ));
        }
    }
    if let Some(last) = answer.course.last_harvest {
        let end = if answer.course.ended_by_cold { ", ended by cold" } else { "" };
        let source = answer
            .needs
            .harvest_days
            .map_or_else(String::new, |days| phrases.source(days.citation));
        page.line(
            Line::at(1)
                .text(format!("last harvest about {last}{end} "))
                .and(Label::Source, format!("[{source}]")),
        );
    }
    page.line(Line::at(1).text(season_yield_words(&answer.leaves)));
}
