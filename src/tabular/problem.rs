//! What can be wrong with a row, as values: they are findings, not errors.

use std::sync::Arc;

/// All problems met so far, in the order of reading.
#[derive(Debug, Default)]
pub struct Problems {
    /// The located problems.
    pub list: Vec<RowProblem>,
}

impl Problems {
    /// Whether nothing was wrong.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }
}

/// One fault at one place.
#[derive(Clone, Debug, PartialEq)]
pub struct RowProblem {
    /// File name.
    pub file: Arc<str>,
    /// Line from 1; 1 is the header, 0 the file as a whole.
    pub line: u32,
    /// Character column from 1; 0 if the row or file as a whole is meant.
    pub column: u32,
    /// Header name of the column, if one is meant.
    pub field: Option<String>,
    /// What was written there, as the grower wrote it.
    pub value: String,
    /// The line itself, for showing; empty if it cannot be shown.
    pub excerpt: String,
    /// What is wrong.
    pub problem: Problem,
    /// What to type instead, where a good guess exists.
    pub hint: Option<String>,
}

/// What is wrong with a cell, a row or a file.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Problem {
    /// The header names a column that this file does not have.
    UnknownColumn,
    /// A required column is not in the header.
    MissingColumn {
        /// Its name.
        name: &'static str,
    },
    /// The header names a column twice.
    DuplicateColumn,
    /// The file has no header.
    NoHeader,
    /// Fields are separated by something else than a comma.
    OtherSeparator {
        /// The separator found.
        separator: char,
    },
    /// Bytes that are not UTF-8.
    NotUtf8,
    /// A row has another number of fields than the header.
    FieldCount {
        /// Fields of the header.
        expected: usize,
        /// Fields of the row.
        found: usize,
    },
    /// A quote was opened and never closed.
    UnclosedQuote,
    /// A control character.
    ControlCharacter,
    /// A required cell is blank.
    Blank,
    /// Longer than allowed.
    TooLong {
        /// Most characters allowed.
        most: usize,
    },
    /// Not a day.
    NotADay,
    /// A day in another order than year-month-day.
    DayOrder,
    /// A spreadsheet's day number instead of a day.
    DayNumber,
    /// A year outside 1900 to 2100.
    YearOutOfRange,
    /// Not a number.
    NotANumber,
    /// A comma for the decimal point.
    DecimalComma,
    /// Not a whole number.
    NotWhole,
    /// A number outside the bounds.
    OutOfRange {
        /// Least allowed.
        least: f64,
        /// Most allowed.
        most: f64,
    },
    /// Not one of the words allowed here.
    NotAWord {
        /// The words allowed.
        allowed: &'static [&'static str],
    },
    /// A name that is not known.
    UnknownName {
        /// Of what: `crop`, `bed`, `cause`, ...
        of: &'static str,
    },
    /// An end before its start.
    EndsBeforeStart {
        /// The start, as written.
        start: String,
    },
    /// The same thing stands on an earlier line.
    Duplicate {
        /// Where.
        earlier: String,
    },
    /// A day that lies in the future of the import.
    InTheFuture,
    /// A file holds more than the one row it may.
    OneRowOnly,
    /// Something else, said in words.
    Other(&'static str),
}

impl Problem {
    /// The variant's word, for the gallery of errors and JSON.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::UnknownColumn => "unknown_column",
            Self::MissingColumn { .. } => "missing_column",
            Self::DuplicateColumn => "duplicate_column",
            Self::NoHeader => "no_header",
            Self::OtherSeparator { .. } => "other_separator",
            Self::NotUtf8 => "not_utf8",
            Self::FieldCount { .. } => "field_count",
            Self::UnclosedQuote => "unclosed_quote",
            Self::ControlCharacter => "control_character",
            Self::Blank => "blank",
            Self::TooLong { .. } => "too_long",
            Self::NotADay => "not_a_day",
            Self::DayOrder => "day_order",
            Self::DayNumber => "day_number",
            Self::YearOutOfRange => "year_out_of_range",
            Self::NotANumber => "not_a_number",
            Self::DecimalComma => "decimal_comma",
            Self::NotWhole => "not_whole",
            Self::OutOfRange { .. } => "out_of_range",
            Self::NotAWord { .. } => "not_a_word",
            Self::UnknownName { .. } => "unknown_name",
            Self::EndsBeforeStart { .. } => "ends_before_start",
            Self::Duplicate { .. } => "duplicate",
            Self::InTheFuture => "in_the_future",
            Self::OneRowOnly => "one_row_only",
            Self::Other(_) => "other",
        }
    }
}
