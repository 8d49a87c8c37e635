//! Normals by month.

use super::values::{Entry, number, real};
use super::{Columns, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::ClimateMonth;
use crate::store::terms::Terms;
use crate::units::{Celsius, Millimetres};

impl Stored for ClimateMonth {
    const SQL: Columns = &[
        ("month", "INTEGER NOT NULL CHECK (month BETWEEN 1 AND 12)"),
        ("tmin_c", "REAL NOT NULL"),
        ("tmax_c", "REAL NOT NULL"),
        ("rain_mm", "REAL CHECK (rain_mm >= 0)"),
        ("tmin_sd_c", "REAL CHECK (tmin_sd_c >= 0)"),
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        _terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            Entry::whole(i64::from(self.month)),
            number(self.tmin.0),
            number(self.tmax.0),
            real(self.rain.map(|rain| rain.0)),
            real(self.tmin_sd.map(|sd| sd.0)),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(ClimateMonth {
            month: reading.row.get(reading.from)?,
            tmin: Celsius(reading.real(1)?),
            tmax: Celsius(reading.real(2)?),
            rain: reading.some_real(3)?.map(Millimetres),
            tmin_sd: reading.some_real(4)?.map(Celsius),
            origin,
        })
    }
}
