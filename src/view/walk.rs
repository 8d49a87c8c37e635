//! The walk sheet: to print, to tick, to type back in one line each.

use super::calendar::task_words;
use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use super::words;
use crate::plan::WalkPlace;
use crate::season::Date;

/// The sheet.
#[must_use]
pub fn walk_page(phrases: Phrases<'_>, places: &[WalkPlace<'_>], today: Date, name: &str) -> Page {
    let mut page = Page::default();
    page.heading(format!("Walk sheet of {name}, {today}"));
    page.line(Line::at(1).text(
        "[ ] tick what is done. Write what you see on the dots; at home type it in one line each:",
    ));
    page.line(
        Line::at(1).and(Label::Command, "breakcrop record BED, CROP, CAUSE, EXTENT, NOTE").text(
            " (cause: a disease, `unknown` or `healthy`; extent: trace, light, moderate, severe \
             or a percent)",
        ),
    );
    for place in places {
        page.blank();
        page.extend(place_block(phrases, place));
    }
    page
}

fn place_block(phrases: Phrases<'_>, place: &WalkPlace<'_>) -> Page {
    let mut page = Page::default();
    let mut standing: Vec<String> = place
        .standing
        .iter()
        .map(|(crop, since, volunteer)| {
            let volunteer = if *volunteer { " (volunteer)" } else { "" };
            format!("{}{volunteer} since {since}", phrases.crop(*crop))
        })
        .collect();
    standing.dedup();
    let stands =
        if standing.is_empty() { "nothing stands".to_owned() } else { words::list(&standing) };
    page.line(
        Line::default()
            .and(Label::Heading, place.place.to_string())
            .text(format!("  {stands}"))
            .hanging(2),
    );
    for task in &place.due {
        page.line(Line::at(2).hanging(6).text(format!(
            "[ ] {} ({})",
            task_words(phrases, task),
            task.from
        )));
    }
    if let Some((date, check)) = &place.open_question {
        page.line(
            Line::at(2)
                .hanging(6)
                .and(Label::Care, "[ ] not settled")
                .text(format!(": what was noted on {date} has no cause yet. Look: {check}")),
        );
    }
    for look in &place.look_for {
        let seen = if look.seen_here { "was here before" } else { "may be here" };
        let mut line = Line::at(2).hanging(6).text("[ ] ").and(
            Label::Name,
            format!("{}: {}", phrases.crop(look.crop), phrases.disease(look.pathogen)),
        );
        line = line.text(format!(" {seen}"));
        if let Some(symptom) = look.symptom {
            line = line.text(format!(". Shows as: {}", symptom.symptom));
            if !symptom.field_check.is_empty() {
                line = line.text(format!(". Tell it apart: {}", symptom.field_check));
            }
            let source = symptom.citation.keys().next().unwrap_or_default();
            line = line.and(Label::Source, format!(" [{source}]"));
        }
        page.line(line);
    }
    page.line(Line::at(2).text(format!("seen {}", ".".repeat(60))));
    page
}
