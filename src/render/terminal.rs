//! Pages as text. Colour repeats what the words say, never replaces it.

use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::view::{Block, Label, Line, Page, Span, Table};

/// How to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Columns.
    pub width: usize,
    /// Whether to colour.
    pub colour: bool,
    /// Whether only ASCII can be shown.
    pub ascii: bool,
}

impl Look {
    /// No colour, so many columns.
    #[must_use]
    pub fn plain(width: usize) -> Self {
        Self { width, colour: false, ascii: false }
    }
}

fn style(label: Label) -> Style {
    let colour = |colour: AnsiColor| Style::new().fg_color(Some(colour.into()));
    match label {
        Label::Plain => Style::new(),
        Label::Name => Style::new().bold(),
        Label::Heading => Style::new().bold().underline(),
        Label::Plant => colour(AnsiColor::Green),
        Label::Care => colour(AnsiColor::Yellow),
        Label::Wait => colour(AnsiColor::Red),
        Label::Unknown => colour(AnsiColor::Magenta),
        Label::Source => Style::new().dimmed(),
        Label::Command => colour(AnsiColor::Cyan),
        Label::Error => colour(AnsiColor::Red).bold(),
    }
}

/// A page as text.
#[must_use]
pub fn page_text(page: &Page, look: Look) -> String {
    let mut text = String::new();
    for block in &page.blocks {
        match block {
            Block::Blank => text.push('\n'),
            Block::Line(line) => push_line(&mut text, &shown_line(line, look), look),
            Block::Table(table) => push_table(&mut text, &shown_table(table, look), look),
        }
    }
    text
}

fn shown_span(span: &Span, look: Look) -> Span {
    Span::new(span.label, super::plain_text::shown(&span.text, look.ascii))
}

fn shown_line(line: &Line, look: Look) -> Line {
    let spans = line.spans.iter().map(|span| shown_span(span, look)).collect();
    Line { spans, ..*line }
}

fn shown_table(table: &Table, look: Look) -> Table {
    let head = table.head.iter().map(|head| super::plain_text::shown(head, look.ascii));
    Table {
        head: head.collect(),
        rows: table
            .rows
            .iter()
            .map(|row| row.iter().map(|cell| shown_span(cell, look)).collect())
            .collect(),
        ..table.clone()
    }
}

/// A word with its label and whether a blank stands before it.
struct Word<'a> {
    label: Label,
    text: &'a str,
    blanks: usize,
    /// Whether it goes on with a word that was cut.
    is_cut: bool,
}

fn words(spans: &[Span]) -> Vec<Word<'_>> {
    let mut words = Vec::new();
    let mut blanks = 0;
    for span in spans {
        let mut rest = span.text.as_str();
        while !rest.is_empty() {
            let gap = rest.len() - rest.trim_start_matches(' ').len();
            blanks += gap;
            rest = &rest[gap..];
            if rest.is_empty() {
                break;
            }
            let end = rest.find(' ').unwrap_or(rest.len());
            words.push(Word { label: span.label, text: &rest[..end], blanks, is_cut: false });
            blanks = 0;
            rest = &rest[end..];
        }
    }
    words
}

fn push_styled(text: &mut String, label: Label, piece: &str, look: Look) {
    let style = style(label);
    if look.colour && style != Style::new() {
        let _ = write!(text, "{style}{piece}{style:#}");
    } else {
        text.push_str(piece);
    }
}

fn push_line(text: &mut String, line: &Line, look: Look) {
    for (at, (indent, pieces)) in wrapped(line, look.width).into_iter().enumerate() {
        let _ = at;
        text.push_str(&" ".repeat(indent));
        for (label, piece) in pieces {
            push_styled(text, label, &piece, look);
        }
        text.push('\n');
    }
}

/// A physical line: its indent and its labelled pieces.
type Physical = (usize, Vec<(Label, String)>);

/// The physical lines: indent and labelled pieces. A word longer than the line is cut where the
/// line ends, unless it is something to copy.
fn wrapped(line: &Line, width: usize) -> Vec<Physical> {
    let mut lines = Vec::new();
    let mut indent = line.indent;
    let mut pieces: Vec<(Label, String)> = Vec::new();
    let mut used = indent;
    let room = width.saturating_sub(line.hang.max(line.indent)).max(1);
    let whole = words(&line.spans);
    for word in whole.iter().flat_map(|word| cut_to(word, room)) {
        let wide = word.text.width();
        let blanks = if pieces.is_empty() && lines.is_empty() {
            word.blanks
        } else if pieces.is_empty() {
            0
        } else {
            word.blanks
        };
        if !pieces.is_empty() && used + blanks + wide > width && (blanks > 0 || word.is_cut) {
            lines.push((indent, std::mem::take(&mut pieces)));
            indent = line.hang;
            used = indent;
            push_piece(&mut pieces, word.label, word.text);
            used += wide;
            continue;
        }
        if blanks > 0 {
            let label = pieces.last().map_or(Label::Plain, |(label, _)| {
                if *label == word.label { *label } else { Label::Plain }
            });
            push_piece(&mut pieces, label, &" ".repeat(blanks));
        }
        push_piece(&mut pieces, word.label, word.text);
        used += blanks + wide;
    }
    lines.push((indent, pieces));
    lines
}

fn push_piece(pieces: &mut Vec<(Label, String)>, label: Label, text: &str) {
    match pieces.last_mut() {
        Some((last, piece)) if *last == label => piece.push_str(text),
        _ => pieces.push((label, text.to_owned())),
    }
}

/// A word in pieces no wider than the room; each piece but the first may begin a line.
fn cut_to<'a>(word: &Word<'a>, room: usize) -> Vec<Word<'a>> {
    /// Keys are copied too; none is as wide as this unless somebody means mischief.
    const WIDEST_KEY: usize = 60;
    let wide = word.text.width();
    let is_key = wide <= WIDEST_KEY && word.text.is_ascii() && word.text.contains('_');
    let is_copied = word.label == Label::Command || is_key;
    if is_copied || wide <= room {
        return vec![Word { ..*word }];
    }
    let mut pieces = Vec::new();
    let (mut from, mut used) = (0, 0);
    for (at, character) in word.text.char_indices() {
        let wide = character.width().unwrap_or(0);
        if used + wide > room && at > from {
            pieces.push(&word.text[from..at]);
            (from, used) = (at, 0);
        }
        used += wide;
    }
    pieces.push(&word.text[from..]);
    let blanks = |at: usize| if at == 0 { word.blanks } else { 0 };
    let label = word.label;
    pieces
        .into_iter()
        .enumerate()
        .map(|(at, text)| Word { label, text, blanks: blanks(at), is_cut: at > 0 })
        .collect()
}

/// Widest a column but the last may be before its cells wrap.
const MOST: usize = 30;

fn push_table(text: &mut String, table: &Table, look: Look) {
    let columns = table.head.len().max(table.rows.iter().map(Vec::len).max().unwrap_or(0));
    if columns == 0 {
        return;
    }
    let mut widths: Vec<usize> = (0..columns)
        .map(|column| {
            let head = table.head.get(column).map_or(0, |head| head.width());
            table
                .rows
                .iter()
                .filter_map(|row| row.get(column))
                .map(|cell| cell.text.width())
                .max()
                .unwrap_or(0)
                .max(head)
        })
        .collect();
    let last = columns - 1;
    for width in &mut widths[..last] {
        *width = (*width).min(MOST);
    }
    // The last column takes what is left; if that is too little, the widest others give way.
    let needed = |widths: &[usize]| {
        table.indent + widths[..last].iter().map(|width| width + 2).sum::<usize>()
    };
    let least_last = widths[last].min(20);
    while needed(&widths) + least_last > look.width {
        let Some(widest) =
            (0..last).max_by_key(|column| widths[*column]).filter(|column| widths[*column] > 8)
        else {
            break;
        };
        widths[widest] -= 1;
    }
    widths[last] = look.width.saturating_sub(needed(&widths)).max(8);
    if !table.head.is_empty() {
        let head: Vec<Span> =
            table.head.iter().map(|head| Span::new(Label::Source, head.clone())).collect();
        push_row(text, table, &head, &widths, look);
    }
    for row in &table.rows {
        push_row(text, table, row, &widths, look);
    }
}

fn push_row(text: &mut String, table: &Table, row: &[Span], widths: &[usize], look: Look) {
    let cells: Vec<Vec<Physical>> = row
        .iter()
        .zip(widths)
        .map(|(span, width)| {
            wrapped(&Line { indent: 0, hang: 0, spans: vec![span.clone()] }, *width)
        })
        .collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(1);
    for at in 0..height {
        let mut line = " ".repeat(table.indent);
        let mut trailing = 0;
        for (column, cell) in cells.iter().enumerate() {
            let empty = Vec::new();
            let pieces = cell.get(at).map_or(&empty, |(_, pieces)| pieces);
            let wide: usize = pieces.iter().map(|(_, piece)| piece.width()).sum();
            let pad = widths[column].saturating_sub(wide);
            if !pieces.is_empty() {
                line.push_str(&" ".repeat(trailing));
                trailing = 0;
            }
            if table.right.contains(&column) && !pieces.is_empty() {
                line.push_str(&" ".repeat(pad));
            }
            for (label, piece) in pieces {
                push_styled(&mut line, *label, piece, look);
            }
            trailing +=
                if table.right.contains(&column) && !pieces.is_empty() { 2 } else { pad + 2 };
            if pieces.is_empty() {
                trailing += wide;
            }
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn a_long_line_wraps_at_its_hang() {
        let mut page = Page::default();
        page.line(Line { indent: 1, hang: 3, spans: Vec::new() }.text("one two three four five"));
        assert_eq!(page_text(&page, Look::plain(12)), " one two\n   three\n   four five\n");
    }

    #[test]
    fn the_last_column_takes_what_is_left() {
        let cell = |text: &str| Span::new(Label::Plain, text);
        let mut page = Page::default();
        page.table(Table {
            indent: 0,
            head: vec!["a".into(), "b".into()],
            right: vec![],
            rows: vec![vec![cell("first"), cell("a cell that is rather long")]],
        });
        assert_eq!(
            page_text(&page, Look::plain(24)),
            "a      b\nfirst  a cell that is\n       rather long\n"
        );
    }

    #[test]
    fn a_word_wider_than_the_line_is_cut_unless_it_is_to_be_copied() {
        let long = "x".repeat(25);
        let mut page = Page::default();
        page.line(Line { indent: 1, hang: 3, spans: Vec::new() }.text(format!("a {long} b")));
        let text = page_text(&page, Look::plain(12));
        assert_eq!(text, " a xxxxxxxxx\n   xxxxxxxxx\n   xxxxxxx b\n");
        let mut page = Page::default();
        page.line(Line::default().and(Label::Command, long.clone()));
        assert_eq!(page_text(&page, Look::plain(12)), format!("{long}\n"));
    }

    #[test]
    fn a_cell_wider_than_its_column_is_cut() {
        let cell = |text: &str| Span::new(Label::Plain, text);
        let mut page = Page::default();
        page.table(Table {
            rows: vec![vec![cell(&"y".repeat(40)), cell("b")]],
            ..Table::default()
        });
        for line in page_text(&page, Look::plain(24)).lines() {
            assert!(line.width() <= 24, "{line}");
        }
    }

    #[test]
    fn colour_is_left_out_where_not_wanted() {
        let mut page = Page::default();
        page.line(Line::default().and(Label::Wait, "WAIT"));
        assert_eq!(page_text(&page, Look::plain(80)), "WAIT\n");
        assert!(page_text(&page, Look { colour: true, ..Look::plain(80) }).contains("\u{1b}["));
    }

    #[test]
    fn what_a_terminal_would_obey_is_left_out() {
        let cell = |text: &str| Span::new(Label::Plain, text);
        let mut page = Page::default();
        page.line(Line::default().text("bed\u{1b}[2J one\u{9b}31m\ntwo \u{202e}three\u{7}"));
        page.table(Table {
            indent: 0,
            head: vec!["a\u{1b}".into()],
            right: vec![],
            rows: vec![vec![cell("b\u{8}\u{2066}c")]],
        });
        assert_eq!(page_text(&page, Look::plain(40)), "bed[2J one31m two three\na\nbc\n");
    }
}
