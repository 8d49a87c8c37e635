//! Weather by day.

use super::values::{Entry, day, number, real};
use super::{Columns, DAY, Reading, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::WeatherDay;
use crate::store::terms::Terms;
use crate::units::{Celsius, Millimetres};

impl Stored for WeatherDay {
    const SQL: Columns =
        &[DAY, ("tmin_c", "REAL NOT NULL"), ("tmax_c", "REAL NOT NULL"), ("rain_mm", "REAL")];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        _terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            day(self.date),
            number(self.tmin.0),
            number(self.tmax.0),
            real(self.rain.map(|rain| rain.0)),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(WeatherDay {
            date: reading.day(0)?,
            tmin: Celsius(reading.real(1)?),
            tmax: Celsius(reading.real(2)?),
            rain: reading.some_real(3)?.map(Millimetres),
            origin,
        })
    }
}
