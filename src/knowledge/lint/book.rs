//! The tables as text with places, for rules that look across rows.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::{Fault, LintRule};
use crate::knowledge::tables::{ALL, Table, Tables, is_own};
use crate::tabular::{Problem, Problems, RowProblem, place_of_field, scan};

/// One row as written.
pub(super) struct Row {
    file: Arc<str>,
    line: u32,
    raw: Box<str>,
    cells: Vec<Box<str>>,
    positions: Arc<[Option<usize>]>,
}

/// One table: built-in rows that still count, then own rows.
pub(super) struct Sheet {
    pub(super) table: &'static Table,
    pub(super) rows: Vec<Row>,
}

impl Sheet {
    /// A cell; empty if the table has no such column.
    pub(super) fn cell<'r>(&self, row: &'r Row, name: &str) -> &'r str {
        let at = self.table.columns.iter().position(|column| column.name == name);
        at.map_or("", |at| &row.cells[at])
    }

    /// Whether the table has a column.
    pub(super) fn has(&self, name: &str) -> bool {
        self.table.columns.iter().any(|column| column.name == name)
    }

    /// A number in a cell.
    pub(super) fn number(&self, row: &Row, name: &str) -> Option<f64> {
        self.cell(row, name).parse().ok()
    }

    /// The cells of several columns.
    pub(super) fn cells<'r>(&self, row: &'r Row, names: &[&str]) -> Vec<&'r str> {
        names.iter().map(|name| self.cell(row, name)).collect()
    }

    /// A fault in a cell of a row.
    pub(super) fn fault(
        &self,
        rule: LintRule,
        row: &Row,
        name: &str,
        problem: Problem,
        hint: impl Into<String>,
    ) -> Fault {
        let at = self.table.columns.iter().position(|column| column.name == name);
        let (column, below) = at
            .and_then(|at| row.positions[at])
            .map_or((0, 0), |position| place_of_field(&row.raw, position));
        let line = row.raw.lines().nth(below as usize).unwrap_or_default();
        Fault {
            rule,
            at: RowProblem {
                file: Arc::clone(&row.file),
                line: row.line + below,
                column,
                field: at.map(|_| name.to_owned()),
                value: self.cell(row, name).to_owned(),
                excerpt: line.chars().take(400).collect(),
                problem,
                hint: Some(hint.into()),
            },
        }
    }
}

impl Row {
    /// Where it stands, as printed.
    pub(super) fn place(&self) -> String {
        format!("{}:{}", self.file, self.line)
    }

    /// Whether two rows stand in the same file.
    pub(super) fn same_file(&self, other: &Self) -> bool {
        self.file == other.file
    }
}

/// All tables.
pub(super) struct Book {
    sheets: BTreeMap<&'static str, Sheet>,
    texts: usize,
}

impl Book {
    pub(super) fn open(tables: &Tables) -> Self {
        let mut sheets = BTreeMap::new();
        let mut texts = 0;
        for table in ALL.iter().copied() {
            let mut rows = Vec::new();
            let mut own_subjects = BTreeSet::new();
            // Own rows first: they tell which built-in rows no longer count.
            for (file, bytes) in tables.texts(table).into_iter().rev() {
                texts += 1;
                let mut positions: Option<Arc<[Option<usize>]>> = None;
                let mut of_file = Vec::new();
                scan(&file, bytes, table.columns, &mut Problems::default(), |cells| {
                    if is_own(&file) {
                        own_subjects.insert(table.subject_of(cells));
                    } else if own_subjects.contains(&table.subject_of(cells)) {
                        return;
                    }
                    let positions = positions.get_or_insert_with(|| {
                        table.columns.iter().map(|column| cells.position(column.name)).collect()
                    });
                    of_file.push(Row {
                        file: Arc::clone(&file),
                        line: cells.origin().line,
                        raw: cells.raw().into(),
                        cells: table
                            .columns
                            .iter()
                            .map(|column| cells.written(column.name).into())
                            .collect(),
                        positions: Arc::clone(positions),
                    });
                });
                rows.splice(0..0, of_file);
            }
            sheets.insert(table.file, Sheet { table, rows });
        }
        Self { sheets, texts }
    }

    /// The sheet of a file name.
    pub(super) fn sheet(&self, file: &str) -> &Sheet {
        self.sheets.get(file).expect("rules name only tables of the list")
    }

    /// All sheets.
    pub(super) fn sheets(&self) -> impl Iterator<Item = &Sheet> {
        self.sheets.values()
    }

    /// All values of a column.
    pub(super) fn values(&self, file: &str, column: &str) -> BTreeSet<&str> {
        let sheet = self.sheet(file);
        sheet
            .rows
            .iter()
            .map(|row| sheet.cell(row, column))
            .filter(|cell| !cell.is_empty())
            .collect()
    }

    /// How many texts were read.
    pub(super) fn texts(&self) -> usize {
        self.texts
    }

    /// How many rows count.
    pub(super) fn rows(&self) -> usize {
        self.sheets.values().map(|sheet| sheet.rows.len()).sum()
    }
}

/// `;`-joined words of a cell.
pub(super) fn parts(cell: &str) -> impl Iterator<Item = &str> {
    cell.split(';').map(str::trim).filter(|part| !part.is_empty())
}

/// The known key nearest to a slip of the pen, as a hint.
pub(super) fn near<'k>(written: &str, known: impl IntoIterator<Item = &'k str>) -> String {
    known
        .into_iter()
        .map(|key| (strsim::jaro_winkler(written, key), key))
        .filter(|(likeness, _)| *likeness > 0.84)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map_or_else(
            || "add a row for it to its table, or write a key that is there".to_owned(),
            |(_, key)| format!("did you mean `{key}`?"),
        )
}
