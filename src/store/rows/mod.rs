//! The record tables: one file a kind gives the table's SQL, the values of a row and its reading,
//! in the same order, so that they cannot drift apart; a round-trip test holds them together.

mod amendment;
mod bed;
mod climate;
mod exception;
mod harvest;
mod observation;
mod planting;
mod reading;
mod site;
mod soil_test;
mod treatment;
mod values;
mod weather;
mod wish;

pub(super) use reading::Reading;
pub(super) use values::{Entry, text};

use super::terms::Terms;
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::{
    Amendment, Bed, ClimateMonth, Exception, Harvest, Observation, Planting, Record, RecordKind,
    Site, SoilTest, Treatment, WeatherDay, Wish,
};

/// Column names with their SQL types and checks.
pub(super) type Columns = &'static [(&'static str, &'static str)];

/// A record that has a table.
trait Stored: Sized {
    /// Its columns beside those that every record has.
    const SQL: Columns;
    /// The values of its row, in the order of the columns.
    fn values<'v>(
        &'v self,
        knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>>;
    /// The record of a row.
    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self>;
}

const BED: (&str, &str) = ("bed_id", "INTEGER NOT NULL REFERENCES bed_names (id)");
const SECTION: (&str, &str) = ("section", "TEXT");
const DAY: (&str, &str) = ("day", "INTEGER NOT NULL");
const CROP: (&str, &str) = ("crop_id", "INTEGER NOT NULL REFERENCES terms (id)");
const NOTE: (&str, &str) = ("note", "TEXT NOT NULL");

/// Columns of a kind's table beside those that every record has.
pub(super) fn columns(kind: RecordKind) -> Columns {
    match kind {
        RecordKind::Site => Site::SQL,
        RecordKind::Climate => ClimateMonth::SQL,
        RecordKind::Weather => WeatherDay::SQL,
        RecordKind::Beds => Bed::SQL,
        RecordKind::Plantings => Planting::SQL,
        RecordKind::Observations => Observation::SQL,
        RecordKind::Harvests => Harvest::SQL,
        RecordKind::Amendments => Amendment::SQL,
        RecordKind::SoilTests => SoilTest::SQL,
        RecordKind::Treatments => Treatment::SQL,
        RecordKind::Wishes => Wish::SQL,
        RecordKind::Exceptions => Exception::SQL,
    }
}

/// The values of a record's row, in the order of [`columns`].
pub(super) fn values<'v>(
    record: &'v Record,
    knowledge: &'v Knowledge,
    terms: &mut Terms<'_>,
) -> rusqlite::Result<Vec<Entry<'v>>> {
    match record {
        Record::Site(record) => record.values(knowledge, terms),
        Record::Climate(record) => record.values(knowledge, terms),
        Record::Weather(record) => record.values(knowledge, terms),
        Record::Bed(record) => record.values(knowledge, terms),
        Record::Planting(record) => record.values(knowledge, terms),
        Record::Observation(record) => record.values(knowledge, terms),
        Record::Harvest(record) => record.values(knowledge, terms),
        Record::Amendment(record) => record.values(knowledge, terms),
        Record::SoilTest(record) => record.values(knowledge, terms),
        Record::Treatment(record) => record.values(knowledge, terms),
        Record::Wish(record) => record.values(knowledge, terms),
        Record::Exception(record) => record.values(knowledge, terms),
    }
}

/// The record of a row.
pub(super) fn read(
    kind: RecordKind,
    reading: &Reading<'_, '_>,
    origin: Origin,
) -> rusqlite::Result<Record> {
    Ok(match kind {
        RecordKind::Site => Record::Site(Stored::read(reading, origin)?),
        RecordKind::Climate => Record::Climate(Stored::read(reading, origin)?),
        RecordKind::Weather => Record::Weather(Stored::read(reading, origin)?),
        RecordKind::Beds => Record::Bed(Stored::read(reading, origin)?),
        RecordKind::Plantings => Record::Planting(Stored::read(reading, origin)?),
        RecordKind::Observations => Record::Observation(Stored::read(reading, origin)?),
        RecordKind::Harvests => Record::Harvest(Stored::read(reading, origin)?),
        RecordKind::Amendments => Record::Amendment(Stored::read(reading, origin)?),
        RecordKind::SoilTests => Record::SoilTest(Stored::read(reading, origin)?),
        RecordKind::Treatments => Record::Treatment(Stored::read(reading, origin)?),
        RecordKind::Wishes => Record::Wish(Stored::read(reading, origin)?),
        RecordKind::Exceptions => Record::Exception(Stored::read(reading, origin)?),
    })
}

/// The day column by which a kind's rows are looked up together with the bed, if it has both.
pub(super) fn day_column(kind: RecordKind) -> Option<&'static str> {
    match kind {
        RecordKind::Plantings => Some("planted"),
        RecordKind::Observations
        | RecordKind::Harvests
        | RecordKind::Amendments
        | RecordKind::SoilTests => Some("day"),
        RecordKind::Treatments => Some("start"),
        RecordKind::Site
        | RecordKind::Climate
        | RecordKind::Weather
        | RecordKind::Beds
        | RecordKind::Wishes
        | RecordKind::Exceptions => None,
    }
}
