//! Names and keys that many rows share, each kept once.

use std::collections::BTreeMap;

use rusqlite::{Connection, OptionalExtension};

use super::rows::Entry;
use crate::knowledge::{CropId, Knowledge};

/// Turns names into ids while rows are written.
pub(super) struct Terms<'c> {
    connection: &'c Connection,
    beds: Names,
    keys: Names,
    /// The last bed asked for: rows mostly stand bed by bed.
    last_bed: Option<(Box<str>, i64)>,
    /// Ids of the keys of crops, by their place in the table of crops.
    crops: Vec<Option<i64>>,
}

impl<'c> Terms<'c> {
    pub(super) fn new(connection: &'c Connection) -> Self {
        Self {
            connection,
            beds: Names::of("bed_names", "name"),
            keys: Names::of("terms", "key"),
            last_bed: None,
            crops: Vec::new(),
        }
    }

    pub(super) fn bed(&mut self, name: &str) -> rusqlite::Result<Entry<'static>> {
        if let Some((last, id)) = &self.last_bed
            && **last == *name
        {
            return Ok(Entry::whole(*id));
        }
        let id = self.beds.id(self.connection, name)?;
        self.last_bed = Some((name.into(), id));
        Ok(Entry::whole(id))
    }

    pub(super) fn term(&mut self, key: &str) -> rusqlite::Result<Entry<'static>> {
        Ok(Entry::whole(self.keys.id(self.connection, key)?))
    }

    pub(super) fn crop(
        &mut self,
        knowledge: &Knowledge,
        crop: CropId,
    ) -> rusqlite::Result<Entry<'static>> {
        let at = crop.index();
        if let Some(Some(id)) = self.crops.get(at) {
            return Ok(Entry::whole(*id));
        }
        let id = self.keys.id(self.connection, &knowledge.crops[crop].key)?;
        if self.crops.len() <= at {
            self.crops.resize(at + 1, None);
        }
        self.crops[at] = Some(id);
        Ok(Entry::whole(id))
    }
}

/// The names of one table.
struct Names {
    /// The ids last asked for, [`MOST`] of them at most: the others are asked of the table again, so
    /// that memory does not grow with the beds of a garden.
    known: BTreeMap<Box<str>, i64>,
    select: String,
    insert: String,
}

/// Names of which a table remembers the ids.
const MOST: usize = 4096;

impl Names {
    fn of(table: &str, column: &str) -> Self {
        Self {
            known: BTreeMap::new(),
            select: format!("SELECT id FROM {table} WHERE {column} = ?1"),
            insert: format!("INSERT INTO {table} ({column}) VALUES (?1)"),
        }
    }

    fn id(&mut self, connection: &Connection, text: &str) -> rusqlite::Result<i64> {
        if let Some(id) = self.known.get(text) {
            return Ok(*id);
        }
        let mut select = connection.prepare_cached(&self.select)?;
        let found = select.query_row([text], |row| row.get(0)).optional()?;
        let id = if let Some(id) = found {
            id
        } else {
            connection.prepare_cached(&self.insert)?.execute([text])?;
            connection.last_insert_rowid()
        };
        if self.known.len() >= MOST {
            self.known.clear();
        }
        self.known.insert(text.into(), id);
        Ok(id)
    }
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
