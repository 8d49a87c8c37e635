//! A garden read bed by bed, so that its size does not matter: the records of a few beds at a time,
//! to whichever thread asks for the next.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::{Mutex, PoisonError};

use rusqlite::{Connection, params};

use super::lean::{LEAN, Lean};
use super::read::Texts;
use super::rows::day_column;
use super::terms::TermTexts;
use super::{Store, StoreError};
use crate::audit::Beds;
use crate::knowledge::{CropId, Knowledge};
use crate::records::{Garden, RecordKind, natural_order};

/// Kinds that stand in beds.
const OF_BEDS: [RecordKind; 7] = [
    RecordKind::Beds,
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
    path: std::path::PathBuf,
    texts: Texts<'k>,
    /// The statements for the kinds of [`OF_BEDS`].
    sql: [String; OF_BEDS.len()],
    /// Those in the order of the beds; names without a record of the bed, of which only plantings
    /// may be left, stand last.
    beds: Vec<StoredBed>,
    reading: Mutex<(Connection, usize)>,
}

/// Ids of a bed's name and of its record.
#[derive(Clone, Copy)]
struct StoredBed {
    name: i64,
    record: Option<i64>,
}

impl StoredBed {
    /// Whether another follows in the file too.
    fn precedes(self, next: Self) -> bool {
        let record_follows = match (self.record, next.record) {
            (Some(own), Some(next)) => own + 1 == next,
            (None, None) => true,
            (Some(_), None) | (None, Some(_)) => false,
        };
        record_follows && self.name + 1 == next.name
    }
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
            let texts = Texts::load(&connection, knowledge)?;
            let mut shared = Garden::default();
            texts.join_all(&connection, SHARED, &mut shared)?;
            shared.sort();
            let beds = beds(&connection, &texts.terms)?;
            let mut sql = [const { String::new() }; OF_BEDS.len()];
            for (sql, kind) in sql.iter_mut().zip(OF_BEDS) {
                *sql = lean_sql(&connection, kind)?;
            }
            Ok((shared, texts, sql, beds))
        };
        let (shared, texts, sql, beds) = read().map_err(|error| StoreError::of(&path, error))?;
        let reading = Mutex::new((connection, 0));
        Ok((shared, StoredBeds { path, texts, sql, beds, reading }))
    }
}

/// The current records of a kind in neighbouring beds.
fn lean_sql(connection: &Connection, kind: RecordKind) -> rusqlite::Result<String> {
    // The order of the index; records of beds are found by their own id.
    let (within, order) = match day_column(kind) {
        Some(day) => ("bed_id", format!("record.bed_id, record.{day}, record.id")),
        None => ("id", "record.id".to_owned()),
    };
    let condition = format!("record.{within} BETWEEN ?1 AND ?2");
    Ok(Lean::of(connection, kind)?.sql(&condition, &order))
}

/// Ids of the names of beds with those of their records, in natural order of the names.
fn beds(connection: &Connection, terms: &TermTexts) -> rusqlite::Result<Vec<StoredBed>> {
    let mut statement = connection.prepare(
        "SELECT name.id, bed.id FROM bed_names AS name LEFT JOIN \
         (SELECT record.id, record.bed_id FROM beds AS record \
          WHERE NOT EXISTS (SELECT 1 FROM beds AS later WHERE later.supersedes = record.id) \
          AND NOT EXISTS (SELECT 1 FROM withdrawals \
            WHERE kind = 'beds' AND record_id = record.id)) AS bed ON bed.bed_id = name.id",
    )?;
    let rows =
        statement.query_map([], |row| Ok(StoredBed { name: row.get(0)?, record: row.get(1)? }))?;
    let mut beds: Vec<StoredBed> = rows.collect::<rusqlite::Result<_>>()?;
    beds.sort_by(|a, b| {
        let name = |bed: &StoredBed| terms.bed_name(bed.name).unwrap_or_default();
        a.record
            .is_none()
            .cmp(&b.record.is_none())
            .then_with(|| natural_order(name(a), name(b)))
            .then(a.record.cmp(&b.record))
    });
    beds.shrink_to_fit();
    Ok(beds)
}

/// A garden as one bed sees it.
#[derive(Debug)]
pub struct OneBed {
    /// The bed's own records, and what all beds share: site, climate, weather, wishes, exceptions.
    pub garden: Garden,
    /// The crops grown in any bed, whatever came by itself left out.
    pub grown: BTreeSet<CropId>,
}

impl Store {
    /// The garden as one bed sees it: the first of some names that a bed has, capitals or not;
    /// `None` if no bed has any of them. A question about one bed has the same answer from these
    /// records as from those of the whole garden, and costs no reading of the other beds.
    ///
    /// # Errors
    /// If the file cannot be read.
    pub fn into_one_bed(
        self,
        knowledge: &Knowledge,
        names: &[&str],
    ) -> Result<Option<OneBed>, StoreError> {
        let (mut garden, beds) = self.into_beds(knowledge)?;
        let found = names.iter().find_map(|name| beds.find(name));
        found
            .map(|bed| {
                let reading = beds.reading.lock().unwrap_or_else(PoisonError::into_inner);
                let connection = &reading.0;
                let mut read = || -> rusqlite::Result<_> {
                    beds.texts.join_all(connection, [RecordKind::Wishes], &mut garden)?;
                    garden.sort();
                    beds.read(connection, &[bed], std::slice::from_mut(&mut garden))?;
                    grown_crops(connection, knowledge)
                };
                let grown = read().map_err(|error| StoreError::of(&beds.path, error))?;
                Ok(OneBed { garden, grown })
            })
            .transpose()
    }
}

fn grown_crops(
    connection: &Connection,
    knowledge: &Knowledge,
) -> rusqlite::Result<BTreeSet<CropId>> {
    let current = Lean::of(connection, RecordKind::Plantings)?.is_current;
    let mut statement = connection.prepare(&format!(
        "SELECT key FROM terms WHERE id IN (SELECT crop_id FROM plantings AS record \
         WHERE method IS NOT 'volunteer' AND {current})"
    ))?;
    let keys = statement.query_map([], |row| row.get::<_, Box<str>>(0))?;
    keys.filter_map(|key| key.map(|key| knowledge.crops.find(&key)).transpose()).collect()
}

impl StoredBeds<'_> {
    /// The bed of a name, as [`Garden::bed`] finds it.
    fn find(&self, name: &str) -> Option<StoredBed> {
        let is_called = |bed: &&StoredBed| {
            let known = self.texts.terms.bed_name(bed.name);
            bed.record.is_some() && known.is_some_and(|known| known.eq_ignore_ascii_case(name))
        };
        self.beds.iter().find(is_called).copied()
    }

    /// Reads beds that stand side by side in the file too, each into a part of its own.
    fn read(
        &self,
        connection: &Connection,
        beds: &[StoredBed],
        parts: &mut [Garden],
    ) -> rusqlite::Result<()> {
        let (Some(first), Some(last)) = (beds.first(), beds.last()) else { return Ok(()) };
        for (kind, sql) in OF_BEDS.into_iter().zip(&self.sql) {
            let (from, to) = if kind == RecordKind::Beds {
                let (Some(from), Some(to)) = (first.record, last.record) else { continue };
                (from, to)
            } else {
                (first.name, last.name)
            };
            let mut statement = connection.prepare_cached(sql)?;
            let mut rows = statement.query(params![from, to])?;
            // Origins of these rows share a copy of the name that other threads do not count.
            let mut file = None;
            while let Some(row) = rows.next()? {
                // The id of the bed is the first of the kind's own columns.
                let key: i64 = row.get(if kind == RecordKind::Beds { 0 } else { LEAN })?;
                let at = usize::try_from(key - from).unwrap_or_default();
                let record = self.texts.record(kind, row, &mut file)?;
                if let Some(part) = parts.get_mut(at) {
                    record.join(part);
                }
            }
        }
        for part in parts {
            part.sort();
        }
        Ok(())
    }
}

impl Beds for StoredBeds<'_> {
    type Error = StoreError;

    fn count(&self) -> usize {
        self.beds.len()
    }

    fn name(&self, bed: usize) -> Box<str> {
        self.beds.get(bed).and_then(|bed| self.texts.terms.bed(bed.name)).unwrap_or_default()
    }

    fn next(&self, parts: &mut [Garden]) -> Result<Range<usize>, StoreError> {
        parts.iter_mut().for_each(Garden::clear_beds);
        // A thread that broke off while it read left nothing half done: nothing is written.
        let mut reading = self.reading.lock().unwrap_or_else(PoisonError::into_inner);
        let (connection, next) = &mut *reading;
        let taken = *next..(*next + parts.len()).min(self.beds.len());
        *next = taken.end;
        let mut parts = parts;
        for run in self.beds[taken.clone()].chunk_by(|bed, next| bed.precedes(*next)) {
            let (of_run, rest) = parts.split_at_mut(run.len());
            self.read(connection, run, of_run)
                .map_err(|error| StoreError::of(&self.path, error))?;
            parts = rest;
        }
        Ok(taken)
    }
}
