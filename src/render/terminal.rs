//! Pages as text. Colour repeats what the words say, never replaces it.

use std::borrow::Cow;
use std::fmt::Write as _;

use anstyle::{AnsiColor, Style};
use unicode_width::UnicodeWidthStr;

use crate::view::{Block, Label, Line, Page, Span, Table};

/// How to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Columns.
    pub width: usize,
    /// Whether to colour.
    pub colour: bool,
}

impl Look {
    /// No colour, so many columns.
    #[must_use]
    pub fn plain(width: usize) -> Self {
        Self { width, colour: false }
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
    let page = &cleaned(page);
    for block in &page.blocks {
        match block {
            Block::Blank => text.push('\n'),
            Block::Line(line) => push_line(&mut text, line, look),
            Block::Table(table) => push_table(&mut text, table, look),
        }
    }
    text
}

/// The page without characters that would not be seen but done: a terminal takes some for
/// commands, and some turn the direction of what follows. They can only come from a grower's text.
fn cleaned(page: &Page) -> Cow<'_, Page> {
    let is_clean = |text: &str| !text.chars().any(is_command);
    let spans_clean = |spans: &[Span]| spans.iter().all(|span| is_clean(&span.text));
    let all_clean = page.blocks.iter().all(|block| match block {
        Block::Blank => true,
        Block::Line(line) => spans_clean(&line.spans),
        Block::Table(table) => {
            table.head.iter().all(|head| is_clean(head))
                && table.rows.iter().all(|row| spans_clean(row))
        }
    });
    if all_clean {
        return Cow::Borrowed(page);
    }
    let mut page = page.clone();
    let clean = |text: &mut String| {
        *text = text
            .chars()
            .filter(|character| matches!(character, '\n' | '\r' | '\t') || !is_command(*character))
            .map(|character| if is_command(character) { ' ' } else { character })
            .collect();
    };
    for block in &mut page.blocks {
        match block {
            Block::Blank => {}
            Block::Line(line) => line.spans.iter_mut().for_each(|span| clean(&mut span.text)),
            Block::Table(table) => {
                table.head.iter_mut().for_each(&clean);
                table.rows.iter_mut().flatten().for_each(|span| clean(&mut span.text));
            }
        }
    }
    Cow::Owned(page)
}

/// Control characters of both sets, and marks that turn or isolate the direction of writing.
fn is_command(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{200e}' | '\u{200f}' | '\u{61c}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
        )
}

/// A word with its label and whether a blank stands before it.
struct Word<'a> {
    label: Label,
    text: &'a str,
    blanks: usize,
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
            words.push(Word { label: span.label, text: &rest[..end], blanks });
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

/// The physical lines: indent and labelled pieces. A word longer than the line is not cut.
fn wrapped(line: &Line, width: usize) -> Vec<Physical> {
    let mut lines = Vec::new();
    let mut indent = line.indent;
    let mut pieces: Vec<(Label, String)> = Vec::new();
    let mut used = indent;
    for word in words(&line.spans) {
        let wide = word.text.width();
        let blanks = if pieces.is_empty() && lines.is_empty() {
            word.blanks
        } else if pieces.is_empty() {
            0
        } else {
            word.blanks
        };
        if !pieces.is_empty() && used + blanks + wide > width && blanks > 0 {
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
    fn colour_is_left_out_where_not_wanted() {
        let mut page = Page::default();
        page.line(Line::default().and(Label::Wait, "WAIT"));
        assert_eq!(page_text(&page, Look::plain(80)), "WAIT\n");
        assert!(page_text(&page, Look { width: 80, colour: true }).contains("\u{1b}["));
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
