//! What is wrong with a row, in words that say what to type instead.

use std::fmt::Write as _;

use super::text::{Label, Line, Page};
use super::words;
use crate::tabular::{Problem, RowProblem};

/// The problem in words, without its place.
#[must_use]
pub fn problem_text(problem: &RowProblem) -> String {
    let value = shown(&problem.value);
    match &problem.problem {
        Problem::UnknownColumn => format!("unknown column \"{value}\""),
        Problem::MissingColumn { name } => format!("the column `{name}` is missing"),
        Problem::DuplicateColumn => format!("the column \"{value}\" stands twice"),
        Problem::NoHeader => "the file is empty: it has no header".to_owned(),
        Problem::OtherSeparator { separator } => {
            let name = match separator {
                ';' => "semicolons",
                '\t' => "tabs",
                _ => "another sign",
            };
            format!("the fields are separated by {name}, not by commas")
        }
        Problem::NotUtf8 => "the text is not UTF-8".to_owned(),
        Problem::FieldCount { expected, found } => {
            format!("the row has {}, the header {expected}", words::count(*found, "field"))
        }
        Problem::UnclosedQuote => "a quote is opened here and never closed".to_owned(),
        Problem::ControlCharacter => "there is an invisible control character".to_owned(),
        Problem::Blank => "this must not be blank".to_owned(),
        Problem::TooLong { most } => format!("longer than {most} characters"),
        Problem::NotADay => format!("\"{value}\" is not a day"),
        Problem::DayOrder => format!("\"{value}\" is not in the order year-month-day"),
        Problem::DayNumber => format!("\"{value}\" is a number, not a day"),
        Problem::YearOutOfRange => format!("\"{value}\" lies outside the years 1900 to 2100"),
        Problem::NotANumber => format!("\"{value}\" is not a number"),
        Problem::DecimalComma => format!("\"{value}\" has a comma for the decimal point"),
        Problem::NotWhole => format!("\"{value}\" is not a whole number"),
        Problem::OutOfRange { least, most } => {
            format!("{value} is not between {} and {}", bound(*least), bound(*most))
        }
        Problem::NotAWord { allowed } => {
            format!("\"{value}\" is none of: {}", allowed.join(", "))
        }
        Problem::UnknownName { of } => format!("unknown {of} \"{value}\""),
        Problem::EndsBeforeStart { start } => {
            format!("{value} lies before the start, {start}")
        }
        Problem::Duplicate { earlier } => format!("the same stands at {earlier}"),
        Problem::InTheFuture => format!("{value} lies in the future"),
        Problem::OneRowOnly => "this file may hold one row only".to_owned(),
        Problem::Other(text) => (*text).to_owned(),
    }
}

fn bound(value: f64) -> String {
    if value.abs() < 1e6 { words::number(value) } else { format!("{value:.0}") }
}

/// User text, short and without signs that could move a cursor.
fn shown(text: &str) -> String {
    let clean: String = text.chars().filter(|character| !is_hidden(*character)).collect();
    if clean.chars().count() > 60 {
        clean.chars().take(57).collect::<String>() + "..."
    } else {
        clean
    }
}

/// Control characters and those that turn the direction of text.
fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}')
}

/// Located problems: the first so many, then the count.
#[must_use]
pub fn problem_page(problems: &[RowProblem], most: usize) -> Page {
    let mut page = Page::default();
    for problem in problems.iter().take(most) {
        page.line(
            Line::default().and(Label::Error, "error").text(format!(": {}", problem_text(problem))),
        );
        let mut place = problem.file.to_string();
        if problem.line > 0 {
            let _ = write!(place, ":{}", problem.line);
        }
        if problem.column > 0 {
            let _ = write!(place, ":{}", problem.column);
        }
        let field =
            problem.field.as_ref().map_or(String::new(), |field| format!("   column `{field}`"));
        page.line(Line::at(2).and(Label::Source, place).text(field));
        if !problem.excerpt.is_empty() {
            excerpt(problem, &mut page);
        }
        if let Some(hint) = &problem.hint {
            page.line(Line::at(2).hanging(4).and(Label::Command, hint.clone()));
        }
    }
    if problems.len() > most {
        page.line(
            Line::default()
                .text(format!("... and {}", words::count(problems.len() - most, "more problem"))),
        );
    }
    page
}

/// The line with a mark under the place.
fn excerpt(problem: &RowProblem, page: &mut Page) {
    const WIDTH: usize = 66;
    let line: Vec<char> = problem
        .excerpt
        .chars()
        .map(|character| if is_hidden(character) { ' ' } else { character })
        .collect();
    let at = (problem.column.max(1) - 1) as usize;
    let from = at.saturating_sub(WIDTH / 2).min(line.len().saturating_sub(WIDTH));
    let piece: String = line.iter().skip(from).take(WIDTH).collect();
    let number = format!("{:>5} | ", problem.line);
    page.line(Line { indent: 0, hang: 8, spans: Vec::new() }.text(format!("{number}{piece}")));
    if problem.column > 0 {
        let length = problem.value.chars().count().clamp(1, WIDTH - (at - from).min(WIDTH - 1));
        let marks = "^".repeat(length);
        page.line(
            Line { indent: 0, hang: 8, spans: Vec::new() }
                .text(format!("      | {}", " ".repeat(at - from)))
                .and(Label::Error, marks),
        );
    }
}
