//! One pass over a CSV file: header matched to columns, rows handed out as located cells.

use std::io::Read;
use std::sync::Arc;

use memchr::memchr;

use super::cells::{Asked, Cells, Place, Row};
use super::column::{Column, Kind};
use super::headings::meant;
use super::locate;
use super::problem::{Problem, Problems, RowProblem};
use super::rows::{Fields, Next, Rows, record_text};
use crate::units::Conversion;

/// A record longer than this is taken for a quote that was never closed.
pub const MAX_RECORD_BYTES: usize = 64 * 1024;

/// Reads a file row by row. `each` is called for every row whose number of fields fits; it reads
/// the cells it wants, and what is wrong with them lands in `problems`. Lines that begin with `#`
/// and blank lines are passed over. Returns the header as written.
pub fn scan(
    file: &Arc<str>,
    bytes: &[u8],
    columns: &'static [Column],
    problems: &mut Problems,
    each: impl FnMut(&mut Cells<'_>),
) -> Option<String> {
    // Bytes in memory cannot fail to be read.
    scan_stream(file, bytes, columns, problems, each).unwrap_or_default()
}

/// The same of a file of any length, of which no more than a block is held at a time.
///
/// # Errors
/// What the stream says if it cannot be read.
pub fn scan_stream(
    file: &Arc<str>,
    stream: impl Read,
    columns: &'static [Column],
    problems: &mut Problems,
    mut each: impl FnMut(&mut Cells<'_>),
) -> std::io::Result<Option<String>> {
    let mut rows = Rows::new(stream);
    let mut header: Option<(String, Vec<Place>, usize)> = None;
    let asked = vec![Asked::default(); columns.len()];
    loop {
        let (line, raw, record, is_ended) = match rows.next()? {
            Next::Record { line, raw, fields, is_ended } => (line, raw, fields, is_ended),
            Next::End => break,
            Next::TooLong { line, text } => {
                let text = String::from_utf8_lossy(text);
                let (raw, line) = record_text(&text, line);
                problems.list.push(unclosed(file, line, raw));
                return Ok(None);
            }
            Next::NotUtf8 { line, bytes } => {
                problems.list.push(not_utf8(file, bytes, line));
                return Ok(None);
            }
        };
        let Some((written, places, fields)) = &header else {
            match match_header(file, raw, line, record, columns, problems) {
                Some(places) => header = Some((raw.to_owned(), places, record.len())),
                None => return Ok(None),
            }
            continue;
        };
        let row = Row { file, header: written, line, raw, record };
        let mut cells = Cells::new(row, columns, places, &asked, problems);
        if raw.len() > MAX_RECORD_BYTES
            || !is_ended && locate::ends_in_quote(raw)
            || !cells.is_plain() && swallowed_rows(raw, record, columns, places)
        {
            cells.row_problem(Problem::UnclosedQuote, Some(CLOSE.to_owned()));
            continue;
        }
        if record.len() != *fields {
            let found = record.len();
            let hint = if found > *fields {
                "put text that holds a comma between double quotes"
            } else {
                "a comma is missing: a blank cell still needs its comma"
            };
            cells.row_problem(
                Problem::FieldCount { expected: *fields, found },
                Some(hint.to_owned()),
            );
            continue;
        }
        each(&mut cells);
    }
    if header.is_none() {
        problems.list.push(RowProblem {
            file: Arc::clone(file),
            line: 1,
            column: 0,
            field: None,
            value: String::new(),
            excerpt: String::new(),
            problem: Problem::NoHeader,
            hint: Some(format!("the first line names the columns: {}", names(columns).join(","))),
        });
    }
    Ok(header.map(|(raw, ..)| raw))
}

const CLOSE: &str = "close the quote, or double a quote inside text: \"\"";

fn unclosed(file: &Arc<str>, line: u32, raw: &str) -> RowProblem {
    RowProblem {
        file: Arc::clone(file),
        line,
        column: 0,
        field: None,
        value: String::new(),
        excerpt: raw.lines().next().unwrap_or_default().chars().take(400).collect(),
        problem: Problem::UnclosedQuote,
        hint: Some(CLOSE.to_owned()),
    }
}

/// A quote left open swallows the lines after it into one cell. Only free text may hold a line
/// end, and not one that looks like another row.
fn swallowed_rows(raw: &str, record: Fields<'_>, columns: &[Column], places: &[Place]) -> bool {
    // Only a quoted field holds a line end.
    if memchr(b'\n', raw.as_bytes()).is_none() {
        return false;
    }
    record.iter().enumerate().any(|(position, value)| {
        value.contains('\n') && {
            let column = places.iter().position(|place| place.position == Some(position));
            let free_text =
                column.is_some_and(|at| matches!(columns[at].kind, Kind::Text(most) if most > 80));
            let commas = columns.len().saturating_sub(1).min(record.len().max(2) - 1);
            !free_text
                || value.lines().skip(1).any(|line| line.matches(',').count() >= commas.max(2))
        }
    })
}

fn match_header(
    file: &Arc<str>,
    raw: &str,
    line: u32,
    record: Fields<'_>,
    columns: &'static [Column],
    problems: &mut Problems,
) -> Option<Vec<Place>> {
    let before = problems.list.len();
    let mut places = vec![Place::ABSENT; columns.len()];
    // Columns that stand under another name: told there, and not as missing besides.
    let mut others: Vec<String> = Vec::new();
    for (position, written) in record.iter().enumerate() {
        let name = written.trim();
        let mut problem = None;
        match matching(name, columns) {
            Some((at, _)) if places[at].position.is_some() => {
                problem = Some((Problem::DuplicateColumn, Some("leave one of the two".to_owned())));
            }
            Some((at, conversion)) => {
                places[at] = Place { position: Some(position), conversion };
            }
            None => {
                if let Some(separator) = other_separator(raw, columns) {
                    problem = Some((
                        Problem::OtherSeparator { separator },
                        Some("save the sheet as CSV with commas".to_owned()),
                    ));
                } else {
                    let ours = meant(name, columns);
                    let hint = ours.as_ref().map_or_else(
                        || format!("columns of this file: {}", names(columns).join(", ")),
                        |ours| format!("did you mean `{ours}`?"),
                    );
                    others.extend(ours);
                    problem = Some((Problem::UnknownColumn, Some(hint)));
                }
            }
        }
        if let Some((problem, hint)) = problem {
            let separator = matches!(problem, Problem::OtherSeparator { .. });
            let (column, _) = locate::place_of_field(raw, position);
            problems.list.push(RowProblem {
                file: Arc::clone(file),
                line,
                column,
                field: None,
                value: name.to_owned(),
                excerpt: raw.to_owned(),
                problem,
                hint,
            });
            if separator {
                return None;
            }
        }
    }
    for (column, place) in columns.iter().zip(&places) {
        let is_under_another_name =
            || others.iter().any(|other| matching(other, std::slice::from_ref(column)).is_some());
        if column.required && place.position.is_none() && !is_under_another_name() {
            problems.list.push(RowProblem {
                file: Arc::clone(file),
                line,
                column: 0,
                field: None,
                value: String::new(),
                excerpt: raw.to_owned(),
                problem: Problem::MissingColumn { name: column.name },
                hint: Some(format!("add the column `{}`: {}", column.name, column.meaning)),
            });
        }
    }
    (problems.list.len() == before).then_some(places)
}

/// The column that a header names, and the conversion from the unit it carries. Case and what stands
/// between the words do not count: `Length (ft)` is `length_ft`.
pub(crate) fn matching(name: &str, columns: &'static [Column]) -> Option<(usize, Conversion)> {
    let name = header_words(name);
    columns.iter().enumerate().find_map(|(at, column)| {
        if column.name == name {
            return Some((at, Conversion::NONE));
        }
        let Kind::Measured(dimension, ..) = column.kind else {
            return None;
        };
        let suffix = name.strip_prefix(column.bare_name())?.strip_prefix('_')?;
        let (_, conversion) = dimension.suffixes().iter().find(|(unit, _)| *unit == suffix)?;
        Some((at, *conversion))
    })
}

/// A header in lower case, its words joined by `_`.
pub(super) fn header_words(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("_")
}

fn other_separator(raw: &str, columns: &'static [Column]) -> Option<char> {
    [';', '\t', '|'].into_iter().find(|&separator| {
        raw.split(separator).filter(|name| matching(name.trim(), columns).is_some()).count() >= 2
    })
}

fn names(columns: &[Column]) -> Vec<&'static str> {
    columns.iter().map(|column| column.name).collect()
}

/// Bytes from line `line` on that are not UTF-8.
fn not_utf8(file: &Arc<str>, bytes: &[u8], line: u32) -> RowProblem {
    let at = std::str::from_utf8(bytes).map_or_else(|error| error.valid_up_to(), str::len);
    let before = &bytes[..at];
    let line = usize::try_from(line).unwrap_or(usize::MAX)
        + before.split(|byte| *byte == b'\n').count()
        - 1;
    let begins = before.iter().rposition(|&byte| byte == b'\n').map_or(0, |end| end + 1);
    let column = String::from_utf8_lossy(&before[begins..]).chars().count() + 1;
    let utf16 = bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]);
    RowProblem {
        file: Arc::clone(file),
        line: u32::try_from(line).unwrap_or(u32::MAX),
        column: u32::try_from(column).unwrap_or(u32::MAX),
        field: None,
        value: String::new(),
        excerpt: String::new(),
        problem: Problem::NotUtf8,
        hint: Some(if utf16 {
            "the file is UTF-16: save the sheet as `CSV UTF-8`".to_owned()
        } else {
            "save the sheet as `CSV UTF-8`".to_owned()
        }),
    }
}
