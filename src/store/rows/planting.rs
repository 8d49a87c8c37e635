//! Plantings.

use super::values::{Entry, day, optional_day, optional_text, real, text};
use super::{BED, CROP, Columns, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{Method, Planting, Residue};
use crate::season::Interval;
use crate::store::terms::Terms;
use crate::units::{Centimetres, SquareMetres};

impl Stored for Planting {
    const SQL: Columns = &[
        BED,
        SECTION,
        CROP,
        ("variety", "TEXT NOT NULL"),
        ("rootstock", "TEXT NOT NULL"),
        ("resistance", "TEXT NOT NULL"),
        ("method", "TEXT"),
        ("planted", "INTEGER NOT NULL"),
        ("removed", "INTEGER CHECK (removed >= planted)"),
        ("plants", "INTEGER CHECK (plants > 0)"),
        ("area_m2", "REAL CHECK (area_m2 > 0)"),
        ("row_spacing_cm", "REAL"),
        ("plant_spacing_cm", "REAL"),
        ("residue", "TEXT"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            terms.crop(knowledge, self.crop)?,
            text(&self.variety),
            text(&self.rootstock),
            text(&self.resistance),
            optional_text(self.method.map(Method::word)),
            day(self.stood.start),
            optional_day(self.stood.end),
            self.plants.map_or(Entry::NULL, Entry::whole),
            real(self.area.map(|area| area.0)),
            real(self.row_spacing.map(|spacing| spacing.0)),
            real(self.plant_spacing.map(|spacing| spacing.0)),
            optional_text(self.residue.map(Residue::word)),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Planting {
            place: reading.place(0)?,
            crop: reading.crop(2)?,
            variety: reading.text(3)?,
            rootstock: reading.text(4)?,
            resistance: reading.text(5)?,
            method: reading.some_choice(6, METHODS)?,
            stood: Interval { start: reading.day(7)?, end: reading.some_day(8)? },
            plants: reading.row.get(reading.from + 9)?,
            area: reading.some_real(10)?.map(SquareMetres),
            row_spacing: reading.some_real(11)?.map(Centimetres),
            plant_spacing: reading.some_real(12)?.map(Centimetres),
            residue: reading.some_choice(13, RESIDUES)?,
            note: reading.text(14)?,
            origin,
        })
    }
}

const METHODS: &[(&str, Method)] = &[
    ("sown", Method::Sown),
    ("transplanted", Method::Transplanted),
    ("volunteer", Method::Volunteer),
];
const RESIDUES: &[(&str, Residue)] = &[
    ("removed", Residue::Removed),
    ("composted", Residue::Composted),
    ("left", Residue::Left),
    ("dug_in", Residue::DugIn),
];
