//! Typed values out of a row.

use rusqlite::types::{Type, ValueRef};
use rusqlite::{Error as SqlError, Row};

use crate::knowledge::{CropId, Knowledge};
use crate::records::Place;
use crate::season::{Date, from_day_number};
use crate::store::terms::TermTexts;

/// A row whose typed columns begin at `from`.
pub(in crate::store) struct Reading<'r, 'k> {
    pub(in crate::store) row: &'r Row<'r>,
    pub(in crate::store) from: usize,
    pub(in crate::store) knowledge: &'k Knowledge,
    pub(in crate::store) terms: &'r TermTexts,
}

impl Reading<'_, '_> {
    pub(super) fn real(&self, at: usize) -> rusqlite::Result<f64> {
        self.row.get(self.from + at)
    }

    pub(super) fn some_real(&self, at: usize) -> rusqlite::Result<Option<f64>> {
        self.row.get(self.from + at)
    }

    pub(super) fn text(&self, at: usize) -> rusqlite::Result<Box<str>> {
        self.row.get(self.from + at)
    }

    pub(super) fn some_text(&self, at: usize) -> rusqlite::Result<Option<Box<str>>> {
        self.row.get(self.from + at)
    }

    pub(super) fn corrupt(&self, at: usize, what: &str) -> SqlError {
        SqlError::FromSqlConversionFailure(self.from + at, Type::Text, what.to_owned().into())
    }

    pub(super) fn day(&self, at: usize) -> rusqlite::Result<Date> {
        let days: i64 = self.row.get(self.from + at)?;
        from_day_number(days).ok_or_else(|| self.corrupt(at, "a day outside the calendar"))
    }

    pub(super) fn some_day(&self, at: usize) -> rusqlite::Result<Option<Date>> {
        let days: Option<i64> = self.row.get(self.from + at)?;
        Ok(days.and_then(from_day_number))
    }

    pub(super) fn bed(&self, at: usize) -> rusqlite::Result<Box<str>> {
        let id: i64 = self.row.get(self.from + at)?;
        self.terms.bed(id).ok_or_else(|| self.corrupt(at, "a bed without a name"))
    }

    pub(super) fn place(&self, at: usize) -> rusqlite::Result<Place> {
        Ok(Place { bed: self.bed(at)?, section: self.some_text(at + 1)? })
    }

    pub(super) fn term(&self, at: usize) -> rusqlite::Result<Box<str>> {
        let id: i64 = self.row.get(self.from + at)?;
        self.terms.term(id).ok_or_else(|| self.corrupt(at, "a term without a key"))
    }

    pub(super) fn crop(&self, at: usize) -> rusqlite::Result<CropId> {
        let id: i64 = self.row.get(self.from + at)?;
        self.terms.crop(id).map_or_else(
            || {
                let key = self.term(at)?;
                Err(self.corrupt(at, &format!("crop `{key}` is not known to this version")))
            },
            Ok,
        )
    }

    pub(super) fn choice<T: Copy>(&self, at: usize, words: &[(&str, T)]) -> rusqlite::Result<T> {
        let word = self.row.get_ref(self.from + at)?.as_str()?;
        words
            .iter()
            .find(|(known, _)| *known == word)
            .map(|(_, value)| *value)
            .ok_or_else(|| self.corrupt(at, &format!("unknown word `{word}`")))
    }

    pub(super) fn some_choice<T: Copy>(
        &self,
        at: usize,
        words: &[(&str, T)],
    ) -> rusqlite::Result<Option<T>> {
        match self.row.get_ref(self.from + at)? {
            ValueRef::Null => Ok(None),
            _ => self.choice(at, words).map(Some),
        }
    }
}
