//! The core of a place, and the same as a table.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::patterns::pattern_of;
use super::scale::{LEFT, Scale, figure, spread};
use crate::assess::Verdict;
use crate::render::palette::{INK, PAPER, PLUM, RUST, SOFT_INK};
use crate::season::Date;
use crate::view::report::{Layer, LayerKind, Mark, MarkKind, Report, Sheet};

/// Right edge of the layers.
pub(super) const RIGHT: f64 = 118.0;
/// Where marks stand.
const MARKS: f64 = 127.0;
/// Where labels begin.
const LABELS: f64 = 148.0;
/// Height of a label's line.
const LINE: f64 = 11.0;
/// Characters that fit beside the core.
const LETTERS: usize = 25;

/// What is written beside the core.
struct Label {
    wanted: f64,
    from_x: f64,
    text: String,
    class: &'static str,
}

/// A text cut to what fits; the table holds it whole.
pub(super) fn cut(text: &str, letters: usize) -> String {
    if text.chars().count() <= letters {
        return text.to_owned();
    }
    let mut cut: String = text.chars().take(letters - 1).collect();
    cut.truncate(cut.trim_end().len());
    cut.push('\u{2026}');
    cut
}

fn layer_x(layer: &Layer, lanes: usize) -> (f64, f64) {
    let wide = (RIGHT - LEFT) / lanes as f64;
    let left = LEFT + wide * layer.lane as f64;
    if layer.kind == LayerKind::Rest { (LEFT, RIGHT - LEFT) } else { (left, wide) }
}

fn labels(sheet: &Sheet, scale: Scale) -> Vec<Label> {
    let middle = |layer: &Layer| f64::midpoint(scale.y(layer.from), scale.y(layer.to));
    let layers =
        sheet.core.layers.iter().filter(|layer| layer.kind != LayerKind::Rest).map(|layer| {
            let (x, wide) = layer_x(layer, sheet.core.lanes);
            let kind = match layer.kind {
                LayerKind::Cover => ", cover",
                LayerKind::SelfSown => ", self-sown",
                LayerKind::Crop | LayerKind::Rest => "",
            };
            Label {
                wanted: middle(layer),
                from_x: x + wide,
                text: format!("{}{kind}", layer.name),
                class: if layer.stands { "label stands" } else { "label" },
            }
        });
    let marks = sheet.core.marks.iter().map(|mark| Label {
        wanted: scale.y(mark.on),
        from_x: MARKS + 5.0,
        text: mark.short.clone(),
        class: mark_class(mark.kind),
    });
    let mut labels: Vec<Label> = layers.chain(marks).collect();
    labels.sort_by(|a, b| a.wanted.total_cmp(&b.wanted));
    labels
}

fn mark_class(kind: MarkKind) -> &'static str {
    match kind {
        MarkKind::Stays => "label rust",
        MarkKind::Unknown => "label plum",
        MarkKind::Passes => "label soft",
        MarkKind::Treated => "label",
    }
}

/// The sign of a mark, about a point.
pub(super) fn sign(kind: MarkKind, x: f64, y: f64) -> Markup {
    let (at_x, at_y) = (figure(x), figure(y));
    html! {
        @match kind {
            MarkKind::Stays => path d={ "M" (at_x) " " (figure(y - 5.0)) "l5 5l-5 5l-5-5z" } fill=(RUST) {},
            MarkKind::Unknown => {
                circle cx=(at_x) cy=(at_y) r="5" fill=(PLUM) {}
                text x=(at_x) y=(figure(y + 3.3)) text-anchor="middle" font-size="9" font-weight="700" fill=(PAPER) { "?" }
            },
            MarkKind::Passes => circle cx=(at_x) cy=(at_y) r="4" fill=(PAPER) stroke=(SOFT_INK) stroke-width="1.6" {},
            MarkKind::Treated => rect x=(figure(x - 4.0)) y=(figure(y - 4.0)) width="8" height="8" fill=(INK) {},
        }
    }
}

/// A day on which waits end, with the crops, set in lines that fit.
struct Flag {
    at: f64,
    lines: Vec<String>,
}

/// The days on which wished crops may come back.
fn flags(sheet: &Sheet, scale: Scale) -> Vec<Flag> {
    let mut days: BTreeMap<std::cmp::Reverse<Date>, Vec<&str>> = BTreeMap::new();
    for one in sheet.following.wished.iter().filter(|one| one.verdict == Verdict::Wait) {
        if let Some(day) =
            one.earliest.filter(|day| *day <= sheet.span.to && *day >= sheet.span.today)
        {
            days.entry(std::cmp::Reverse(day)).or_default().push(&one.crop);
        }
    }
    days.into_iter()
        .map(|(std::cmp::Reverse(day), crops)| Flag {
            at: scale.y(day),
            lines: words_in(&format!("from {day}: {}", crops.join(", ")), LETTERS, 5),
        })
        .collect()
}

/// Words set below one another within a width, each cut to it.
pub(super) fn words_in(text: &str, letters: usize, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(cut(word, letters)),
        }
    }
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            let mut kept: String = last.chars().take(letters - 1).collect();
            kept.push('\u{2026}');
            *last = kept;
        }
    }
    lines
}

fn description(sheet: &Sheet) -> String {
    let layers = sheet.core.layers.iter().filter(|layer| layer.kind != LayerKind::Rest).count();
    let marks = sheet.core.marks.len();
    format!(
        "{layers} plantings from {} to {} as layers, the newest on top; {marks} marks of what was seen or done. The table below it tells the same.",
        sheet.span.from, sheet.span.today
    )
}

/// The core.
pub(super) fn core(report: &Report, sheet: &Sheet) -> Markup {
    let scale = Scale::of(sheet.span);
    let labels = labels(sheet, scale);
    let wanted: Vec<f64> = labels.iter().map(|label| label.wanted).collect();
    let placed = spread(&wanted, LINE, scale.ground() + 9.0, scale.height() - 6.0);
    let flags = flags(sheet, scale);
    let flag_lines: Vec<f64> = flags
        .iter()
        .flat_map(|flag| (0..flag.lines.len()).map(|row| flag.at + LINE * row as f64))
        .collect();
    let mut flag_heights = spread(&flag_lines, LINE, 16.0, scale.ground() - 9.0).into_iter();
    let title = format!("{}-core", sheet.id);
    html! {
        figure class="log" {
            figcaption { "Core: what stood and what was seen" }
            svg viewBox=(scale.view_box()) role="img" aria-labelledby={ (title) "-t " (title) "-d" } {
                title id={ (title) "-t" } { "Core of " (sheet.name) }
                desc id={ (title) "-d" } { (description(sheet)) }
                use href="#back-core" {}
                @if let Some(from) = sheet.core.known_from.filter(|from| *from > sheet.span.from) {
                    (unknown_below(scale, scale.y(from)))
                }
                @for layer in &sheet.core.layers { (layer_shape(report, sheet, scale, layer)) }
                path class="lead" d={
                    @for (label, y) in labels.iter().zip(&placed) {
                        "M" (figure(label.from_x)) " " (figure(label.wanted)) "L" (figure(LABELS - 3.0)) " " (figure(*y))
                    }
                } {}
                @for (label, y) in labels.iter().zip(&placed) {
                    text class=(label.class) x=(LABELS) y=(figure(y + 3.5)) { (cut(&label.text, LETTERS)) }
                }
                @for mark in &sheet.core.marks { (sign(mark.kind, MARKS, scale.y(mark.on))) }
                @for flag in &flags {
                    @for (row, text) in flag.lines.iter().enumerate() {
                        @let y = flag_heights.next().unwrap_or(flag.at);
                        @if row == 0 {
                            path class="flag" d={ "M" (LEFT) " " (figure(flag.at)) "H" (RIGHT) "L" (figure(LABELS - 3.0)) " " (figure(y)) } {}
                        }
                        text class="label rust" x=(LABELS) y=(figure(y + 3.5)) { (text) }
                    }
                }
            }
        }
    }
}

/// Ground of which nothing is known.
fn unknown_below(scale: Scale, y: f64) -> Markup {
    html! {
        rect x=(LEFT) y=(figure(y)) width=(RIGHT - LEFT) height=(figure((scale.bottom() - y).max(0.0))) fill=(PAPER) stroke=(SOFT_INK) stroke-width="0.8" stroke-dasharray="2 3" {}
        text x=(figure(f64::midpoint(LEFT, RIGHT))) y=(figure(f64::midpoint(y, scale.bottom()) + 3.0)) class="axis mid" { "unknown" }
    }
}

fn layer_shape(report: &Report, sheet: &Sheet, scale: Scale, layer: &Layer) -> Markup {
    let (x, wide) = layer_x(layer, sheet.core.lanes);
    let (top, bottom) = (scale.y(layer.to), scale.y(layer.from));
    let height = (bottom - top).max(1.5);
    if layer.kind == LayerKind::Rest {
        return html! {
            @if height > 12.0 {
                text class="axis mid" x=(figure(x + wide / 2.0)) y=(figure(f64::midpoint(top, bottom) + 3.5)) { "rest" }
            }
        };
    }
    let fill = format!("url(#f{})", pattern_of(&report.families, layer.family));
    let dashes = match layer.kind {
        LayerKind::SelfSown => Some("2 2"),
        LayerKind::Cover => Some("6 2"),
        LayerKind::Crop | LayerKind::Rest => None,
    };
    let stem = figure(x + wide / 2.0);
    html! {
        rect class="layer" x=(figure(x + 0.5)) y=(figure(top)) width=(figure(wide - 1.0)) height=(figure(height)) fill=(fill) stroke-dasharray=[dashes] {}
        @if layer.stands {
            path d={ "M" (stem) " " (figure(top)) "v-9m0 4l-5-4m5 2l5-4" } stroke=(INK) stroke-width="1.6" fill="none" {}
        }
    }
}

/// The same as a table.
pub(super) fn table(sheet: &Sheet) -> Markup {
    enum Row<'a> {
        Layer(&'a Layer),
        Mark(&'a Mark),
    }
    let mut rows: Vec<(Date, Row<'_>)> = sheet
        .core
        .layers
        .iter()
        .map(|layer| (layer.from, Row::Layer(layer)))
        .chain(sheet.core.marks.iter().map(|mark| (mark.on, Row::Mark(mark))))
        .collect();
    rows.sort_by_key(|(day, _)| std::cmp::Reverse(*day));
    html! {
        details {
            summary { "The core as a table" }
            div class="scroll" role="region" aria-label={ "History of " (sheet.name) } tabindex="0" {
                table {
                    caption { "What stood in " bdi { (sheet.name) } " and what was seen, newest first" }
                    thead { tr { th scope="col" { "from" } th scope="col" { "to" } th scope="col" { "what" } th scope="col" { "kind" } th scope="col" { "record" } } }
                    tbody {
                        @for (day, row) in &rows {
                            tr {
                                th scope="row" { (day) }
                                @match row {
                                    Row::Layer(layer) => {
                                        td { @if layer.stands { "stands" } @else { (layer.to) } }
                                        td { (layer.name) }
                                        td { (layer.kind.word()) }
                                        td { cite { (layer.record) } }
                                    },
                                    Row::Mark(mark) => {
                                        td {}
                                        td { (mark.text) }
                                        td { (mark.kind.word()) }
                                        td { cite { (mark.record) } }
                                    },
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
