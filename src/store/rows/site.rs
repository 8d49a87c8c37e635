//! The site.

use super::values::{Entry, number, real, text};
use super::{Columns, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{FrostDay, Site};
use crate::store::terms::Terms;
use crate::units::Metres;

impl Stored for Site {
    const SQL: Columns = &[
        ("name", "TEXT NOT NULL"),
        ("latitude", "REAL NOT NULL CHECK (latitude BETWEEN -90 AND 90)"),
        ("longitude", "REAL NOT NULL CHECK (longitude BETWEEN -180 AND 180)"),
        ("elevation_m", "REAL"),
        ("last_frost", "TEXT"),
        ("first_frost", "TEXT"),
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        _terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            text(&self.name),
            number(self.latitude),
            number(self.longitude),
            real(self.elevation.map(|height| height.0)),
            frost(self.last_frost),
            frost(self.first_frost),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(Site {
            name: reading.text(0)?,
            latitude: reading.real(1)?,
            longitude: reading.real(2)?,
            elevation: reading.some_real(3)?.map(Metres),
            last_frost: frost_day(reading, 4)?,
            first_frost: frost_day(reading, 5)?,
            origin,
        })
    }
}

fn frost(value: FrostDay) -> Entry<'static> {
    match value {
        FrostDay::Unknown => Entry::NULL,
        FrostDay::NoneInMostYears => text("none"),
        FrostDay::On(month, day) => Entry::Text(format!("{month:02}-{day:02}")),
    }
}

fn frost_day(reading: &Reading<'_, '_>, at: usize) -> rusqlite::Result<FrostDay> {
    Ok(match reading.some_text(at)?.as_deref() {
        None => FrostDay::Unknown,
        Some("none") => FrostDay::NoneInMostYears,
        Some(written) => written
            .split_once('-')
            .and_then(|(month, day)| Some(FrostDay::On(month.parse().ok()?, day.parse().ok()?)))
            .ok_or_else(|| reading.corrupt(at, "not a month and day"))?,
    })
}
