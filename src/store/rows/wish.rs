//! Wishes.

use super::values::{Entry, real, text};
use super::{CROP, Columns, NOTE, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Season, Wish};
use crate::store::terms::Terms;
use crate::units::{Kilograms, SquareMetres};

impl Stored for Wish {
    const SQL: Columns =
        &[CROP, ("mass_kg", "REAL"), ("area_m2", "REAL"), ("month", "TEXT NOT NULL"), NOTE];

    fn values<'v>(
        &'v self,
        knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.crop(knowledge, self.crop)?,
            real(self.mass.map(|mass| mass.0)),
            real(self.area.map(|area| area.0)),
            Entry::Text(self.season.word()),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Wish {
            crop: reading.crop(0)?,
            mass: reading.some_real(1)?.map(Kilograms),
            area: reading.some_real(2)?.map(SquareMetres),
            season: season(reading, 3)?,
            note: reading.text(4)?,
            origin,
        })
    }
}

fn season(reading: &Reading<'_, '_>, at: usize) -> rusqlite::Result<Season> {
    let word = reading.text(at)?;
    Ok(match &*word {
        "" => Season::Any,
        "spring" => Season::Spring,
        "summer" => Season::Summer,
        "autumn" => Season::Autumn,
        "winter" => Season::Winter,
        month => Season::Month(month.parse().map_err(|_| reading.corrupt(at, "not a month"))?),
    })
}
