//! The beds: what stands, what ails them, what the soil holds.

use super::doses::inocula;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::policy::Policy;
use crate::records::{Garden, Place, Seen};
use crate::season::Date;
use crate::state::{BedState, Presence};
use itertools::Itertools;

/// What stands in a place, in words.
pub(super) fn standing(phrases: Phrases<'_>, state: &BedState<'_>) -> String {
    let names = state
        .standing()
        .map(|planting| {
            let name = phrases.crop(planting.crop);
            if planting.is_volunteer() { format!("{name} (self-sown)") } else { name.to_owned() }
        })
        .unique()
        .join(", ");
    if names.is_empty() { "-".to_owned() } else { names }
}

/// What ails a place: diseases that stay with the bed, and what was last seen of unknown cause.
fn ailing(phrases: Phrases<'_>, state: &BedState<'_>) -> (Label, String) {
    let mut parts = Vec::new();
    if let Some(episode) = state.episodes().last()
        && let Some(last) = episode.last()
        && (state.date - last).num_days() < 400
    {
        let first = episode.candidates.first();
        let maybe = first.map_or(String::new(), |candidate| match candidate.pathogen {
            Some(pathogen) => format!(", perhaps {}", phrases.short_disease(pathogen)),
            None => format!(", perhaps {}", candidate.cause.replace('_', " ")),
        });
        parts.push(format!("unknown{maybe} {last}"));
    }
    for inoculum in state.inocula() {
        let bound = phrases.knowledge.pathogens[inoculum.pathogen].is_bound_to_bed();
        if !bound || !matches!(inoculum.presence, Presence::Sighted(_)) {
            continue;
        }
        let last = inoculum
            .last_sighting()
            .map_or(String::new(), |seen| format!(" {}", seen.date.format("%Y")));
        parts.push(format!("{}{last}", phrases.short_disease(inoculum.pathogen)));
    }
    if parts.is_empty() {
        return (Label::Plain, "nothing on record".to_owned());
    }
    (Label::Wait, parts.join(", "))
}

/// All beds in a table.
#[must_use]
pub fn beds_page(
    phrases: Phrases<'_>,
    garden: &Garden,
    states: &[BedState<'_>],
    today: Date,
) -> Page {
    let mut page = Page::default();
    let name = garden.site.as_ref().map_or("the garden", |site| &site.name);
    page.heading(format!("{name} on {today}: {}", words::count(garden.beds.len(), "bed")));
    let mut table = Table {
        indent: 1,
        head: vec!["bed".into(), "stands".into(), "on record in the soil".into()],
        right: Vec::new(),
        rows: Vec::new(),
    };
    for state in states {
        let (label, ails) = ailing(phrases, state);
        table.rows.push(vec![
            Span::new(Label::Name, state.place.to_string()),
            Span::new(Label::Plain, standing(phrases, state)),
            Span::new(label, ails),
        ]);
    }
    page.table(table);
    page
}

/// One bed or section in full.
#[must_use]
pub fn bed_page(
    phrases: Phrases<'_>,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    states: &[BedState<'_>],
    today: Date,
) -> Page {
    let mut page = Page::default();
    let described = garden.bed(&place.bed);
    let size = described.map_or(String::new(), |bed| {
        format!(", {} {}", bed.kind.word(), phrases.units.sides(bed.length.0, bed.width.0))
    });
    page.heading(format!("{place} on {today}{size}"));
    if let Some(from) = garden.known_from(place) {
        page.line(Line::at(1).text(format!("records from {from}; before that nothing is known")));
    }
    for state in states {
        if states.len() > 1 {
            page.line(Line::at(1).and(Label::Name, state.place.to_string()));
        }
        page.line(Line::at(1).text("stands: ").text(standing(phrases, state)));
        inocula(phrases, policy, state, &mut page);
        history(phrases, state, &mut page);
    }
    page
}

/// What stood and what was seen, newest first.
fn history(phrases: Phrases<'_>, state: &BedState<'_>, page: &mut Page) {
    let mut table = Table {
        indent: 1,
        head: vec!["from".into(), "to".into(), "what".into(), "record".into()],
        right: Vec::new(),
        rows: Vec::new(),
    };
    let mut rows: Vec<(Date, Vec<Span>)> = Vec::new();
    for planting in &state.plantings {
        let section = planting
            .place
            .section
            .as_deref()
            .map_or(String::new(), |section| format!(" ({section})"));
        let itself = if planting.is_volunteer() { ", self-sown" } else { "" };
        rows.push((
            planting.stood.start,
            vec![
                Span::new(Label::Plain, planting.stood.start.to_string()),
                Span::new(
                    Label::Plain,
                    planting.stood.end.map_or("stands".to_owned(), |end| end.to_string()),
                ),
                Span::new(Label::Name, format!("{}{section}{itself}", phrases.crop(planting.crop))),
                Span::new(Label::Source, planting.origin.to_string()),
            ],
        ));
    }
    for seen in state.observations.iter().filter(|seen| seen.seen != Seen::Healthy) {
        rows.push((
            seen.date,
            vec![
                Span::new(Label::Plain, seen.date.to_string()),
                Span::new(Label::Plain, String::new()),
                Span::new(Label::Wait, format!("seen: {}", phrases.seen(&seen.seen))),
                Span::new(Label::Source, seen.origin.to_string()),
            ],
        ));
    }
    rows.sort_by_key(|(date, _)| std::cmp::Reverse(*date));
    table.rows = rows.into_iter().map(|(_, row)| row).collect();
    page.table(table);
}
