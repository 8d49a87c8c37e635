//! A garden read bed by bed, so that its size does not matter: the records of a few beds at a time,
//! to whichever thread asks for the next.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::ops::Range;
use std::sync::{Arc, Mutex, PoisonError};

use rusqlite::{Connection, params};

use super::read::join_rows;
use super::rows::{Reading, day_column, read};
use super::terms::TermTexts;
use super::write::{current_where, listed};
use super::{Store, StoreError};
use crate::audit::Beds;
use crate::knowledge::Knowledge;
use crate::origin::Origin;
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
    knowledge: &'k Knowledge,
    path: std::path::PathBuf,
    terms: TermTexts,
    files: BTreeMap<i64, Box<str>>,
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
            let terms = TermTexts::load(&connection, knowledge)?;
            let mut shared = Garden::default();
            for kind in SHARED {
                let sql = current_where(kind, "true");
                let mut statement = connection.prepare(&sql)?;
                join_rows(kind, statement.query([])?, knowledge, &terms, &mut shared)?;
            }
            shared.sort();
            let beds = beds(&connection, &terms)?;
            let mut sql = [const { String::new() }; OF_BEDS.len()];
            for (sql, kind) in sql.iter_mut().zip(OF_BEDS) {
                *sql = lean_sql(&connection, kind)?;
            }
            Ok((shared, terms, files(&connection)?, sql, beds))
        };
        let (shared, terms, files, sql, beds) =
            read().map_err(|error| StoreError::of(&path, error))?;
        let reading = Mutex::new((connection, 0));
        Ok((shared, StoredBeds { knowledge, path, terms, files, sql, beds, reading }))
    }
}

fn files(connection: &Connection) -> rusqlite::Result<BTreeMap<i64, Box<str>>> {
    let mut statement = connection.prepare("SELECT id, name FROM files")?;
    statement.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
}

/// Columns of [`lean_sql`] before the typed ones: id, file, line.
const LEAN: usize = 3;

/// The current records of a kind in neighbouring beds, without what they looked like when they were
/// written. What is not in the file (moved, corrected, withdrawn records) is not asked for row by row.
fn lean_sql(connection: &Connection, kind: RecordKind) -> rusqlite::Result<String> {
    let table = kind.word();
    let any = |condition: &str| -> rusqlite::Result<bool> {
        connection
            .query_row(&format!("SELECT EXISTS (SELECT 1 FROM {condition})"), [], |row| row.get(0))
    };
    let (mut join, mut only) = (String::new(), String::new());
    let (mut file, mut line) = ("record.file_id", "record.line");
    if any(&format!("relocations WHERE kind = '{table}'"))? {
        let _ = write!(
            join,
            " LEFT JOIN relocations AS moved ON moved.id = (SELECT max(id) FROM relocations \
             WHERE kind = '{table}' AND record_id = record.id)"
        );
        file = "coalesce(moved.file_id, record.file_id)";
        line = "coalesce(moved.line, record.line)";
    }
    if any(&format!("{table} WHERE supersedes IS NOT NULL"))? {
        let _ = write!(
            only,
            " AND NOT EXISTS (SELECT 1 FROM {table} AS later WHERE later.supersedes = record.id)"
        );
    }
    if any(&format!("withdrawals WHERE kind = '{table}'"))? {
        let _ = write!(
            only,
            " AND NOT EXISTS (SELECT 1 FROM withdrawals \
             WHERE kind = '{table}' AND record_id = record.id)"
        );
    }
    // The order of the index; records of beds are found by their own id.
    let (within, order) = match day_column(kind) {
        Some(day) => ("bed_id", format!("record.bed_id, record.{day}, record.id")),
        None => ("id", "record.id".to_owned()),
    };
    let own = listed(kind, ", record.");
    Ok(format!(
        "SELECT record.id, {file}, {line}{own} FROM {table} AS record{join} \
         WHERE record.{within} BETWEEN ?1 AND ?2{only} ORDER BY {order}"
    ))
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

impl StoredBeds<'_> {
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
            let mut file: Option<(i64, Arc<str>)> = None;
            while let Some(row) = rows.next()? {
                // The id of the bed is the first of the kind's own columns.
                let key: i64 = row.get(if kind == RecordKind::Beds { 0 } else { LEAN })?;
                let at = usize::try_from(key - from).unwrap_or_default();
                let reading =
                    Reading { row, from: LEAN, knowledge: self.knowledge, terms: &self.terms };
                let id: i64 = row.get(1)?;
                let (_, file) = match &mut file {
                    Some(same) if same.0 == id => same,
                    other => other.insert((id, self.files.get(&id).map_or("", |name| name).into())),
                };
                let origin = Origin { file: Arc::clone(file), line: row.get(2)? };
                let record = read(kind, &reading, origin)?;
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
        self.beds.get(bed).and_then(|bed| self.terms.bed(bed.name)).unwrap_or_default()
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
