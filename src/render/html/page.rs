//! Labelled lines and pages as HTML.

use maud::{Markup, html};

use crate::view::{Block, Label, Line, Page, Table};

/// The class that gives a label its look.
pub(super) fn class(label: Label) -> &'static str {
    match label {
        Label::Plain => "plain",
        Label::Name => "name",
        Label::Heading => "heading",
        Label::Plant => "plant",
        Label::Care => "care",
        Label::Wait => "wait",
        Label::Unknown => "unknown",
        Label::Source => "source",
        Label::Command => "do",
        Label::Error => "error",
    }
}

/// A labelled text.
pub(super) fn span(label: Label, text: &str) -> Markup {
    html! {
        @match label {
            Label::Plain => (text),
            Label::Source => cite { (text) },
            _ => span class=(class(label)) { (text) },
        }
    }
}

/// A line.
pub(super) fn line(line: &Line) -> Markup {
    html! { @for one in &line.spans { (span(one.label, &one.text)) } }
}

fn table(table: &Table, caption: &str) -> Markup {
    html! {
        div class="scroll" role="region" aria-label=(caption) tabindex="0" {
            table {
                caption { (caption) }
                @if !table.head.is_empty() {
                    thead { tr { @for head in &table.head { th scope="col" { (head) } } } }
                }
                tbody {
                    @for row in &table.rows {
                        tr {
                            @for (at, cell) in row.iter().enumerate() {
                                @if at == 0 {
                                    th scope="row" { (span(cell.label, &cell.text)) }
                                } @else {
                                    td class=[table.right.contains(&at).then_some("figure")] {
                                        (span(cell.label, &cell.text))
                                    }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A page: its lines as paragraphs, headings as headings, tables as tables, each with the heading or
/// the last line that stands alone before it for a caption.
pub(super) fn page(page: &Page) -> Markup {
    let mut caption = String::from("Figures");
    let mut parts: Vec<Markup> = Vec::new();
    for block in &page.blocks {
        match block {
            Block::Blank => {}
            Block::Table(rows) => parts.push(table(rows, &caption)),
            Block::Line(told) => {
                let is_heading = told.spans.first().is_some_and(|one| one.label == Label::Heading);
                if is_heading || told.indent <= 1 {
                    told.plain().trim().clone_into(&mut caption);
                }
                parts.push(html! {
                    @if is_heading {
                        h3 { (told.plain().trim()) }
                    } @else {
                        p class=[(told.indent > 2).then_some("leaf")] { (line(told)) }
                    }
                });
            }
        }
    }
    html! { @for part in &parts { (part) } }
}
