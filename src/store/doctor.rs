//! Examining a garden file: what SQLite sees (pages, references) and what it cannot see (values).
//! Nothing is changed, except that a journal left behind is rolled back as at any opening.

use std::path::Path;

use rusqlite::types::ValueRef;
use rusqlite::{Connection, Result as SqlResult};

use super::rows::columns;
use super::write::digest;
use super::{Store, StoreError, backup, digest as seals, journal_of, migrate};
use crate::records::{Check, CheckResult, Checkup, RecordKind};

/// How many faults of one check are named before the count.
const MOST: usize = 10;

/// Examines a garden file. A file that is not ours, newer or not there is an error; what is broken
/// in one that is ours is a finding.
pub fn examine(path: &Path) -> Result<Checkup, StoreError> {
    let journal = path.exists() && journal_of(path).exists();
    let mut checkup = Checkup {
        path: path.to_path_buf(),
        bytes: std::fs::metadata(path).map_or(0, |file| file.len()),
        format: 0,
        newest_format: migrate::FORMAT,
        written_by: Vec::new(),
        imports: 0,
        records: Vec::new(),
        journal,
        backups: backup::beside(&std::fs::canonicalize(path).unwrap_or_else(|_| path.into())),
        checks: Vec::new(),
    };
    let store = match Store::open_as_it_is(path) {
        Ok(store) => store,
        Err(StoreError::Damaged { what, .. }) => {
            checkup.checks.push((Check::Size, CheckResult::Failed(vec![what])));
            return Ok(checkup);
        }
        Err(error) => return Err(error),
    };
    if store.is_empty()? {
        return Err(StoreError::NotOurs { path: path.to_path_buf() });
    }
    checkup.format = store.format()?;
    checkup.checks.push((Check::Size, CheckResult::Passed));
    let connection = &store.connection;
    checkup.checks.push((Check::Pages, result(pages(connection, "integrity_check"))));
    checkup.checks.push((Check::References, result(orphans(connection))));
    let sealed = if checkup.format < 2 {
        CheckResult::Skipped("files of this format have no seals")
    } else {
        result(seals::verify(connection).map(|broken| broken.iter().map(seal_words).collect()))
    };
    checkup.checks.push((Check::Seals, sealed));
    checkup.checks.push((Check::Records, result(changed_records(connection))));
    // Counts of a damaged file are as good as can be had.
    let _ = count(connection, &mut checkup);
    Ok(checkup)
}

fn count(connection: &Connection, checkup: &mut Checkup) -> SqlResult<()> {
    for kind in RecordKind::ALL {
        let sql = format!("SELECT count(*) FROM {}", kind.word());
        let rows: i64 = connection.query_row(&sql, [], |row| row.get(0))?;
        checkup.records.push((kind, usize::try_from(rows).unwrap_or(0)));
    }
    let mut statement = connection
        .prepare("SELECT knowledge, count(*) FROM imports GROUP BY knowledge ORDER BY min(id)")?;
    let mut rows = statement.query([])?;
    while let Some(row) = rows.next()? {
        checkup.written_by.push(row.get(0)?);
        checkup.imports += usize::try_from(row.get::<_, i64>(1)?).unwrap_or(0);
    }
    Ok(())
}

fn result(found: SqlResult<Vec<String>>) -> CheckResult {
    match found {
        Ok(found) if found.is_empty() => CheckResult::Passed,
        Ok(mut found) => {
            if found.len() > MOST {
                let more = format!("{} more", found.len() - MOST);
                found.truncate(MOST);
                found.push(more);
            }
            CheckResult::Failed(found)
        }
        Err(error) => CheckResult::Failed(vec![error.to_string()]),
    }
}

/// What `quick_check` or `integrity_check` has to say; nothing if all is well.
pub(super) fn pages(connection: &Connection, check: &str) -> SqlResult<Vec<String>> {
    let mut statement = connection.prepare(&format!("PRAGMA {check}"))?;
    let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
    let lines = lines.collect::<SqlResult<Vec<String>>>()?;
    Ok(lines.into_iter().flat_map(|text| first_lines(&text)).filter(|line| line != "ok").collect())
}

fn first_lines(text: &str) -> Vec<String> {
    text.lines().filter(|line| !line.starts_with("*** in database")).map(str::to_owned).collect()
}

/// References that lead nowhere.
pub(super) fn orphans(connection: &Connection) -> SqlResult<Vec<String>> {
    let mut statement = connection.prepare("PRAGMA foreign_key_check")?;
    let lines = statement.query_map([], |row| {
        let (table, row, parent): (String, Option<i64>, String) =
            (row.get(0)?, row.get(1)?, row.get(2)?);
        let row = row.map_or_else(|| "?".to_owned(), |row| row.to_string());
        Ok(format!("row {row} of {table} names a row of {parent} that is not there"))
    })?;
    lines.collect()
}

fn seal_words(broken: &seals::Broken) -> String {
    let seals::Broken { table, first, last } = broken;
    format!("rows {first} to {last} of {table} are not as they were written")
}

/// Records whose values are not those they were written with, by the line they came from.
fn changed_records(connection: &Connection) -> SqlResult<Vec<String>> {
    let mut changed = Vec::new();
    for kind in RecordKind::ALL {
        let table = kind.word();
        let own: String = columns(kind).iter().flat_map(|(name, _)| [", record.", name]).collect();
        let mut statement = connection.prepare(&format!(
            "SELECT files.name, record.line, record.digest{own} FROM {table} AS record \
             LEFT JOIN files ON files.id = record.file_id ORDER BY record.id"
        ))?;
        let width = columns(kind).len();
        let mut rows = statement.query([])?;
        while let Some(row) = rows.next()? {
            let values: Vec<ValueRef<'_>> =
                (0..width).map(|at| row.get_ref(3 + at)).collect::<SqlResult<_>>()?;
            if digest(kind, values.into_iter()) != row.get::<_, i64>(2)? {
                let file: Option<String> = row.get(0)?;
                let file = file.unwrap_or_else(|| format!("{table}.csv"));
                let line: i64 = row.get(1)?;
                changed.push(format!("the record of {file}:{line} has other values"));
            }
        }
    }
    Ok(changed)
}
