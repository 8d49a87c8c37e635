//! The cells of one row, read by column name, each fault noted where it stands.

use std::cell::Cell;
use std::sync::Arc;

use chrono::Datelike;

use super::column::{Column, Kind};
use super::days::not_a_day;
use super::formula::{holds_text, restored};
use super::locate::place_of_field;
use super::problem::{Problem, Problems, RowProblem};
use super::rows::Fields;
use crate::origin::Origin;
use crate::season::{Date, YEARS, iso_day, worded_day};
use crate::units::Conversion;

/// Where a column stands in the file, if it does, and how its numbers convert.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) position: Option<usize>,
    pub(super) conversion: Conversion,
}

impl Place {
    pub(super) const ABSENT: Self = Self { position: None, conversion: Conversion::NONE };
}

/// A row as it was met.
#[derive(Clone, Copy)]
pub(super) struct Row<'a> {
    pub(super) file: &'a Arc<str>,
    pub(super) header: &'a str,
    pub(super) line: u32,
    pub(super) raw: &'a str,
    pub(super) record: Fields<'a>,
}

/// The outcome of looking up a name: the thing named, or names near it.
pub type Resolved<T> = Result<T, Vec<String>>;

/// One row under its header. Getters return `None` for a blank cell and for a faulty one; the
/// fault is then in the list of problems and [`Cells::is_sound`] is false.
pub struct Cells<'a> {
    file: &'a Arc<str>,
    header: &'a str,
    line: u32,
    raw: &'a str,
    record: Fields<'a>,
    columns: &'static [Column],
    places: &'a [Place],
    problems: &'a mut Problems,
    before: usize,
    // Whether the row is of printable ASCII: most are, and their cells need no look at each letter.
    plain: bool,
    // Columns are mostly read in their order, so the search starts where the last one ended.
    next: Cell<usize>,
    asked: &'a [Asked],
}

/// By which text in the program a column was last asked for: where it lies and how long it is. Rows
/// are read by the same lines of the program one after the other, so that this is compared faster
/// than the names themselves.
pub(super) type Asked = Cell<(usize, usize)>;

impl<'a> Cells<'a> {
    pub(super) fn new(
        row: Row<'a>,
        columns: &'static [Column],
        places: &'a [Place],
        asked: &'a [Asked],
        problems: &'a mut Problems,
    ) -> Self {
        let before = problems.list.len();
        let Row { file, header, line, raw, record } = row;
        let plain = is_printable_ascii(raw);
        let next = Cell::new(0);
        Self {
            file,
            header,
            line,
            raw,
            record,
            columns,
            places,
            problems,
            before,
            plain,
            next,
            asked,
        }
    }

    /// Whether the row is of printable ASCII and in one line.
    pub(super) fn is_plain(&self) -> bool {
        self.plain
    }

    /// Whether no fault was found in this row so far.
    #[must_use]
    pub fn is_sound(&self) -> bool {
        self.problems.list.len() == self.before
    }

    /// The file as its reader named it.
    #[must_use]
    pub fn file(&self) -> &str {
        self.file
    }

    /// Where this row stands.
    #[must_use]
    pub fn origin(&self) -> Origin {
        Origin { file: Arc::clone(self.file), line: self.line }
    }

    /// The header of the file as written.
    #[must_use]
    pub fn header(&self) -> &str {
        self.header
    }

    /// The row as written, without its line end.
    #[must_use]
    pub fn raw(&self) -> &str {
        self.raw
    }

    /// The cell as written, trimmed and unjudged; empty if the column is absent.
    #[must_use]
    pub fn written(&self, name: &'static str) -> &'a str {
        let at = self.index(name);
        let value = self.trimmed(at);
        if holds_text(self.columns[at].kind) { restored(value) } else { value }
    }

    #[inline]
    fn trimmed(&self, at: usize) -> &'a str {
        let value = self.places[at]
            .position
            .and_then(|position| self.record.get(position))
            .unwrap_or_default();
        let bytes = value.as_bytes();
        if self.plain && bytes.first() != Some(&b' ') && bytes.last() != Some(&b' ') {
            value
        } else {
            value.trim()
        }
    }

    /// Which field of the row a column is, from 0, if the header has it.
    pub(crate) fn position(&self, name: &'static str) -> Option<usize> {
        self.places[self.index(name)].position
    }

    /// The text of a cell, trimmed; `None` if blank or the column is absent.
    pub fn text(&mut self, name: &'static str) -> Option<&'a str> {
        self.text_at(self.index(name))
    }

    #[inline]
    fn text_at(&mut self, at: usize) -> Option<&'a str> {
        let column = &self.columns[at];
        let value = self.trimmed(at);
        if value.is_empty() {
            if column.required {
                self.note(
                    at,
                    value,
                    Problem::Blank,
                    Some(format!("{}: {}", column.name, column.meaning)),
                );
            }
            return None;
        }
        if let Kind::Text(most) = column.kind
            // Bytes are never fewer than characters, so most cells need no counting.
            && value.len() > most
            && value.chars().count() > most
        {
            self.note(at, value, Problem::TooLong { most }, None);
            return None;
        }
        if !self.plain && has_control(value) {
            self.note(
                at,
                value,
                Problem::ControlCharacter,
                Some("delete the invisible character".to_owned()),
            );
            return None;
        }
        Some(if holds_text(column.kind) { restored(value) } else { value })
    }

    /// A day.
    pub fn date(&mut self, name: &'static str) -> Option<Date> {
        let at = self.index(name);
        let value = self.text_at(at)?;
        // Nearly all days are written in digits; a month in a word can only mean one day.
        match iso_day(value).or_else(|| worded_day(value)) {
            Some(day) if YEARS.contains(&day.year()) => Some(day),
            Some(_) => {
                self.note(
                    at,
                    value,
                    Problem::YearOutOfRange,
                    Some("years run from 1900 to 2100".to_owned()),
                );
                None
            }
            None => {
                let (problem, hint) = not_a_day(value);
                self.note(at, value, problem, hint);
                None
            }
        }
    }

    /// A number, converted to the unit kept, within the column's bounds.
    pub fn number(&mut self, name: &'static str) -> Option<f64> {
        let at = self.index(name);
        let written = self.text_at(at)?;
        let (least, most) = match self.columns[at].kind {
            Kind::Measured(_, least, most) | Kind::Number(least, most) => (least, most),
            Kind::Text(_) | Kind::Name(_) | Kind::Date | Kind::Whole(..) | Kind::Choice(_) => {
                (f64::NEG_INFINITY, f64::INFINITY)
            }
        };
        let number = plain_decimal(written).or_else(|| written.parse().ok());
        let Some(number) = number.filter(|number| number.is_finite()) else {
            let comma = written.replacen(',', ".", 1);
            if written.contains(',') && comma.parse::<f64>().is_ok() {
                self.note(at, written, Problem::DecimalComma, Some(format!("write `{comma}`")));
            } else {
                let hint = leading_number(written).map(|number| {
                    format!(
                        "write `{number}`; the unit belongs in the header, or leave the cell blank"
                    )
                });
                self.note(at, written, Problem::NotANumber, hint);
            }
            return None;
        };
        let kept = self.places[at].conversion.apply(number);
        if kept < least || kept > most {
            self.note(at, written, Problem::OutOfRange { least, most }, None);
            return None;
        }
        Some(kept)
    }

    /// A whole number within the column's bounds.
    pub fn whole(&mut self, name: &'static str) -> Option<i64> {
        let at = self.index(name);
        let written = self.text_at(at)?;
        let Ok(number) = written.parse::<i64>() else {
            self.note(at, written, Problem::NotWhole, Some("write digits only".to_owned()));
            return None;
        };
        if let Kind::Whole(least, most) = self.columns[at].kind
            && !(least..=most).contains(&number)
        {
            let (least, most) = (least as f64, most as f64);
            self.note(at, written, Problem::OutOfRange { least, most }, None);
            return None;
        }
        Some(number)
    }

    /// One of the column's words, as its place in the list.
    pub fn choice(&mut self, name: &'static str) -> Option<usize> {
        self.choice_also(name, &[])
    }

    /// One of the column's words, or another word for one of them, as its place in the list.
    pub fn choice_also(
        &mut self,
        name: &'static str,
        also: &[(&'static str, &'static str)],
    ) -> Option<usize> {
        let at = self.index(name);
        let written = self.text_at(at)?;
        let Kind::Choice(allowed) = self.columns[at].kind else {
            return None;
        };
        if let Some(found) = allowed.iter().position(|word| *word == written) {
            return Some(found);
        }
        let folded = written.to_ascii_lowercase().replace([' ', '-'], "_");
        let meant = also.iter().find(|(other, _)| **other == folded).map(|(_, word)| *word);
        let meant = meant.unwrap_or(&folded);
        let found = allowed.iter().position(|word| *word == meant);
        if found.is_none() {
            let near = allowed
                .iter()
                .map(|word| (strsim::jaro_winkler(&folded, word), *word))
                .filter(|(likeness, _)| *likeness > 0.8)
                .max_by(|a, b| a.0.total_cmp(&b.0));
            let hint = near.map(|(_, word)| format!("did you mean `{word}`?"));
            self.note(at, written, Problem::NotAWord { allowed }, hint);
        }
        found
    }

    /// A name, looked up by `resolve`, which offers near names when it fails.
    pub fn name<T>(
        &mut self,
        name: &'static str,
        resolve: impl FnOnce(&str) -> Resolved<T>,
    ) -> Option<T> {
        let at = self.index(name);
        let written = self.text_at(at)?;
        match resolve(written) {
            Ok(found) => Some(found),
            Err(near) => {
                let of = match self.columns[at].kind {
                    Kind::Name(of) => of,
                    Kind::Text(_)
                    | Kind::Date
                    | Kind::Whole(..)
                    | Kind::Number(..)
                    | Kind::Measured(..)
                    | Kind::Choice(_) => "name",
                };
                let hint = (!near.is_empty()).then(|| {
                    let near: Vec<String> = near.iter().map(|name| format!("`{name}`")).collect();
                    format!("did you mean {}?", near.join(" or "))
                });
                self.note(at, written, Problem::UnknownName { of }, hint);
                None
            }
        }
    }

    /// Says what to type instead of the cell faulted last, where its reader knows better.
    pub fn advise(&mut self, hint: String) {
        if let Some(last) = self.problems.list.get_mut(self.before..).and_then(<[_]>::last_mut) {
            last.hint = Some(hint);
        }
    }

    /// Notes a fault of a cell that only its reader could find.
    pub fn problem(&mut self, name: &'static str, problem: Problem, hint: Option<String>) {
        let at = self.index(name);
        let value = self.trimmed(at);
        self.note(at, value, problem, hint);
    }

    /// Notes a fault of the row as a whole.
    pub fn row_problem(&mut self, problem: Problem, hint: Option<String>) {
        self.problems.list.push(RowProblem {
            file: Arc::clone(self.file),
            line: self.line,
            column: 0,
            field: None,
            value: String::new(),
            excerpt: excerpt(self.raw, 0),
            problem,
            hint,
        });
    }

    #[inline]
    fn index(&self, name: &'static str) -> usize {
        let at = self.next.get();
        let text = (name.as_ptr().addr(), name.len());
        if self.asked.get(at).is_some_and(|asked| asked.get() == text) {
            self.next.set(at + 1);
            return at;
        }
        self.search(name, text)
    }

    fn search(&self, name: &'static str, text: (usize, usize)) -> usize {
        let count = self.columns.len();
        let from = self.next.get().min(count);
        let at = (from..count)
            .chain(0..from)
            .find(|&at| self.columns[at].name == name)
            .expect("a reader asks only for columns of its own table");
        self.asked[at].set(text);
        self.next.set(at + 1);
        at
    }

    fn note(&mut self, at: usize, value: &str, problem: Problem, hint: Option<String>) {
        let position = self.places[at].position;
        let (column, below) =
            position.map_or((0, 0), |position| place_of_field(self.raw, position));
        self.problems.list.push(RowProblem {
            file: Arc::clone(self.file),
            line: self.line + below,
            column,
            field: Some(self.columns[at].name.to_owned()),
            value: value.to_owned(),
            excerpt: excerpt(self.raw, below),
            problem,
            hint,
        });
    }
}

/// Whether a row has nothing but letters, digits, signs and blanks of ASCII. All bytes are looked at
/// without stopping early, which is many at a time.
fn is_printable_ascii(raw: &str) -> bool {
    raw.bytes().fold(true, |plain, byte| plain & (byte.wrapping_sub(0x20) < 0x5f))
}

/// Whether a text holds a control character other than a line end or tab. The second set of
/// control characters (U+0080 to U+009F) is written with the byte 0xC2 first.
fn has_control(text: &str) -> bool {
    text.bytes().any(|byte| byte < 0x20 || byte == 0x7f || byte == 0xc2)
        && text
            .chars()
            .any(|character| character.is_control() && !matches!(character, '\n' | '\r' | '\t'))
}

fn excerpt(raw: &str, below: u32) -> String {
    let line = raw.lines().nth(below as usize).unwrap_or_default();
    line.chars().take(400).collect()
}

/// A number of a few digits, with or without a point: nearly all are. Digits and the power of ten
/// are exact as they are, so that their quotient is the number nearest to what is written, as any
/// parser gives it; `None` if it is written otherwise.
fn plain_decimal(written: &str) -> Option<f64> {
    const MOST: usize = 15;
    const POWERS: [f64; MOST] =
        [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14];
    let bytes = written.as_bytes();
    if bytes.len() > MOST {
        return None;
    }
    let (mut digits, mut count, mut point) = (0_u64, 0, None);
    for &byte in bytes {
        match byte {
            b'0'..=b'9' => {
                digits = digits * 10 + u64::from(byte - b'0');
                count += 1;
            }
            b'.' if point.is_none() => point = Some(count),
            _ => return None,
        }
    }
    let behind = count - point.unwrap_or(count);
    (count > 0).then(|| digits as f64 / POWERS[behind])
}

fn leading_number(written: &str) -> Option<&str> {
    let end = written
        .find(|character: char| {
            !(character.is_ascii_digit() || character == '.' || character == '-')
        })
        .unwrap_or(written.len());
    let number = &written[..end];
    number.parse::<f64>().is_ok().then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn a_plain_decimal_is_what_any_parser_gives(text in "[0-9]{0,9}(\\.[0-9]{0,9})?|[-+.0-9e]{0,8}") {
            if let Some(number) = plain_decimal(&text) {
                prop_assert_eq!(text.parse::<f64>().map(f64::to_bits), Ok(number.to_bits()));
            }
        }
    }

    #[test]
    fn few_digits_are_plain() {
        assert_eq!(plain_decimal("12.30"), Some(12.3));
        assert_eq!(plain_decimal("7."), Some(7.0));
        for other in ["", ".", "-1", "1e3", "1.2.3", "1234567890.123456"] {
            assert_eq!(plain_decimal(other), None, "{other}");
        }
    }
}
