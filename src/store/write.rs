//! Writing an import: all of it or nothing.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::types::Value;
use rusqlite::{Transaction, TransactionBehavior, params_from_iter};

use super::rows::{columns, values};
use super::terms::Terms;
use super::{Store, StoreError};
use crate::knowledge::Knowledge;
use crate::records::{Record, RecordKind, Tally};
use crate::season::{Date, day_number};

/// A record already in the file.
struct Kept {
    id: i64,
    digest: i64,
    line: i64,
    file: String,
    header: String,
}

/// An import under way. Dropped without [`Importing::commit`], it leaves no trace.
pub struct Importing<'s> {
    transaction: Transaction<'s>,
    path: std::path::PathBuf,
    import_id: i64,
    known: BTreeMap<RecordKind, BTreeMap<i64, Vec<Kept>>>,
    met: BTreeMap<(RecordKind, i64), usize>,
    restated: BTreeSet<(RecordKind, i64)>,
    files: Vec<(RecordKind, String)>,
    tally: Tally,
}

impl Store {
    /// Begins an import: from here to the commit nobody else may write.
    pub fn begin_import(&mut self, today: Date, folder: &str) -> Result<Importing<'_>, StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        self.connection.pragma_update(None, "cache_size", -262_144).map_err(failed)?;
        let transaction = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(failed)?;
        transaction
            .execute(
                "INSERT INTO imports (day, folder, knowledge) VALUES (?1, ?2, ?3)",
                (day_number(today), folder, env!("CARGO_PKG_VERSION")),
            )
            .map_err(failed)?;
        let import_id = transaction.last_insert_rowid();
        Ok(Importing {
            transaction,
            path: path.clone(),
            import_id,
            known: BTreeMap::new(),
            met: BTreeMap::new(),
            restated: BTreeSet::new(),
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
    ) -> Result<(), StoreError> {
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
    ) -> rusqlite::Result<()> {
        let kind = record.kind();
        let identity = record.identity(knowledge).cast_signed();
        let mut terms = Terms::new(&self.transaction);
        let values = values(record, knowledge, &mut terms)?;
        let digest = digest(&values);
        let line = i64::from(record.origin().line);
        if !self.known.contains_key(&kind) {
            let kept = kept(&self.transaction, kind)?;
            self.known.insert(kind, kept);
        }
        let met = self.met.entry((kind, identity)).or_default();
        let nth = *met;
        *met += 1;
        let before = self.known.get(&kind).and_then(|kept| kept.get(&identity)?.get(nth));
        let mut supersedes = None;
        if let Some(before) = before {
            self.restated.insert((kind, before.id));
            if before.digest == digest {
                self.tally.unchanged += 1;
                let file = record.origin().file.as_ref();
                if before.line != line || before.file != *file || before.header != header {
                    self.transaction
                        .prepare_cached(
                            "INSERT INTO relocations (kind, record_id, file_id, line, as_written) \
                             VALUES (?1, ?2, ?3, ?4, ?5)",
                        )?
                        .execute((kind.word(), before.id, file_id, line, as_written))?;
                }
                return Ok(());
            }
            supersedes = Some(before.id);
            self.tally.corrected += 1;
        } else {
            self.tally.added += 1;
        }
        let fixed = [
            Value::Integer(file_id),
            Value::Integer(line),
            Value::Integer(identity),
            Value::Integer(digest),
            supersedes.map_or(Value::Null, Value::Integer),
            Value::Text(as_written.to_owned()),
        ];
        self.transaction
            .prepare_cached(&insert_sql(kind))?
            .execute(params_from_iter(fixed.iter().chain(values.iter())))?;
        Ok(())
    }

    /// Ends the import and keeps it. Records that stood in the files named and stand there no
    /// longer are counted; they are withdrawn if asked for, else kept.
    pub fn commit(mut self, withdraw: bool) -> Result<Tally, StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        self.find_missing(withdraw).map_err(failed)?;
        if self.tally.changes_nothing() && self.relocated().map_err(failed)? == 0 {
            // Nothing new: not even the import is worth a line.
            self.transaction.rollback().map_err(failed)?;
        } else {
            self.transaction.commit().map_err(failed)?;
        }
        Ok(self.tally)
    }

    /// What a commit would do; the import is undone.
    pub fn preview(mut self) -> Result<Tally, StoreError> {
        let path = self.path.clone();
        let failed = |error| StoreError::of(&path, error);
        self.find_missing(false).map_err(failed)?;
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
        let kinds: BTreeSet<RecordKind> = self.files.iter().map(|(kind, _)| *kind).collect();
        for kind in kinds {
            if !self.known.contains_key(&kind) {
                let kept = kept(&self.transaction, kind)?;
                self.known.insert(kind, kept);
            }
            let Some(known) = self.known.get(&kind) else {
                continue;
            };
            for kept in known.values().flatten() {
                let named = self.files.iter().any(|(of, name)| *of == kind && *name == kept.file);
                if !named || self.restated.contains(&(kind, kept.id)) {
                    continue;
                }
                self.tally.missing.push((kept.file.clone(), kept.line));
                if withdraw {
                    self.transaction.execute(
                        "INSERT INTO withdrawals (import_id, kind, record_id) VALUES (?1, ?2, ?3)",
                        (self.import_id, kind.word(), kept.id),
                    )?;
                }
            }
        }
        self.tally.missing.sort();
        self.tally.withdrawn = withdraw;
        Ok(())
    }
}

/// The SQL that names the records of a kind as they stand now, with the place they were last
/// written: `id, digest, identity, file name, header, line, as written`, then the typed columns.
pub(super) fn current_sql(kind: RecordKind) -> String {
    let table = kind.word();
    let own = listed(kind, ", record.");
    format!(
        "SELECT record.id, record.digest, record.identity, files.name, files.header, \
         coalesce(moved.line, record.line), coalesce(moved.as_written, record.as_written){own} \
         FROM {table} AS record \
         LEFT JOIN relocations AS moved ON moved.id = (SELECT max(id) FROM relocations \
           WHERE kind = '{table}' AND record_id = record.id) \
         JOIN files ON files.id = coalesce(moved.file_id, record.file_id) \
         WHERE NOT EXISTS (SELECT 1 FROM {table} AS later WHERE later.supersedes = record.id) \
         AND NOT EXISTS (SELECT 1 FROM withdrawals \
           WHERE kind = '{table}' AND record_id = record.id) \
         ORDER BY record.id"
    )
}

fn kept(
    transaction: &Transaction<'_>,
    kind: RecordKind,
) -> rusqlite::Result<BTreeMap<i64, Vec<Kept>>> {
    let mut by_identity: BTreeMap<i64, Vec<Kept>> = BTreeMap::new();
    let mut statement = transaction.prepare(&current_sql(kind))?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        by_identity.entry(row.get(2)?).or_default().push(Kept {
            id: row.get(0)?,
            digest: row.get(1)?,
            file: row.get(3)?,
            header: row.get(4)?,
            line: row.get(5)?,
        });
    }
    Ok(by_identity)
}

/// The kind's own columns, each behind a separator.
fn listed(kind: RecordKind, separator: &str) -> String {
    columns(kind).iter().flat_map(|(name, _)| [separator, name]).collect()
}

fn insert_sql(kind: RecordKind) -> String {
    let own = listed(kind, ", ");
    let marks = ", ?".repeat(columns(kind).len());
    format!(
        "INSERT INTO {} (file_id, line, identity, digest, supersedes, as_written{own}) \
         VALUES (?, ?, ?, ?, ?, ?{marks})",
        kind.word()
    )
}

/// A digest of a row's values, the same in every version: tells a changed record from a
/// repeated one.
fn digest(values: &[Value]) -> i64 {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    let mut feed = |bytes: &[u8]| {
        for &byte in bytes {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    };
    for value in values {
        match value {
            Value::Null => feed(&[0]),
            Value::Integer(number) => {
                feed(&[1]);
                feed(&number.to_le_bytes());
            }
            Value::Real(number) => {
                feed(&[2]);
                feed(&number.to_bits().to_le_bytes());
            }
            Value::Text(text) => {
                feed(&[3]);
                feed(text.as_bytes());
                feed(&[0]);
            }
            Value::Blob(blob) => feed(blob),
        }
    }
    hash.cast_signed()
}
