//! Digests of what the file holds. SQLite's own checks see a broken page, not a changed value: of
//! single flipped bits they miss a third. So each import seals the rows it wrote with a sum.

use std::collections::BTreeMap;

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension, params};

use super::migrate::SHARED;
use crate::records::RecordKind;

/// A stretch of rows that no longer is what was sealed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Broken {
    pub(super) table: String,
    pub(super) first: i64,
    pub(super) last: i64,
}

/// The sum of rows that were summed up while they were written.
#[derive(Clone, Debug)]
pub(super) struct Running {
    seeds: Vec<u64>,
    summed: Summed,
}

impl Running {
    /// Nothing yet, of a table with these columns, `id` first. A name that stands in quotes, since it
    /// is a word of SQL, is the name within them.
    pub(super) fn of<'n>(columns: impl Iterator<Item = &'n str>) -> Self {
        let seeds = columns.map(|column| seed(column.trim_matches('"'))).collect();
        Self { seeds, summed: Summed::default() }
    }

    /// Adds a row: its id and its other values.
    pub(super) fn add<'v>(&mut self, id: i64, values: impl Iterator<Item = ValueRef<'v>>) {
        let first = std::iter::once(ValueRef::Integer(id));
        let all = first.chain(values);
        self.summed.add(id, self.seeds.iter().zip(all));
    }
}

/// Seals what was written since the last seal, inside the caller's transaction. `running` has the
/// sums of the tables whose rows were summed up already.
pub(super) fn seal(
    connection: &Connection,
    import_id: Option<i64>,
    running: &BTreeMap<&str, Running>,
) -> rusqlite::Result<()> {
    for table in tables() {
        let sealed = sealed_to(connection, table)?;
        let rows = match running.get(table) {
            Some(running) => running.summed,
            None => sum(connection, table, sealed + 1, i64::MAX)?,
        };
        if rows.count > 0 {
            connection.execute(
                "INSERT INTO digests (import_id, table_name, first_id, last_id, digest) \
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                params![import_id, table, sealed + 1, rows.last, rows.sum],
            )?;
        }
    }
    Ok(())
}

/// Holds every seal against the rows it stands for. Rows beyond the last seal were written by
/// another program.
pub(super) fn verify(connection: &Connection) -> rusqlite::Result<Vec<Broken>> {
    let mut broken = Vec::new();
    let mut statement = connection
        .prepare("SELECT table_name, first_id, last_id, digest FROM digests ORDER BY id")?;
    let mut seals = statement.query([])?;
    while let Some(seal) = seals.next()? {
        let (table, first, last): (String, i64, i64) = (seal.get(0)?, seal.get(1)?, seal.get(2)?);
        // A name that is none of ours is itself a changed value.
        let known = tables().any(|known| known == table);
        if !known || sum(connection, &table, first, last)?.sum != seal.get::<_, i64>(3)? {
            broken.push(Broken { table, first, last });
        }
    }
    for table in tables() {
        let sealed = sealed_to(connection, table)?;
        let beyond = sum(connection, table, sealed + 1, i64::MAX)?;
        if beyond.count > 0 {
            broken.push(Broken { table: table.to_owned(), first: sealed + 1, last: beyond.last });
        }
    }
    Ok(broken)
}

fn tables() -> impl Iterator<Item = &'static str> {
    RecordKind::ALL.into_iter().map(RecordKind::word).chain(SHARED)
}

fn sealed_to(connection: &Connection, table: &str) -> rusqlite::Result<i64> {
    let last: Option<Option<i64>> = connection
        .query_row("SELECT max(last_id) FROM digests WHERE table_name = ?1", [table], |row| {
            row.get(0)
        })
        .optional()?;
    Ok(last.flatten().unwrap_or(0))
}

#[derive(Clone, Copy, Debug, Default)]
struct Summed {
    count: u64,
    last: i64,
    sum: i64,
}

impl Summed {
    /// Adds a row: the seeds of its columns with its values.
    fn add<'s, 'v>(&mut self, id: i64, row: impl Iterator<Item = (&'s u64, ValueRef<'v>)>) {
        let hash = row.fold(0_u64, |hash, (seed, value)| hash.wrapping_add(of_value(*seed, value)));
        // The values of a row belong together: two rows that swap a value are not the same.
        let hash = mixed(hash ^ id.cast_unsigned());
        self.sum = self.sum.wrapping_add(hash.cast_signed());
        self.count += 1;
        self.last = self.last.max(id);
    }
}

fn seed(column: &str) -> u64 {
    of_bytes(1, column.as_bytes())
}

/// The sum over rows: neither their order nor that of the columns counts, and a blank counts for
/// nothing, so that a column added later leaves old seals whole.
fn sum(connection: &Connection, table: &str, first: i64, last: i64) -> rusqlite::Result<Summed> {
    // Names are read as values: those of a damaged file may be no text at all.
    let seeds: Vec<u64> = connection
        .prepare("SELECT name FROM pragma_table_info(?1) ORDER BY cid")?
        .query_map([table], |row| Ok(of_bytes(1, row.get_ref(0)?.as_bytes()?)))?
        .collect::<rusqlite::Result<_>>()?;
    let mut statement =
        connection.prepare(&format!("SELECT * FROM {table} WHERE id BETWEEN ?1 AND ?2"))?;
    let mut rows = statement.query([first, last])?;
    let mut summed = Summed::default();
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        let mut values = Vec::with_capacity(seeds.len());
        for at in 0..seeds.len() {
            values.push(row.get_ref(at)?);
        }
        summed.add(id, seeds.iter().zip(values));
    }
    Ok(summed)
}

fn of_value(seed: u64, value: ValueRef<'_>) -> u64 {
    match value {
        ValueRef::Null => 0,
        ValueRef::Integer(number) => mixed(seed ^ mixed(number.cast_unsigned())),
        ValueRef::Real(number) => mixed(seed ^ mixed(number.to_bits() ^ 1)),
        ValueRef::Text(bytes) => of_bytes(seed, bytes),
        ValueRef::Blob(bytes) => of_bytes(!seed, bytes),
    }
}

fn of_bytes(seed: u64, bytes: &[u8]) -> u64 {
    let mut hash = seed ^ bytes.len() as u64;
    let mut eights = bytes.chunks_exact(8);
    for eight in &mut eights {
        let mut word = [0; 8];
        word.copy_from_slice(eight);
        hash = mixed(hash ^ u64::from_le_bytes(word));
    }
    let mut word = [0; 8];
    word[..eights.remainder().len()].copy_from_slice(eights.remainder());
    mixed(hash ^ u64::from_le_bytes(word))
}

/// One multiply and two shifts: every bit of the input bears on the output, the same on every
/// machine and in every version.
fn mixed(word: u64) -> u64 {
    let word = (word ^ (word >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let word = (word ^ (word >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    word ^ (word >> 32)
}
