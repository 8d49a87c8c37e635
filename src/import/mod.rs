//! From a folder of CSV files to the store: every row read and checked, all problems gathered, and
//! nothing written unless every row is good.

#![expect(clippy::disallowed_methods, reason = "the shell: this is where record files are read")]

mod foreign;
mod layout;
mod own_policy;
#[cfg(feature = "spreadsheets")]
mod sheets;

pub use foreign::{DateOrder, Foreign, ForeignError, Renamed};
pub use layout::Layout;
pub use own_policy::{OWN_POLICY_COLUMNS, OWN_POLICY_FILE, own_policy};
#[cfg(feature = "spreadsheets")]
pub use sheets::{is_spreadsheet, read_spreadsheet};

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::knowledge::Knowledge;
use crate::records::{BedNames, Garden, Lookup, Record, RecordKind, Tally};
use crate::season::Date;
use crate::store::{Importing, Store, StoreError, Written};
use crate::tabular::{Cells, Problem, Problems, RowProblem, scan, scan_stream};

/// One record file in memory.
#[derive(Clone, Debug)]
pub struct RecordFile {
    /// File name without folders.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// Where the bytes of a record file come from.
enum Content<'a> {
    Memory(&'a [u8]),
    Disk(PathBuf),
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
    /// A spreadsheet cannot be read.
    #[error("{} cannot be read as a spreadsheet: {reason}", path.display())]
    Sheet {
        /// Which.
        path: PathBuf,
        /// Why.
        reason: String,
    },
    /// What was told of columns fits no file.
    #[error(transparent)]
    Foreign(#[from] ForeignError),
    /// Rows that could not be read; nothing was written.
    #[error("{} problems in the record files; nothing was imported", .0.len())]
    Problems(Vec<RowProblem>),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Names of the record files of a folder, sorted; the second list names its other CSV files.
pub fn list_folder(folder: &Path) -> Result<(Vec<String>, Vec<String>), ImportError> {
    let unreadable = |source| ImportError::Unreadable { path: folder.to_path_buf(), source };
    let mut names = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(unreadable)? {
        names.push(entry.map_err(unreadable)?.file_name().to_string_lossy().into_owned());
    }
    names.sort();
    let (files, mut others): (Vec<String>, Vec<String>) =
        names.into_iter().partition(|name| RecordKind::of_file(name).is_some());
    others.retain(|name| name.to_ascii_lowercase().ends_with(".csv"));
    if files.is_empty() {
        let wanted = RecordKind::ALL.into_iter().map(|kind| format!("{}.csv", kind.word()));
        return Err(ImportError::NoRecordFile {
            path: folder.to_path_buf(),
            wanted: wanted.collect(),
        });
    }
    Ok((files, others))
}

/// Whether a record file of a folder is laid out in another way than ours, by its first lines.
pub fn is_laid_out_otherwise(folder: &Path) -> Result<bool, ImportError> {
    const HEAD: u64 = 8 * 1024;
    let (names, _) = list_folder(folder)?;
    for name in names {
        let Some(kind) = RecordKind::of_file(&name) else { continue };
        let path = folder.join(&name);
        let mut head = Vec::new();
        std::fs::File::open(&path)
            .and_then(|file| file.take(HEAD).read_to_end(&mut head))
            .map_err(|source| ImportError::Unreadable { path: path.clone(), source })?;
        if Foreign::default().layout(kind, &head) != Layout::OURS {
            return Ok(true);
        }
    }
    Ok(false)
}

/// Reads the record files of a folder, sorted by name; the second list names the other files.
pub fn read_folder(folder: &Path) -> Result<(Vec<RecordFile>, Vec<String>), ImportError> {
    let (names, others) = list_folder(folder)?;
    let mut files = Vec::new();
    for name in names {
        let path = folder.join(&name);
        let bytes = std::fs::read(&path)
            .map_err(|source| ImportError::Unreadable { path: path.clone(), source })?;
        files.push(RecordFile { name, bytes });
    }
    Ok((files, others))
}

/// The name of the site that record files speak of, as written.
#[must_use]
pub fn site_name(files: &[RecordFile]) -> Option<String> {
    let site =
        files.iter().find(|file| RecordKind::of_file(&file.name) == Some(RecordKind::Site))?;
    let mut name = None;
    let mut problems = Problems::default();
    scan(
        &site.name.as_str().into(),
        &site.bytes,
        RecordKind::Site.columns(),
        &mut problems,
        |cells| {
            name = cells.text("name").map(str::to_owned);
        },
    );
    name
}

/// Imports record files. Beds come before what stands in them, whatever the order of the files.
pub fn import(
    store: &mut Store,
    knowledge: &Knowledge,
    files: &[RecordFile],
    folder: &str,
    options: Options,
) -> Result<Outcome, ImportError> {
    let files = files.iter().map(|file| (file.name.clone(), Content::Memory(&file.bytes)));
    import_all(store, knowledge, files.collect(), folder, options)
}

/// Imports the record files of a folder, each read as a stream: the memory needed does not grow
/// with the files.
pub fn import_folder(
    store: &mut Store,
    knowledge: &Knowledge,
    folder: &Path,
    options: Options,
) -> Result<Outcome, ImportError> {
    let (names, others) = list_folder(folder)?;
    let files = names.into_iter().map(|name| {
        let path = folder.join(&name);
        (name, Content::Disk(path))
    });
    let label = folder.display().to_string();
    let outcome = import_all(store, knowledge, files.collect(), &label, options)?;
    Ok(Outcome { others, ..outcome })
}

/// The garden of record files, without a garden file: every row checked as on an import.
///
/// # Errors
/// All problems of the rows, in the order of files and lines.
pub fn garden_of(knowledge: &Knowledge, files: &[RecordFile]) -> Result<Garden, Vec<RowProblem>> {
    let files = files.iter().map(|file| (file.name.clone(), Content::Memory(&file.bytes)));
    let mut run = Run {
        knowledge,
        sink: InMemory::default(),
        beds: BedNames::default(),
        problems: Problems::default(),
    };
    // What is in memory already can neither fail to be read nor to be kept.
    let _ = run.files(files.collect());
    run.sink.garden.sort();
    let garden = run.sink.garden;
    in_order(run.problems).map_or(Ok(garden), Err)
}

/// Where sound rows go.
trait Sink {
    fn put(
        &mut self,
        kind: RecordKind,
        cells: &Cells<'_>,
        record: Record,
    ) -> Result<Written, StoreError>;
    /// A file of which every row was read.
    fn end_file(&mut self, kind: RecordKind, name: &str, header: &str) -> Result<(), StoreError>;
}

/// Rows go to the garden file.
struct ToStore<'s, 'k> {
    knowledge: &'k Knowledge,
    importing: Importing<'s>,
    /// The file under way.
    file: Option<i64>,
}

impl Sink for ToStore<'_, '_> {
    fn put(
        &mut self,
        kind: RecordKind,
        cells: &Cells<'_>,
        record: Record,
    ) -> Result<Written, StoreError> {
        let header = cells.header();
        let file = match self.file {
            Some(file) => file,
            None => self.importing.begin_file(kind, cells.file(), header)?,
        };
        self.file = Some(file);
        self.importing.write(self.knowledge, &record, file, header, cells.raw())
    }

    fn end_file(&mut self, kind: RecordKind, name: &str, header: &str) -> Result<(), StoreError> {
        if self.file.take().is_none() {
            self.importing.begin_file(kind, name, header)?;
        }
        Ok(())
    }
}

/// Rows go to a garden in memory.
#[derive(Default)]
struct InMemory {
    garden: Garden,
    seen: BTreeMap<(RecordKind, String), String>,
}

impl Sink for InMemory {
    fn put(
        &mut self,
        kind: RecordKind,
        cells: &Cells<'_>,
        record: Record,
    ) -> Result<Written, StoreError> {
        let here = cells.origin().to_string();
        match self.seen.entry((kind, cells.raw().to_owned())) {
            Entry::Occupied(earlier) => return Ok(Written::Twice(earlier.get().clone())),
            Entry::Vacant(new) => new.insert(here),
        };
        record.join(&mut self.garden);
        Ok(Written::Kept)
    }

    fn end_file(&mut self, _: RecordKind, _: &str, _: &str) -> Result<(), StoreError> {
        Ok(())
    }
}

/// The problems in the order of files and lines, if there are any.
fn in_order(problems: Problems) -> Option<Vec<RowProblem>> {
    let mut list = without_followers(problems.list);
    list.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
    (!list.is_empty()).then_some(list)
}

/// The problems without those that only follow from another: a bed whose own row has a fault is not
/// known, nor is any bed where the header of the beds has one, but the rows that name it are sound.
fn without_followers(list: Vec<RowProblem>) -> Vec<RowProblem> {
    let beds: Vec<&RowProblem> = list
        .iter()
        .filter(|problem| RecordKind::of_file(&problem.file) == Some(RecordKind::Beds))
        .collect();
    let all_unknown = beds.iter().any(|problem| problem.line <= 1);
    let faulty: BTreeSet<String> = beds
        .iter()
        .flat_map(|problem| problem.excerpt.split(','))
        .map(|cell| cell.trim().trim_matches('"').to_owned())
        .collect();
    let follows = |problem: &RowProblem| {
        matches!(problem.problem, Problem::UnknownName { of: "bed" })
            && (all_unknown || faulty.contains(&problem.value))
    };
    list.into_iter().filter(|problem| !follows(problem)).collect()
}

fn import_all(
    store: &mut Store,
    knowledge: &Knowledge,
    files: Vec<(String, Content<'_>)>,
    folder: &str,
    options: Options,
) -> Result<Outcome, ImportError> {
    let importing = store.begin_import(options.today, folder)?;
    let beds = importing.beds()?.into_iter().collect();
    let sink = ToStore { knowledge, importing, file: None };
    let mut run = Run { knowledge, sink, beds, problems: Problems::default() };
    let counts = run.files(files)?;
    if let Some(problems) = in_order(run.problems) {
        return Err(ImportError::Problems(problems));
    }
    let importing = run.sink.importing;
    let tally =
        if options.dry_run { importing.preview()? } else { importing.commit(options.withdraw)? };
    Ok(Outcome { files: counts, others: Vec::new(), tally })
}

/// An import on its way through the files. Sound rows are written as they are read, also after a
/// problem was met, since a row may repeat one of them; with a problem none of it is kept.
struct Run<'k, S> {
    knowledge: &'k Knowledge,
    sink: S,
    beds: BedNames,
    problems: Problems,
}

impl<S: Sink> Run<'_, S> {
    /// Reads the files, beds before what stands in them; the sound rows of each.
    fn files(
        &mut self,
        files: Vec<(String, Content<'_>)>,
    ) -> Result<Vec<(String, usize)>, ImportError> {
        let mut ordered: Vec<(RecordKind, String, Content<'_>)> = files
            .into_iter()
            .filter_map(|(name, content)| Some((RecordKind::of_file(&name)?, name, content)))
            .collect();
        ordered.sort_by(|(a, one, _), (b, other, _)| (a, one).cmp(&(b, other)));
        let mut counts = Vec::new();
        let mut described = BedNames::default();
        for (kind, name, content) in ordered {
            if kind > RecordKind::Beds {
                self.beds.join(std::mem::take(&mut described));
            }
            let rows = self.file(kind, &name, content, &mut described)?;
            counts.push((name, rows));
        }
        Ok(counts)
    }

    /// Reads one file; the number of its sound rows.
    fn file(
        &mut self,
        kind: RecordKind,
        name: &str,
        content: Content<'_>,
        described: &mut BedNames,
    ) -> Result<usize, ImportError> {
        let mut stream: Box<dyn Read + '_> = match &content {
            Content::Memory(bytes) => Box::new(*bytes),
            Content::Disk(path) => {
                let opened = std::fs::File::open(path);
                Box::new(
                    opened
                        .map_err(|source| ImportError::Unreadable { path: path.clone(), source })?,
                )
            }
        };
        let file: Arc<str> = Arc::from(name);
        let (knowledge, sink) = (self.knowledge, &mut self.sink);
        let names = Lookup::new(knowledge, &self.beds);
        let (mut rows, mut failed) = (0, None);
        let header = scan_stream(&file, &mut stream, kind.columns(), &mut self.problems, |cells| {
            let record = if kind == RecordKind::Beds {
                // A bed may be described again in a later import, but once within one.
                let record = kind.read(cells, &Lookup::new(knowledge, described));
                // Also a bed whose row has a fault is known by name: one fault, one message.
                let name = cells.written("bed");
                if !name.is_empty() {
                    described.add(name);
                }
                record
            } else {
                kind.read(cells, &names)
            };
            if kind == RecordKind::Site && rows > 0 {
                let hint = Some("a garden has one site: keep one line".to_owned());
                cells.row_problem(Problem::OneRowOnly, hint);
            }
            let Some(record) = record else { return };
            rows += 1;
            if failed.is_some() {
                return;
            }
            match sink.put(kind, cells, record) {
                Ok(Written::Kept) => {}
                Ok(Written::Twice(earlier)) => {
                    let hint = "delete one of the two lines, or tell them apart in the note";
                    cells.row_problem(Problem::Duplicate { earlier }, Some(hint.to_owned()));
                }
                Err(error) => failed = Some(error),
            }
        });
        if let Some(error) = failed {
            return Err(error.into());
        }
        let header = header.map_err(|source| match content {
            Content::Disk(path) => ImportError::Unreadable { path, source },
            Content::Memory(_) => ImportError::Unreadable { path: name.into(), source },
        })?;
        if let Some(header) = header {
            self.sink.end_file(kind, name, &header)?;
        }
        Ok(rows)
    }
}
