//! What an examination of the garden file found, as a page.

use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::records::{Check, CheckResult, Checkup};

/// What a check looks at, in words.
fn meaning(check: Check) -> &'static str {
    match check {
        Check::Size => "the file is as long as it says",
        Check::Pages => "pages, indexes and bounds, as SQLite checks them",
        Check::References => "every bed, crop and file that a row names is there",
        Check::Seals => "rows are those that the imports sealed",
        Check::Records => "each record has the values it was read with",
    }
}

/// What to do about the state of a file.
pub(super) fn advice(checkup: &Checkup) -> Vec<String> {
    let mut advice = Vec::new();
    if checkup.is_sound() {
        if checkup.format < checkup.newest_format {
            advice.push(format!(
                "the next command brings it to format {} and leaves a copy beside it",
                checkup.newest_format
            ));
        }
    } else {
        advice.push("keep this file as it is, and work on from a new one".to_owned());
        advice.push(
            "import your record files: `breakcrop -g new.breakcrop import FOLDER`".to_owned(),
        );
        advice.push(
            "without them try `breakcrop export FOLDER`, and read the rows named above".to_owned(),
        );
        if let Some(newest) = checkup.backups.last() {
            advice.push(format!("a copy from before a change of format: {}", newest.display()));
        }
    }
    if checkup.journal {
        advice.push(
            "a run was ended while it wrote; what it had not finished was taken back. Never \
             delete a file that ends in -journal: it holds what is needed for that"
                .to_owned(),
        );
    }
    advice
}

/// The page.
#[must_use]
pub fn checkup_page(checkup: &Checkup) -> Page {
    let mut page = Page::default();
    let state = if checkup.is_sound() { "sound" } else { "damaged" };
    let label = if checkup.is_sound() { Label::Plant } else { Label::Wait };
    page.line(
        Line::default()
            .and(Label::Name, checkup.path.display().to_string())
            .text(": ")
            .and(label, state),
    );
    let by = checkup.written_by.join(", ");
    let by = if by.is_empty() { String::new() } else { format!(" by version {by}") };
    page.line(Line::at(1).hanging(3).text(format!(
        "format {} of {}; {}{by}; {}",
        checkup.format,
        checkup.newest_format,
        words::count(checkup.imports, "import"),
        size(checkup.bytes),
    )));
    let mut rows = Vec::new();
    for (check, result) in &checkup.checks {
        let (label, word) = match result {
            CheckResult::Passed => (Label::Plant, "sound"),
            CheckResult::Skipped(_) => (Label::Unknown, "not checked"),
            CheckResult::Failed(_) => (Label::Wait, "DAMAGED"),
        };
        rows.push(vec![
            Span::new(Label::Name, check.word()),
            Span::new(label, word),
            Span::new(Label::Plain, meaning(*check)),
        ]);
    }
    page.table(Table { indent: 1, head: Vec::new(), right: Vec::new(), rows });
    for (check, result) in &checkup.checks {
        let lines: Vec<&str> = match result {
            CheckResult::Passed => continue,
            CheckResult::Skipped(why) => vec![why],
            CheckResult::Failed(found) => found.iter().map(String::as_str).collect(),
        };
        for line in lines {
            page.line(Line::at(1).hanging(3).text(format!("{}: {line}", check.word())));
        }
    }
    let held: Vec<String> = checkup
        .records
        .iter()
        .filter(|(_, rows)| *rows > 0)
        .map(|(kind, rows)| format!("{rows} {}", kind.word().replace('_', " ")))
        .collect();
    if !held.is_empty() {
        page.line(
            Line::at(1)
                .hanging(3)
                .text(format!("holds, superseded records included: {}", held.join(", "))),
        );
    }
    for line in advice(checkup) {
        page.line(Line::at(1).hanging(3).text(line));
    }
    page
}

fn size(bytes: u64) -> String {
    if bytes < 1_000_000 {
        format!("{} kB", bytes.div_ceil(1000))
    } else {
        format!("{:.1} MB", bytes as f64 / 1e6)
    }
}
