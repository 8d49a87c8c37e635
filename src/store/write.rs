//! Writing an import: all of it or nothing.

use std::collections::BTreeMap;

use rusqlite::types::ValueRef;
use rusqlite::{Connection, Statement, Transaction, TransactionBehavior};

use super::batch::Batch;
use super::rows::{Entry, columns, day_column, text, values};
use super::terms::Terms;
use super::{Store, StoreError, digest as seals};
use crate::knowledge::Knowledge;
use crate::records::{Fnv, Record, RecordKind, Tally};
use crate::season::{Date, day_number};

/// Most memory that SQLite may take for pages of the file during an import.
const CACHE_KIB: i64 = 32_768;

/// A record already in the file.
struct Kept {
    id: i64,
    digest: i64,
    line: i64,
    file: String,
    header: String,
    as_written: String,
}

/// What became of a record handed in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Written {
    /// It is in the file, now or since an earlier import.
    Kept,
    /// The same row was handed in before within this import: where.
    Twice(String),
}

/// What an import has at hand for one kind of record.
struct Table<'s> {
    /// Newest record before this import.
    last: i64,
    /// A bit for each of those that the import restated: all that is kept in memory of them.
    restated: Vec<u64>,
    by_identity: Statement<'s>,
    /// Which of the values is the day by which records of this kind are looked up, with the bed,
    /// which is the first.
    day: Option<usize>,
    rows: Batch<'s>,
    sum: seals::Running,
}

/// Identities that may be in a table: those it does not know are surely not, so that most new rows
/// need no look at the index. Of fixed size, whatever the number of rows.
///
/// To fetch a place of memory is most of what the question costs. Rows mostly stand bed by bed or
/// day by day, so the identities of a year of a bed share one stretch of words.
struct Filter(Vec<u64>);

impl Filter {
    /// Three bits an identity of 2^25: with a million rows some two in a thousand are looked up in
    /// vain.
    const WORDS: usize = 1 << 19;

    /// Words fetched together.
    const STRETCH: usize = 8;

    /// Days, as a power of two, that share a stretch: a year and a half.
    const DAYS: u32 = 9;

    /// The word and the bits of an identity, and the day by which rows are looked up, with the
    /// bed, if they are.
    fn place(identity: i64, at: Option<(i64, i64)>) -> (usize, u64) {
        // Identities are digests, so that any of their bits will do.
        let identity = identity.cast_unsigned();
        let stretch = match at {
            Some((bed, day)) => {
                let group = bed.cast_unsigned().wrapping_mul(0x9e37_79b9_7f4a_7c15)
                    ^ (day >> Self::DAYS).cast_unsigned().wrapping_mul(0xbf58_476d_1ce4_e5b9);
                group.wrapping_mul(0x94d0_49bb_1331_11eb) >> 32
            }
            None => identity >> 32,
        };
        let stretch = usize::try_from(stretch).unwrap_or(0) % (Self::WORDS / Self::STRETCH);
        let within = usize::try_from(identity & 0x1f_ffff).unwrap_or(0) % Self::STRETCH;
        let bit = |shift: u32| 1_u64 << ((identity >> shift) & 63);
        (stretch * Self::STRETCH + within, bit(3) | bit(9) | bit(15))
    }

    /// Of the identities in the table of a kind.
    fn of(connection: &Connection, kind: RecordKind) -> rusqlite::Result<Self> {
        let mut met = Self(vec![0; Self::WORDS]);
        let found_by = day_column(kind).map_or(String::new(), |day| format!(", bed_id, {day}"));
        let mut statement =
            connection.prepare(&format!("SELECT identity{found_by} FROM {}", kind.word()))?;
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let at = if found_by.is_empty() { None } else { Some((row.get(1)?, row.get(2)?)) };
            met.meets(row.get(0)?, at);
        }
        Ok(met)
    }

    /// Adds an identity; whether it may have been there.
    fn meets(&mut self, identity: i64, at: Option<(i64, i64)>) -> bool {
        let (word, bits) = Self::place(identity, at);
        let before = self.0[word];
        self.0[word] = before | bits;
        before & bits == bits
    }
}

impl Table<'_> {
    fn is_restated(&self, id: i64) -> bool {
        let (word, bit) = place_of_bit(id);
        self.restated.get(word).is_some_and(|bits| bits & bit != 0)
    }

    fn restate(&mut self, id: i64) {
        let (word, bit) = place_of_bit(id);
        if self.restated.len() <= word {
            self.restated.resize(word + 1, 0);
        }
        self.restated[word] |= bit;
    }
}

fn place_of_bit(id: i64) -> (usize, u64) {
    let id = usize::try_from(id).unwrap_or(0);
    (id / 64, 1 << (id % 64))
}

/// An import under way. Dropped without [`Importing::commit`], it leaves no trace. It keeps one
/// bit a record in memory, whatever the size of the files; the rest stays with SQLite.
pub struct Importing<'s> {
    connection: &'s Connection,
    tables: BTreeMap<RecordKind, Table<'s>>,
    /// Identities of the kind under way: files are handed in kind by kind, and should one come again
    /// its filter is filled anew.
    met: Option<(RecordKind, Filter)>,
    terms: Terms<'s>,
    transaction: Transaction<'s>,
    path: std::path::PathBuf,
    import_id: i64,
    files: Vec<(RecordKind, String)>,
    tally: Tally,
}

impl Store {
    /// Begins an import: from here to the commit nobody else may write.
    pub fn begin_import(&mut self, today: Date, folder: &str) -> Result<Importing<'_>, StoreError> {
        self.must_be_sound()?;
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        // Rows go in at the ends of their trees, so that a cache of this size serves as well as one
        // of the whole file.
        self.connection.pragma_update(None, "cache_size", -CACHE_KIB).map_err(failed)?;
        // The names, terms, files and records that rows refer to were read or written within this
        // very import, by [`Terms`] and [`Importing`]: to look each of them up again for every row
        // would cost a sixth of it. `doctor` holds the references against the tables.
        self.connection.pragma_update(None, "foreign_keys", false).map_err(failed)?;
        // Nothing else uses the connection while the import borrows the store.
        let connection = &self.connection;
        let transaction = Transaction::new_unchecked(connection, TransactionBehavior::Immediate)
            .map_err(failed)?;
        transaction
            .execute(
                "INSERT INTO imports (day, folder, knowledge) VALUES (?1, ?2, ?3)",
                (day_number(today), folder, env!("CARGO_PKG_VERSION")),
            )
            .map_err(failed)?;
        let import_id = transaction.last_insert_rowid();
        Ok(Importing {
            connection,
            tables: BTreeMap::new(),
            met: None,
            terms: Terms::new(connection),
            transaction,
            path: path.clone(),
            import_id,
            files: Vec::new(),
            tally: Tally::default(),
        })
    }
}

impl Importing<'_> {
    fn failed(&self, error: rusqlite::Error) -> StoreError {
        StoreError::of(&self.path, error)
    }

    /// Names of the beds in the file, as known before this import.
    pub fn beds(&self) -> Result<Vec<Box<str>>, StoreError> {
        let read = || -> rusqlite::Result<Vec<Box<str>>> {
            self.transaction
                .prepare("SELECT name FROM bed_names ORDER BY id")?
                .query_map([], |row| row.get(0))?
                .collect()
        };
        read().map_err(|error| self.failed(error))
    }

    /// Notes a file and its header; the rows that follow belong to it.
    pub fn begin_file(
        &mut self,
        kind: RecordKind,
        name: &str,
        header: &str,
    ) -> Result<i64, StoreError> {
        self.transaction
            .execute(
                "INSERT INTO files (import_id, name, kind, header) VALUES (?1, ?2, ?3, ?4)",
                (self.import_id, name, kind.word(), header),
            )
            .map_err(|error| self.failed(error))?;
        let id = self.transaction.last_insert_rowid();
        self.files.push((kind, name.to_owned()));
        Ok(id)
    }

    /// Writes one record of a file, unless it is there already.
    pub fn write(
        &mut self,
        knowledge: &Knowledge,
        record: &Record,
        file_id: i64,
        header: &str,
        as_written: &str,
    ) -> Result<Written, StoreError> {
        self.write_row(knowledge, record, file_id, header, as_written)
            .map_err(|error| StoreError::of(&self.path, error))
    }

    fn write_row(
        &mut self,
        knowledge: &Knowledge,
        record: &Record,
        file_id: i64,
        header: &str,
        as_written: &str,
    ) -> rusqlite::Result<Written> {
        let kind = record.kind();
        let connection = self.connection;
        let table = match self.tables.entry(kind) {
            std::collections::btree_map::Entry::Occupied(known) => known.into_mut(),
            std::collections::btree_map::Entry::Vacant(new) => new.insert(begun(connection, kind)?),
        };
        let met = match &mut self.met {
            Some((of, met)) if *of == kind => met,
            other => {
                // What is filled anew takes the memory of what was.
                *other = None;
                table.rows.flush()?;
                &mut other.insert((kind, Filter::of(connection, kind)?)).1
            }
        };
        let identity = record.identity(knowledge).cast_signed();
        let values = values(record, knowledge, &mut self.terms)?;
        let is_met = met.meets(identity, bed_and_day(table.day, &values));
        let digest = digest(kind, values.iter().map(Entry::value));
        let line = i64::from(record.origin().line);
        let kept = if is_met { kept(table, identity, &values)? } else { Vec::new() };
        let repeated = |kept: &&Kept| {
            kept.as_written == as_written && (kept.id > table.last || table.is_restated(kept.id))
        };
        if let Some(first) = kept.iter().find(repeated) {
            return Ok(Written::Twice(format!("{}:{}", first.file, first.line)));
        }
        // Where several records are one by identity, an equal one is restated before another is
        // corrected, so that the order of rows does not matter.
        let open = |kept: &&Kept| kept.id <= table.last && !table.is_restated(kept.id);
        let before = kept
            .iter()
            .filter(open)
            .find(|kept| kept.digest == digest)
            .or_else(|| kept.iter().find(open));
        let mut supersedes = None;
        if let Some(before) = before {
            table.restate(before.id);
            if before.digest == digest {
                self.tally.unchanged += 1;
                let moved = before.line != line
                    || before.file != *record.origin().file
                    || before.header != header
                    || before.as_written != as_written;
                if moved {
                    connection
                        .prepare_cached(
                            "INSERT INTO relocations (kind, record_id, file_id, line, as_written) \
                             VALUES (?1, ?2, ?3, ?4, ?5)",
                        )?
                        .execute((kind.word(), before.id, file_id, line, as_written))?;
                }
                return Ok(Written::Kept);
            }
            supersedes = Some(before.id);
            self.tally.corrected += 1;
        } else {
            self.tally.added += 1;
        }
        let fixed = [
            Entry::whole(file_id),
            Entry::whole(line),
            Entry::whole(identity),
            Entry::whole(digest),
            supersedes.map_or(Entry::NULL, Entry::whole),
            text(as_written),
        ];
        let all = || fixed.iter().chain(&values).map(Entry::value);
        let id = table.rows.push(all())?;
        table.sum.add(id, all());
        Ok(Written::Kept)
    }

    /// Ends the import and keeps it. Records that stood in the files named and stand there no
    /// longer are counted; they are withdrawn if asked for, else kept.
    pub fn commit(mut self, withdraw: bool) -> Result<Tally, StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        self.find_missing(withdraw).map_err(failed)?;
        // Statements that stand open would hold up the commit.
        let sums = std::mem::take(&mut self.tables)
            .into_iter()
            .map(|(kind, table)| (kind.word(), table.sum))
            .collect();
        if self.tally.changes_nothing() && self.relocated().map_err(failed)? == 0 {
            // Nothing new: not even the import is worth a line.
            self.transaction.rollback().map_err(failed)?;
        } else {
            seals::seal(self.connection, Some(self.import_id), &sums).map_err(failed)?;
            self.transaction.commit().map_err(failed)?;
        }
        Ok(self.tally)
    }

    /// What a commit would do; the import is undone.
    pub fn preview(mut self) -> Result<Tally, StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        self.find_missing(false).map_err(failed)?;
        self.tables.clear();
        self.transaction.rollback().map_err(failed)?;
        Ok(self.tally)
    }

    fn relocated(&self) -> rusqlite::Result<i64> {
        self.transaction.query_row(
            "SELECT count(*) FROM relocations JOIN files ON files.id = relocations.file_id \
             WHERE files.import_id = ?1",
            [self.import_id],
            |row| row.get(0),
        )
    }

    fn find_missing(&mut self, withdraw: bool) -> rusqlite::Result<()> {
        for table in self.tables.values_mut() {
            table.rows.flush()?;
        }
        let mut kinds: Vec<RecordKind> = self.files.iter().map(|(kind, _)| *kind).collect();
        kinds.sort();
        kinds.dedup();
        for kind in kinds {
            // A file without a row may stand for records that are gone.
            if !self.tables.contains_key(&kind) {
                let table = begun(self.connection, kind)?;
                self.tables.insert(kind, table);
            }
            let Some(table) = self.tables.get(&kind).filter(|table| table.last > 0) else {
                continue;
            };
            let mut statement = self.connection.prepare(&current_sql(kind))?;
            let mut rows = statement.query([])?;
            while let Some(row) = rows.next()? {
                let (id, file): (i64, String) = (row.get(0)?, row.get(3)?);
                let named = self.files.iter().any(|(of, name)| *of == kind && *name == file);
                if !named || id > table.last || table.is_restated(id) {
                    continue;
                }
                self.tally.missing.push((file, row.get(5)?));
                if withdraw {
                    self.connection
                        .prepare_cached(
                            "INSERT INTO withdrawals (import_id, kind, record_id) \
                             VALUES (?1, ?2, ?3)",
                        )?
                        .execute((self.import_id, kind.word(), id))?;
                }
            }
        }
        self.tally.missing.sort();
        self.tally.withdrawn = withdraw;
        Ok(())
    }
}

fn begun(connection: &Connection, kind: RecordKind) -> rusqlite::Result<Table<'_>> {
    let last: Option<i64> =
        connection
            .query_row(&format!("SELECT max(id) FROM {}", kind.word()), [], |row| row.get(0))?;
    let last = last.unwrap_or(0);
    let all: Vec<&str> =
        FIXED.into_iter().chain(columns(kind).iter().map(|(name, _)| *name)).collect();
    let day =
        day_column(kind).and_then(|day| columns(kind).iter().position(|(name, _)| *name == day));
    let same = match day_column(kind) {
        Some(day) => format!("record.identity = ?1 AND record.bed_id = ?2 AND record.{day} = ?3"),
        None => "record.identity = ?1".to_owned(),
    };
    Ok(Table {
        day,
        last,
        restated: Vec::new(),
        sum: seals::Running::of(["id"].iter().chain(&all).copied()),
        by_identity: connection.prepare(&current_where(kind, &same))?,
        rows: Batch::new(connection, kind.word(), all, last)?,
    })
}

/// The numbers of a row's bed and day, if its kind is looked up by them.
fn bed_and_day(day: Option<usize>, values: &[Entry<'_>]) -> Option<(i64, i64)> {
    match (values.first()?.value(), values.get(day?)?.value()) {
        (ValueRef::Integer(bed), ValueRef::Integer(day)) => Some((bed, day)),
        _ => None,
    }
}

/// The records that stand now and are the same record as one of this identity.
fn kept(table: &mut Table<'_>, identity: i64, values: &[Entry<'_>]) -> rusqlite::Result<Vec<Kept>> {
    let mut found = Vec::new();
    table.rows.flush()?;
    let sought = &mut table.by_identity;
    let mut rows = match table.day {
        Some(day) => sought.query((identity, &values[0], &values[day]))?,
        None => sought.query([identity])?,
    };
    while let Some(row) = rows.next()? {
        found.push(Kept {
            id: row.get(0)?,
            digest: row.get(1)?,
            file: row.get(3)?,
            header: row.get(4)?,
            line: row.get(5)?,
            as_written: row.get(6)?,
        });
    }
    Ok(found)
}

/// The SQL that names the records of a kind as they stand now, with the place they were last
/// written: `id, digest, identity, file name, header, line, as written`, then the typed columns.
pub(super) fn current_sql(kind: RecordKind) -> String {
    current_where(kind, "true")
}

/// The same of those for which a condition holds.
pub(super) fn current_where(kind: RecordKind, condition: &str) -> String {
    let table = kind.word();
    let own = listed(kind, ", record.");
    format!(
        "SELECT record.id, record.digest, record.identity, files.name, files.header, \
         coalesce(moved.line, record.line), coalesce(moved.as_written, record.as_written){own} \
         FROM {table} AS record \
         LEFT JOIN relocations AS moved ON moved.id = (SELECT max(id) FROM relocations \
           WHERE kind = '{table}' AND record_id = record.id) \
         JOIN files ON files.id = coalesce(moved.file_id, record.file_id) \
         WHERE {condition} AND NOT EXISTS (SELECT 1 FROM {table} AS later WHERE later.supersedes = record.id) \
         AND NOT EXISTS (SELECT 1 FROM withdrawals \
           WHERE kind = '{table}' AND record_id = record.id) \
         ORDER BY record.id"
    )
}

/// The kind's own columns, each behind a separator.
pub(super) fn listed(kind: RecordKind, separator: &str) -> String {
    columns(kind).iter().flat_map(|(name, _)| [separator, name]).collect()
}

/// Columns that every record has, beside its id.
const FIXED: [&str; 6] = ["file_id", "line", "identity", "digest", "supersedes", "as_written"];

/// Columns that a kind had in the first format.
fn first_columns(kind: RecordKind) -> usize {
    match kind {
        RecordKind::Weather | RecordKind::Exceptions => 4,
        RecordKind::Climate | RecordKind::Wishes => 5,
        RecordKind::Site | RecordKind::Harvests | RecordKind::Treatments => 6,
        RecordKind::Beds => 9,
        RecordKind::Observations | RecordKind::SoilTests => 10,
        RecordKind::Amendments => 11,
        RecordKind::Plantings => 15,
    }
}

/// A digest of a row's values, the same in every version: tells a changed record from a
/// repeated one. Blank cells of columns that came later count for nothing, so that a record
/// written before them keeps its digest; such columns stand after those of the first format.
pub(super) fn digest<'v>(kind: RecordKind, values: impl Iterator<Item = ValueRef<'v>>) -> i64 {
    let mut hash = Fnv::new();
    let first = first_columns(kind);
    for (at, value) in values.enumerate() {
        match value {
            ValueRef::Null if at >= first => {}
            _ if at >= first => hash.number(i64::try_from(at).unwrap_or(0)),
            _ => {}
        }
        match value {
            ValueRef::Null if at >= first => {}
            ValueRef::Null => hash.bytes(&[0]),
            ValueRef::Integer(number) => {
                hash.bytes(&[1]);
                hash.number(number);
            }
            ValueRef::Real(number) => {
                hash.bytes(&[2]);
                hash.number(number.to_bits().cast_signed());
            }
            ValueRef::Text(text) => {
                hash.bytes(&[3]);
                hash.bytes(text);
                hash.bytes(&[0]);
            }
            ValueRef::Blob(blob) => hash.bytes(blob),
        }
    }
    hash.0.cast_signed()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_filter_knows_what_it_met_and_little_else() {
        let mut filter = Filter(vec![0; Filter::WORDS]);
        let rows = |from: i64| {
            (from..from + 40_000).map(|at| {
                let mut hash = Fnv::new();
                hash.number(at);
                (hash.0.cast_signed(), Some((at / 10, 15_000 + at % 10 * 190)))
            })
        };
        let in_vain = rows(0).filter(|(identity, at)| filter.meets(*identity, *at)).count();
        assert!(in_vain < 200, "{in_vain} of 40,000");
        assert!(rows(0).all(|(identity, at)| filter.meets(identity, at)));
        let strangers = rows(1_000_000).filter(|(identity, at)| filter.meets(*identity, *at));
        assert!(strangers.count() < 200);
    }
}
