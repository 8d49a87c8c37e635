//! Where the text of a table comes from: the built-in rows, and a grower's or adviser's own rows
//! laid over them.
//!
//! Own tables have the file names and columns of the built-in ones. A row of theirs replaces the
//! built-in rows on the same subject (the same crop and pathogen, the same crop and field) and is
//! added where there are none. Files are opened by the shell; this module is given their bytes.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::table::rows;
use crate::origin::Origin;
use crate::tabular::{Cells, Column, Problem, Problems, RowProblem, scan};

/// One table: its built-in text, its columns, and what makes two of its rows the same.
#[derive(Debug)]
pub(super) struct Table {
    /// File name, in the project and in a folder of own tables.
    pub(super) file: &'static str,
    /// The built-in rows.
    pub(super) text: &'static str,
    /// Its columns.
    pub(super) columns: &'static [Column],
    /// Columns that say what a row is about. Rows are sorted by them, and an own row replaces the
    /// built-in rows that agree in them.
    pub(super) subject: &'static [&'static str],
    /// Further columns by which rows on one subject differ: several sources, several figures.
    pub(super) told_apart_by: &'static [&'static str],
    /// A column, and its words that say something beside the point of the table: such a row
    /// replaces only rows with the same word. (That a crop lowers a pathogen does not unsay that
    /// it hosts it.)
    pub(super) attributes: Option<(&'static str, &'static [&'static str])>,
}

impl Table {
    /// What a row is about.
    pub(super) fn subject_of(&self, cells: &Cells<'_>) -> Vec<String> {
        let mut subject: Vec<String> =
            self.subject.iter().map(|name| cells.written(name).to_owned()).collect();
        if let Some((column, words)) = self.attributes {
            let word = cells.written(column);
            subject.push(if words.contains(&word) { word.to_owned() } else { String::new() });
        }
        subject
    }
}

/// All tables, in the order in which they refer to one another.
pub(super) const ALL: &[&Table] = &[
    &super::sources::SOURCES,
    &super::crops::CROPS,
    &super::pathogens::PATHOGENS,
    &super::pathogens::PATHOGEN_GROUPS,
    &super::sequences::CROP_GROUPS,
    &super::hosts::HOSTS,
    &super::intervals::INTERVALS,
    &super::intervals::FAMILY_RETURN,
    &super::sequences::SEQUENCE_RULES,
    &super::materials::AMENDMENTS,
    &super::symptoms::CAUSES,
    &super::symptoms::SYMPTOMS,
    &super::resistance::RESISTANCE_CODES,
    &super::rootstocks::ROOTSTOCKS,
    &super::names::NAMES,
    &super::names::DISEASE_NAMES,
    &super::figures::CROP_FIGURES,
    &super::figures::COVER_FIGURES,
    &super::modifiers::MODIFIERS,
    &super::outcomes::OUTCOMES,
    &super::rotation_trials::ROTATION_YIELD,
    &super::curves::DISEASE_CURVES,
    &super::nitrogen_credits::N_CREDITS,
    &super::availability::PAN_MODEL,
    &super::nutrients::SOIL_P_CLASSES,
    &super::growth_points::COVER_GROWTH_CURVES,
    &super::mixes::COVER_MIXES,
    &super::cover_classes::COVER_CLASSES,
    &super::undersowing::INTERSOW,
    &super::bridges::COVER_DISEASE_BRIDGE,
    &super::timing::TIMING,
    &super::stations::CLIMATE_NORMALS,
    &super::stations::FROST_DATES,
    &super::thresholds::CROP_THRESHOLDS,
    &super::standards::STANDARDS,
    &super::heat_sums::HEAT_SUMS,
    &super::windows::WINDOWS,
    &super::garden_yields::YIELDS_GARDEN,
    &super::labour::LABOUR,
    &super::emergence::THERMAL_GERMINATION,
    &super::emergence::EMERGENCE_DAYS,
];

/// An own table as it was handed in.
#[derive(Debug)]
struct Own {
    /// Folder and file name, as shown.
    file: Arc<str>,
    bytes: Vec<u8>,
}

/// An own row that took the place of built-in rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replacement {
    /// The own row.
    pub own: Origin,
    /// The built-in rows that no longer count.
    pub built_in: Vec<Origin>,
}

/// The tables to read from. Cheap to clone.
///
/// ```
/// use breakcrop::knowledge::{Knowledge, Tables};
/// let own = "pathogen,crop,status,basis,source,how\n\
///            verticillium_dahliae,french_marigold,host,field,own_trial,read\n";
/// let sources = "key,title\nown_trial,Trial of ours\n";
/// let tables = Tables::with_own("advice", [
///     ("hosts.csv".to_owned(), own.into()),
///     ("sources.csv".to_owned(), sources.into()),
/// ]).unwrap();
/// assert!(Knowledge::with_overlay(tables).is_ok());
/// ```
#[derive(Clone, Debug, Default)]
pub struct Tables {
    own: Arc<BTreeMap<&'static str, Own>>,
    is_alone: bool,
}

impl Tables {
    /// The built-in tables alone.
    #[must_use]
    pub fn built_in() -> Self {
        Self::default()
    }

    /// The built-in tables with own tables laid over them: file names and bytes, and the name of
    /// the folder they stand in, for showing.
    ///
    /// # Errors
    /// A file whose name is no table's.
    pub fn with_own(
        folder: &str,
        files: impl IntoIterator<Item = (String, Vec<u8>)>,
    ) -> Result<Self, Vec<RowProblem>> {
        let mut own = BTreeMap::new();
        let mut problems = Vec::new();
        for (name, bytes) in files {
            let file: Arc<str> = format!("{}/{name}", folder.trim_end_matches('/')).into();
            if let Some(table) = ALL.iter().find(|table| table.file == name) {
                own.insert(table.file, Own { file, bytes });
            } else {
                problems.push(unknown_table(file, name));
            }
        }
        if problems.is_empty() {
            Ok(Self { own: Arc::new(own), is_alone: false })
        } else {
            Err(problems)
        }
    }

    /// Own tables with no built-in rows under them: the readers and the lint see a few rows instead
    /// of thousands, which is how they are tried on many inputs.
    ///
    /// # Errors
    /// A file whose name is no table's.
    pub fn alone(
        folder: &str,
        files: impl IntoIterator<Item = (String, Vec<u8>)>,
    ) -> Result<Self, Vec<RowProblem>> {
        Ok(Self { is_alone: true, ..Self::with_own(folder, files)? })
    }

    /// The built-in text of a table, or no more than its header.
    fn built_in_text(&self, table: &Table) -> &'static str {
        let end = if self.is_alone { table.text.find('\n') } else { None };
        &table.text[..end.unwrap_or(table.text.len())]
    }

    /// Names of the files that may stand in a folder of own tables.
    pub fn file_names() -> impl Iterator<Item = &'static str> {
        ALL.iter().map(|table| table.file)
    }

    /// Whether there are own tables.
    #[must_use]
    pub fn has_own(&self) -> bool {
        !self.own.is_empty()
    }

    /// Whether a table has own rows.
    pub(super) fn has_own_of(&self, table: &Table) -> bool {
        self.own.contains_key(table.file)
    }

    /// The texts of a table: the built-in one, then the own one.
    pub(super) fn texts(&self, table: &'static Table) -> Vec<(Arc<str>, &[u8])> {
        let mut texts = vec![(Arc::from(table.file), self.built_in_text(table).as_bytes())];
        if let Some(own) = self.own.get(table.file) {
            texts.push((Arc::clone(&own.file), &own.bytes));
        }
        texts
    }

    /// All sound rows of a table: the built-in ones that no own row replaces, then the own ones.
    pub(super) fn read<T>(
        &self,
        table: &'static Table,
        problems: &mut Problems,
        mut read: impl FnMut(&mut Cells<'_>) -> Option<T>,
    ) -> Vec<T> {
        let Some(own) = self.own.get(table.file) else {
            return rows(table.file, self.built_in_text(table), table.columns, problems, read);
        };
        let mut replaced = BTreeSet::new();
        let own_rows = rows(&own.file, &own.bytes, table.columns, problems, |cells| {
            let row = read(cells);
            if row.is_some() {
                replaced.insert(table.subject_of(cells));
            }
            row
        });
        let mut all =
            rows(table.file, self.built_in_text(table), table.columns, problems, |cells| {
                if replaced.contains(&table.subject_of(cells)) { None } else { read(cells) }
            });
        all.extend(own_rows);
        all
    }

    /// The tables whose rows cite a source, with the number of rows.
    #[must_use]
    pub fn citing(&self, source: &str) -> Vec<(&'static str, usize)> {
        let mut all = Vec::new();
        for table in ALL.iter().copied() {
            if !table.columns.iter().any(|column| column.name == "source") {
                continue;
            }
            let count = self
                .read(table, &mut Problems::default(), |cells| {
                    cells.written("source").split(';').any(|key| key == source).then_some(())
                })
                .len();
            if count > 0 {
                all.push((table.file, count));
            }
        }
        all
    }

    /// Which own rows take the place of which built-in rows.
    #[must_use]
    pub fn replacements(&self) -> Vec<Replacement> {
        let mut all = Vec::new();
        for table in ALL.iter().filter(|table| self.has_own_of(table)) {
            let mut by_subject: BTreeMap<Vec<String>, Vec<Origin>> = BTreeMap::new();
            let mut built_in: BTreeMap<Vec<String>, Vec<Origin>> = BTreeMap::new();
            for (file, bytes) in self.texts(table) {
                let places = if is_own(&file) { &mut by_subject } else { &mut built_in };
                scan(&file, bytes, table.columns, &mut Problems::default(), |cells| {
                    places.entry(table.subject_of(cells)).or_default().push(cells.origin());
                });
            }
            for (subject, own) in by_subject {
                if let (Some(own), Some(built_in)) =
                    (own.into_iter().next(), built_in.remove(&subject))
                {
                    all.push(Replacement { own, built_in });
                }
            }
        }
        all
    }
}

/// Whether a file name is that of an own table: built-in tables stand in no folder.
pub(super) fn is_own(file: &str) -> bool {
    file.contains('/')
}

fn unknown_table(file: Arc<str>, name: String) -> RowProblem {
    let near = ALL
        .iter()
        .map(|table| (strsim::jaro_winkler(&name, table.file), table.file))
        .filter(|(likeness, _)| *likeness > 0.84)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let names: Vec<&str> = Tables::file_names().collect();
    let hint = near.map_or_else(
        || format!("tables are: {}", names.join(", ")),
        |(_, near)| format!("did you mean `{near}`?"),
    );
    RowProblem {
        file,
        line: 0,
        column: 0,
        field: None,
        value: name,
        excerpt: String::new(),
        problem: Problem::UnknownName { of: "table" },
        hint: Some(hint),
    }
}
