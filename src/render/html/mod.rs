//! The report as one HTML file: no script, nothing fetched, every text escaped by its type.
//!
//! Pictures are SVG written by the same templates. Looks follow WCAG 2.2: words and a table beside
//! every picture, patterns and words beside every colour, 320 px wide without sideways scrolling but
//! for plans and tables in a box of their own, and a print style.

mod answers;
mod beds;
mod core;
mod findings;
mod follow;
mod key;
mod logs;
mod page;
mod patterns;
mod scale;
mod style;

use maud::{DOCTYPE, Markup, html};

use self::follow::Cites;
use self::scale::Scale;
use crate::view::report::Report;

pub use style::{STYLE, STYLE_DIGEST};

/// The report as HTML text.
#[must_use]
pub fn report_html(report: &Report) -> String {
    let policy = format!(
        "default-src 'none'; style-src '{STYLE_DIGEST}'; base-uri 'none'; form-action 'none'"
    );
    let cites: Cites<'_> = report
        .sources
        .iter()
        .zip(1..)
        .map(|(source, number)| (source.key.as_str(), number))
        .collect();
    let scale = report.sheets.first().map(|sheet| Scale::of(sheet.span));
    let title = format!("{}, {}: garden report", report.garden, report.on);
    let whole = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="referrer" content="no-referrer";
                title { (title) }
                style { (maud::PreEscaped(STYLE)) }
            }
            body {
                a class="skip" href="#round" { "To the answers" }
                (patterns::definitions(&report.families, scale))
                header {
                    h1 { bdi { (report.garden) } " on " span.whole { (report.on) } }
                    p { (report.rests_on) "." }
                    (contents(report))
                }
                main {
                    section id="round" aria-labelledby="round-head" {
                        h2 id="round-head" { "The round in five questions" }
                        (answers::of_garden(&report.answers))
                    }
                    section id="plan" aria-labelledby="plan-head" {
                        h2 id="plan-head" { "The beds" }
                        (beds::plan(report))
                    }
                    section id="wished" aria-labelledby="wished-head" {
                        h2 id="wished-head" { "Where the wished crops may go" }
                        (beds::wishes(report))
                    }
                    section id="key" aria-labelledby="key-head" {
                        h2 id="key-head" { "How to read the cores" }
                        (key::key(report))
                    }
                    @for sheet in &report.sheets { (sheet_section(&cites, report, sheet)) }
                    @for chapter in &report.chapters {
                        section id=(chapter.id) aria-labelledby={ (chapter.id) "-head" } {
                            h2 id={ (chapter.id) "-head" } { (chapter.title) }
                            (page::page(&chapter.page))
                        }
                    }
                    section id="audit" aria-labelledby="audit-head" {
                        h2 id="audit-head" { "The records held against the rules" }
                        (findings::findings(&cites, report))
                    }
                    section id="sources" aria-labelledby="sources-head" {
                        h2 id="sources-head" { "Sources" }
                        (findings::sources(&report.sources))
                    }
                }
                footer {
                    h2 { "Before you rely on it" }
                    ul {
                        li { "Made on your own machine from your own records; nothing was sent anywhere, and this file fetches nothing." }
                        li { "Figures are ranges. Nothing on record is not the same as nothing there." }
                        li { "Treatments, raw manure and edible fungi can hurt people: local rules and licensed advice come first. A laboratory names a disease." }
                    }
                }
            }
        }
    };
    whole.into_string()
}

fn contents(report: &Report) -> Markup {
    html! {
        nav aria-label="Contents" {
            ul class="contents" {
                li { a href="#round" { "Five questions" } }
                li { a href="#plan" { "Beds" } }
                @if !report.wishes.is_empty() { li { a href="#wished" { "Wished crops" } } }
                @for chapter in &report.chapters {
                    li { a href={ "#" (chapter.id) } { (chapter.title) } }
                }
                li { a href="#audit" { "Audit" } }
                li { a href="#sources" { "Sources" } }
            }
            ul class="contents stakes" aria-label="Sheets of the beds" {
                @for sheet in &report.sheets {
                    li { a class="stake" href={ "#" (sheet.id) } { bdi { (sheet.name) } } }
                }
            }
        }
    }
}

fn sheet_section(cites: &Cites<'_>, report: &Report, sheet: &crate::view::report::Sheet) -> Markup {
    let head = format!("{}-head", sheet.id);
    html! {
        section class="sheet" id=(sheet.id) aria-labelledby=(head) {
            h2 id=(head) { span class="stake" { bdi { (sheet.name) } } }
            p class="about" { (sheet.about) }
            (answers::of_sheet(&sheet.answers))
            div class="logs" {
                (core::core(report, sheet))
                @for (at, dose) in sheet.doses.iter().enumerate() { (logs::dose(sheet, at, dose)) }
                @if let Some(feed) = &sheet.feed { (logs::feed(sheet, feed)) }
            }
            (core::table(sheet))
            (logs::dose_tables(sheet))
            @if let Some(feed) = &sheet.feed { (logs::feed_table(sheet, feed)) }
            (follow::following(cites, sheet))
            p class="back" { a href="#round" { "Back to the five questions" } }
        }
    }
}
