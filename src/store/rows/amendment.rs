//! Amendments.

use super::values::{Entry, day, optional_text, real, text};
use super::{BED, Columns, DAY, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Amendment, Amount};
use crate::store::terms::Terms;
use crate::units::{Centimetres, Kilograms, Litres, Percent};

impl Stored for Amendment {
    const SQL: Columns = &[
        BED,
        SECTION,
        DAY,
        ("material_id", "INTEGER NOT NULL REFERENCES terms (id)"),
        ("mass_kg", "REAL"),
        ("volume_l", "REAL"),
        ("depth_cm", "REAL"),
        ("n_percent", "REAL"),
        ("p_percent", "REAL"),
        ("k_percent", "REAL"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        let (mass, volume, depth) = match self.amount {
            Amount::Mass(mass) => (Some(mass.0), None, None),
            Amount::Volume(volume) => (None, Some(volume.0), None),
            Amount::Depth(depth) => (None, None, Some(depth.0)),
            Amount::Unknown => (None, None, None),
        };
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            day(self.date),
            terms.term(&self.material)?,
            real(mass),
            real(volume),
            real(depth),
            real(self.n.map(|n| n.0)),
            real(self.p.map(|p| p.0)),
            real(self.k.map(|k| k.0)),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Amendment {
            place: reading.place(0)?,
            date: reading.day(2)?,
            material: reading.term(3)?,
            amount: match (reading.some_real(4)?, reading.some_real(5)?, reading.some_real(6)?) {
                (Some(mass), ..) => Amount::Mass(Kilograms(mass)),
                (_, Some(volume), _) => Amount::Volume(Litres(volume)),
                (_, _, Some(depth)) => Amount::Depth(Centimetres(depth)),
                (None, None, None) => Amount::Unknown,
            },
            n: reading.some_real(7)?.map(Percent),
            p: reading.some_real(8)?.map(Percent),
            k: reading.some_real(9)?.map(Percent),
            note: reading.text(10)?,
            origin,
        })
    }
}
