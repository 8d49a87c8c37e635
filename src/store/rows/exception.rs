//! Exceptions from audit rules.

use super::values::{Entry, day, text};
use super::{Columns, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::Exception;
use crate::store::terms::Terms;

impl Stored for Exception {
    const SQL: Columns = &[
        ("rule", "TEXT NOT NULL"),
        ("bed_id", "INTEGER REFERENCES bed_names (id)"),
        ("until", "INTEGER NOT NULL"),
        ("reason", "TEXT NOT NULL"),
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            text(&self.rule),
            match &self.bed {
                Some(bed) => terms.bed(bed)?,
                None => Entry::NULL,
            },
            day(self.until),
            text(&self.reason),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Exception {
            rule: reading.text(0)?,
            bed: match reading.row.get::<_, Option<i64>>(reading.from + 1)? {
                Some(_) => Some(reading.bed(1)?),
                None => None,
            },
            until: reading.day(2)?,
            reason: reading.text(3)?,
            origin,
        })
    }
}
