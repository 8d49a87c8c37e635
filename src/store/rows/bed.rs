//! Beds.

use super::values::{Entry, number, optional_day, real, text};
use super::{BED, Columns, NOTE, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Bed, BedKind};
use crate::store::terms::Terms;
use crate::units::{Centimetres, Metres};

impl Stored for Bed {
    const SQL: Columns = &[
        BED,
        ("kind", "TEXT NOT NULL"),
        ("length_m", "REAL NOT NULL CHECK (length_m > 0)"),
        ("width_m", "REAL NOT NULL CHECK (width_m > 0)"),
        ("x_m", "REAL"),
        ("y_m", "REAL"),
        ("soil_depth_cm", "REAL"),
        ("records_from", "INTEGER"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.bed(&self.name)?,
            text(self.kind.word()),
            number(self.length.0),
            number(self.width.0),
            real(self.x.map(|x| x.0)),
            real(self.y.map(|y| y.0)),
            real(self.soil_depth.map(|depth| depth.0)),
            optional_day(self.records_from),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Bed {
            name: reading.bed(0)?,
            kind: reading.choice(
                1,
                &[
                    ("ground", BedKind::Ground),
                    ("raised", BedKind::Raised),
                    ("container", BedKind::Container),
                ],
            )?,
            length: Metres(reading.real(2)?),
            width: Metres(reading.real(3)?),
            x: reading.some_real(4)?.map(Metres),
            y: reading.some_real(5)?.map(Metres),
            soil_depth: reading.some_real(6)?.map(Centimetres),
            records_from: reading.some_day(7)?,
            note: reading.text(8)?,
            origin,
        })
    }
}
