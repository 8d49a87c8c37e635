//! Treatments.

use super::values::{Entry, day, optional_day, optional_text, text};
use super::{BED, Columns, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Practice, Treatment};
use crate::season::Interval;
use crate::store::terms::Terms;

impl Stored for Treatment {
    const SQL: Columns = &[
        BED,
        SECTION,
        ("start", "INTEGER NOT NULL"),
        ("\"end\"", "INTEGER"),
        ("practice_id", "INTEGER NOT NULL REFERENCES terms (id)"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            day(self.lasted.start),
            optional_day(self.lasted.end),
            terms.term(&self.practice.0)?,
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Treatment {
            place: reading.place(0)?,
            lasted: Interval { start: reading.day(2)?, end: reading.some_day(3)? },
            practice: Practice(reading.term(4)?),
            note: reading.text(5)?,
            origin,
        })
    }
}
