//! A garden read bed by bed, so that its size does not matter: one bed's records at a time, to
//! whichever thread asks for the next.

use std::sync::{Mutex, PoisonError};

use rusqlite::Connection;

use super::read::{join_rows, statement};
use super::terms::TermTexts;
use super::write::current_where;
use super::{Store, StoreError};
use crate::audit::Beds;
use crate::knowledge::Knowledge;
use crate::records::{Garden, RecordKind, natural_order};

/// Kinds that stand in beds, and are looked up by the bed.
const OF_BEDS: [RecordKind; 6] = [
    RecordKind::Plantings,
    RecordKind::Observations,
    RecordKind::Harvests,
    RecordKind::Amendments,
    RecordKind::SoilTests,
    RecordKind::Treatments,
];

/// Kinds that all beds share.
const SHARED: [RecordKind; 4] =
    [RecordKind::Site, RecordKind::Climate, RecordKind::Weather, RecordKind::Exceptions];

/// The beds of a garden file as they stand now. All are read in one view of the file: an import
/// that would end meanwhile waits, and gives up after five seconds as beside any other writer.
pub struct StoredBeds<'k> {
    knowledge: &'k Knowledge,
    path: std::path::PathBuf,
    terms: TermTexts,
    /// Name and record of each, in the order of the beds; names without a record of the bed, of
    /// which only plantings may be left, stand last.
    beds: Vec<(i64, Option<i64>)>,
    reading: Mutex<(Connection, usize)>,
}

impl Store {
    /// What all beds share (site, climate, weather, exceptions), and the beds one after the other.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn into_beds(self, knowledge: &Knowledge) -> Result<(Garden, StoredBeds<'_>), StoreError> {
        let Self { connection, path } = self;
        let read = || -> rusqlite::Result<_> {
            connection.execute_batch("BEGIN")?;
            // The statements for the beds stay prepared.
            connection.set_prepared_statement_cache_capacity(2 * RecordKind::ALL.len());
            let terms = TermTexts::load(&connection, knowledge)?;
            let mut shared = Garden::default();
            for kind in SHARED {
                let sql = current_where(kind, "true");
                let mut statement = connection.prepare(&sql)?;
                join_rows(kind, statement.query([])?, knowledge, &terms, &mut shared)?;
            }
            shared.sort();
            Ok((shared, beds(&connection, &terms)?, terms))
        };
        let (shared, beds, terms) = read().map_err(|error| StoreError::of(&path, error))?;
        let reading = Mutex::new((connection, 0));
        Ok((shared, StoredBeds { knowledge, path, terms, beds, reading }))
    }
}

/// Ids of the names of beds with those of their records, in natural order of the names.
fn beds(connection: &Connection, terms: &TermTexts) -> rusqlite::Result<Vec<(i64, Option<i64>)>> {
    let mut statement = connection.prepare(
        "SELECT name.id, bed.id FROM bed_names AS name LEFT JOIN \
         (SELECT record.id, record.bed_id FROM beds AS record \
          WHERE NOT EXISTS (SELECT 1 FROM beds AS later WHERE later.supersedes = record.id) \
          AND NOT EXISTS (SELECT 1 FROM withdrawals \
            WHERE kind = 'beds' AND record_id = record.id)) AS bed ON bed.bed_id = name.id",
    )?;
    let rows = statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?;
    let mut beds: Vec<(i64, Option<i64>)> = rows.collect::<rusqlite::Result<_>>()?;
    beds.sort_by(|(a, of_a), (b, of_b)| {
        let name = |id: i64| terms.bed_name(id).unwrap_or_default();
        of_a.is_none()
            .cmp(&of_b.is_none())
            .then_with(|| natural_order(name(*a), name(*b)))
            .then(of_a.cmp(of_b))
    });
    beds.shrink_to_fit();
    Ok(beds)
}

impl StoredBeds<'_> {
    fn read(
        &self,
        connection: &Connection,
        (name, bed): (i64, Option<i64>),
        part: &mut Garden,
    ) -> rusqlite::Result<()> {
        let Garden {
            beds,
            plantings,
            observations,
            harvests,
            amendments,
            soil_tests,
            treatments,
            ..
        } = part;
        beds.clear();
        plantings.clear();
        observations.clear();
        harvests.clear();
        amendments.clear();
        soil_tests.clear();
        treatments.clear();
        if let Some(bed) = bed {
            let mut statement = statement(connection, RecordKind::Beds, "record.id = ?1")?;
            let rows = statement.query([bed])?;
            join_rows(RecordKind::Beds, rows, self.knowledge, &self.terms, part)?;
        }
        for kind in OF_BEDS {
            let mut statement = statement(connection, kind, "record.bed_id = ?1")?;
            let rows = statement.query([name])?;
            join_rows(kind, rows, self.knowledge, &self.terms, part)?;
        }
        part.sort();
        Ok(())
    }
}

impl Beds for StoredBeds<'_> {
    type Error = StoreError;

    fn count(&self) -> usize {
        self.beds.len()
    }

    fn name(&self, bed: usize) -> Box<str> {
        self.beds.get(bed).and_then(|(name, _)| self.terms.bed(*name)).unwrap_or_default()
    }

    fn next(&self, part: &mut Garden) -> Result<Option<usize>, StoreError> {
        // A thread that broke off while it read left nothing half done: nothing is written.
        let mut reading = self.reading.lock().unwrap_or_else(PoisonError::into_inner);
        let (connection, next) = &mut *reading;
        let Some(bed) = self.beds.get(*next) else { return Ok(None) };
        *next += 1;
        self.read(connection, *bed, part).map_err(|error| StoreError::of(&self.path, error))?;
        Ok(Some(*next - 1))
    }
}
