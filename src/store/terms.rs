//! Names and keys that many rows share, each kept once.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension};

use super::rows::Entry;
use crate::knowledge::{CropId, Knowledge};

/// Turns names into ids while rows are written.
pub(super) struct Terms<'c> {
    connection: &'c Connection,
    beds: BTreeMap<Box<str>, i64>,
    keys: BTreeMap<Box<str>, i64>,
    /// The last bed asked for: rows mostly stand bed by bed.
    last_bed: Option<(Box<str>, i64)>,
}

impl<'c> Terms<'c> {
    pub(super) fn new(connection: &'c Connection) -> Self {
        Self { connection, beds: BTreeMap::new(), keys: BTreeMap::new(), last_bed: None }
    }

    pub(super) fn bed(&mut self, name: &str) -> rusqlite::Result<Entry<'static>> {
        if let Some((last, id)) = &self.last_bed
            && **last == *name
        {
            return Ok(Entry::whole(*id));
        }
        let id = id(self.connection, &mut self.beds, "bed_names", "name", name)?;
        self.last_bed = Some((name.into(), id));
        Ok(Entry::whole(id))
    }

    pub(super) fn term(&mut self, key: &str) -> rusqlite::Result<Entry<'static>> {
        Ok(Entry::whole(id(self.connection, &mut self.keys, "terms", "key", key)?))
    }
}

fn id(
    connection: &Connection,
    known: &mut BTreeMap<Box<str>, i64>,
    table: &str,
    column: &str,
    text: &str,
) -> rusqlite::Result<i64> {
    if let Some(id) = known.get(text) {
        return Ok(*id);
    }
    let select = format!("SELECT id FROM {table} WHERE {column} = ?1");
    let found: Option<i64> =
        connection.prepare_cached(&select)?.query_row([text], |row| row.get(0)).optional()?;
    let id = if let Some(id) = found {
        id
    } else {
        let insert = format!("INSERT INTO {table} ({column}) VALUES (?1)");
        connection.prepare_cached(&insert)?.execute([text])?;
        connection.last_insert_rowid()
    };
    known.insert(text.into(), id);
    Ok(id)
}

/// Turns ids back into names while rows are read.
pub(super) struct TermTexts {
    beds: BTreeMap<i64, Box<str>>,
    terms: BTreeMap<i64, Box<str>>,
    /// Terms that are crops of this version: a garden has few, and its rows name them again and again.
    crops: BTreeMap<i64, CropId>,
}

impl TermTexts {
    pub(super) fn load(connection: &Connection, knowledge: &Knowledge) -> rusqlite::Result<Self> {
        let all = |sql: &str| -> rusqlite::Result<BTreeMap<i64, Box<str>>> {
            connection.prepare(sql)?.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect()
        };
        let terms = all("SELECT id, key FROM terms")?;
        let crops =
            terms.iter().filter_map(|(id, key)| Some((*id, knowledge.crops.find(key)?))).collect();
        Ok(Self { beds: all("SELECT id, name FROM bed_names")?, terms, crops })
    }

    pub(super) fn bed(&self, id: i64) -> Option<Box<str>> {
        self.beds.get(&id).cloned()
    }

    pub(super) fn bed_name(&self, id: i64) -> Option<&str> {
        self.beds.get(&id).map(|name| &**name)
    }

    pub(super) fn crop(&self, id: i64) -> Option<CropId> {
        self.crops.get(&id).copied()
    }

    pub(super) fn term(&self, id: i64) -> Option<Box<str>> {
        self.terms.get(&id).cloned()
    }
}
