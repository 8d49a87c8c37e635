//! From a folder of CSV files to the store: every row read and checked, all problems gathered, and
//! nothing written unless every row is good.

#![expect(clippy::disallowed_methods, reason = "the shell: this is where record files are read")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::knowledge::Knowledge;
use crate::records::{Lookup, Record, RecordKind, Tally};
use crate::season::Date;
use crate::store::{Store, StoreError};
use crate::tabular::{Problem, Problems, RowProblem, scan};

/// One record file in memory.
#[derive(Clone, Debug)]
pub struct RecordFile {
    /// File name without folders.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// What to do beside reading.
#[derive(Clone, Copy, Debug)]
pub struct Options {
    /// The day of the import.
    pub today: Date,
    /// Check only, write nothing.
    pub dry_run: bool,
    /// Withdraw records that no longer stand in the files named.
    pub withdraw: bool,
}

/// What an import came to.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// Files read, with the number of rows of each.
    pub files: Vec<(String, usize)>,
    /// Files of the folder that are no record files.
    pub others: Vec<String>,
    /// What was written.
    pub tally: Tally,
}

/// An error of the importer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum ImportError {
    /// The folder or one of its files cannot be read.
    #[error("{} cannot be read", path.display())]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The folder has no record file.
    #[error("{} holds no record file", path.display())]
    NoRecordFile {
        /// The folder.
        path: PathBuf,
        /// The names looked for.
        wanted: Vec<String>,
    },
    /// Rows that could not be read; nothing was written.
    #[error("{} problems in the record files; nothing was imported", .0.len())]
    Problems(Vec<RowProblem>),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Reads the record files of a folder, sorted by name; the second list names the other files.
pub fn read_folder(folder: &Path) -> Result<(Vec<RecordFile>, Vec<String>), ImportError> {
    let unreadable =
        |path: &Path, source| ImportError::Unreadable { path: path.to_path_buf(), source };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|source| unreadable(folder, source))? {
        let entry = entry.map_err(|source| unreadable(folder, source))?;
        names.push(entry.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    let (mut files, mut others) = (Vec::new(), Vec::new());
    for name in names {
        if RecordKind::of_file(&name).is_none() {
            if name.to_ascii_lowercase().ends_with(".csv") {
                others.push(name);
            }
            continue;
        }
        let path = folder.join(&name);
        let bytes = std::fs::read(&path).map_err(|source| unreadable(&path, source))?;
        files.push(RecordFile { name, bytes });
    }
    if files.is_empty() {
        let wanted = RecordKind::ALL.into_iter().map(|kind| format!("{}.csv", kind.word()));
        return Err(ImportError::NoRecordFile {
            path: folder.to_path_buf(),
            wanted: wanted.collect(),
        });
    }
    Ok((files, others))
}

/// Imports record files. Beds come before what stands in them, whatever the order of the files.
pub fn import(
    store: &mut Store,
    knowledge: &Knowledge,
    files: &[RecordFile],
    folder: &str,
    options: Options,
) -> Result<Outcome, ImportError> {
    let mut ordered: Vec<(RecordKind, &RecordFile)> = files
        .iter()
        .filter_map(|file| RecordKind::of_file(&file.name).map(|kind| (kind, file)))
        .collect();
    ordered.sort_by_key(|(kind, file)| (*kind, file.name.clone()));
    let mut importing = store.begin_import(options.today, folder)?;
    let mut beds: Vec<Box<str>> = importing.beds()?;
    let mut described: Vec<Box<str>> = Vec::new();
    let mut problems = Problems::default();
    let mut seen: BTreeMap<(RecordKind, String), String> = BTreeMap::new();
    let mut counts = Vec::new();
    for (kind, file) in ordered {
        let name: Arc<str> = Arc::from(file.name.as_str());
        let mut rows: Vec<(Record, String)> = Vec::new();
        let header = scan(&name, &file.bytes, kind.columns(), &mut problems, |cells| {
            let raw = cells.raw().to_owned();
            // A bed may be described again in a later import, but once within one.
            let known = if kind == RecordKind::Beds { &described } else { &beds };
            let lookup = Lookup { knowledge, beds: known };
            let record = kind.read(cells, &lookup);
            // Also a bed whose row has a fault is known by name: one fault, one message.
            if kind == RecordKind::Beds
                && let Some(name) = cells.text("bed")
                && !described.iter().any(|bed| bed.eq_ignore_ascii_case(name))
            {
                described.push(name.into());
            }
            if kind == RecordKind::Site && !rows.is_empty() {
                let hint = Some("a garden has one site: keep one line".to_owned());
                cells.row_problem(Problem::OneRowOnly, hint);
            }
            if let Some(record) = record {
                let here = cells.origin().to_string();
                if let Some(earlier) = seen.get(&(kind, raw.clone())) {
                    let hint = "delete one of the two lines, or tell them apart in the note";
                    let problem = Problem::Duplicate { earlier: earlier.clone() };
                    cells.row_problem(problem, Some(hint.to_owned()));
                } else {
                    seen.insert((kind, raw.clone()), here);
                }
                rows.push((record, raw));
            }
        });
        if kind == RecordKind::Beds {
            for bed in &described {
                if !beds.iter().any(|known| known.eq_ignore_ascii_case(bed)) {
                    beds.push(bed.clone());
                }
            }
        }
        counts.push((file.name.clone(), rows.len()));
        let Some(header) = header else { continue };
        if !problems.is_empty() {
            continue;
        }
        let file_id = importing.begin_file(kind, &file.name, &header)?;
        for (record, raw) in &rows {
            importing.write(knowledge, record, file_id, &header, raw)?;
        }
    }
    if !problems.is_empty() {
        let mut list = problems.list;
        list.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
        return Err(ImportError::Problems(list));
    }
    let tally =
        if options.dry_run { importing.preview()? } else { importing.commit(options.withdraw)? };
    Ok(Outcome { files: counts, others: Vec::new(), tally })
}
