//! Values of our types as SQL values.

use rusqlite::ToSql;
use rusqlite::types::{ToSqlOutput, ValueRef};

use crate::season::{Date, day_number};

/// A value on its way into a row: borrowed from its record wherever it can be, because a million
/// rows have some millions of texts.
#[derive(Clone, Debug)]
pub(in crate::store) enum Entry<'v> {
    /// A number, a blank, or a text that stands in the record.
    Borrowed(ValueRef<'v>),
    /// A text made for the row.
    Text(String),
}

impl Entry<'_> {
    pub(in crate::store) const NULL: Entry<'static> = Entry::Borrowed(ValueRef::Null);

    pub(in crate::store) fn whole(number: i64) -> Entry<'static> {
        Entry::Borrowed(ValueRef::Integer(number))
    }

    /// The value as SQLite takes it.
    pub(in crate::store) fn value(&self) -> ValueRef<'_> {
        match self {
            Self::Borrowed(value) => *value,
            Self::Text(text) => ValueRef::Text(text.as_bytes()),
        }
    }
}

impl ToSql for Entry<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(self.value()))
    }
}

pub(super) fn real(value: Option<f64>) -> Entry<'static> {
    value.map_or(Entry::NULL, number)
}

/// SQLite keeps no negative zero, so that a digest of one would not hold.
pub(super) fn number(value: f64) -> Entry<'static> {
    Entry::Borrowed(ValueRef::Real(value + 0.0))
}

pub(in crate::store) fn text(value: &str) -> Entry<'_> {
    Entry::Borrowed(ValueRef::Text(value.as_bytes()))
}

pub(super) fn optional_text(value: Option<&str>) -> Entry<'_> {
    value.map_or(Entry::NULL, text)
}

pub(super) fn day(value: Date) -> Entry<'static> {
    Entry::whole(day_number(value))
}

pub(super) fn optional_day(value: Option<Date>) -> Entry<'static> {
    value.map_or(Entry::NULL, day)
}
