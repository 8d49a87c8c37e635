//! Harvests.

use super::values::{Entry, day, number, optional_text, text};
use super::{BED, CROP, Columns, DAY, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::Harvest;
use crate::store::terms::Terms;
use crate::units::Kilograms;

impl Stored for Harvest {
    const SQL: Columns =
        &[BED, SECTION, DAY, CROP, ("mass_kg", "REAL NOT NULL CHECK (mass_kg >= 0)"), NOTE];

    fn values<'v>(
        &'v self,
        knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            day(self.date),
            terms.crop(knowledge, self.crop)?,
            number(self.mass.0),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Harvest {
            place: reading.place(0)?,
            date: reading.day(2)?,
            crop: reading.crop(3)?,
            mass: Kilograms(reading.real(4)?),
            note: reading.text(5)?,
            origin,
        })
    }
}
