//! Documents behind the figures. Read only when one is cited: an answer needs a handful of them.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problems};

/// One document.
#[derive(Clone, Debug)]
pub struct Source {
    /// Key by which rows cite it.
    pub key: Box<str>,
    /// Author or publishing body.
    pub author: Box<str>,
    /// Title.
    pub title: Box<str>,
    /// Year, if printed.
    pub year: Box<str>,
    /// Publisher or journal.
    pub publisher: Box<str>,
    /// Number of the bulletin, or volume and pages.
    pub number: Box<str>,
    /// Table or page that holds for all rows that cite it.
    pub locator: Box<str>,
    /// Address or DOI.
    pub address: Box<str>,
    /// The whole reference in one line.
    pub citation: Box<str>,
}

const COLUMNS: &[Column] = &[
    Column::required("key", Kind::Text(80), "key by which rows cite it"),
    Column::optional("author", Kind::Text(300), "author or publishing body"),
    Column::optional("title", Kind::Text(800), "title"),
    Column::optional("year", Kind::Text(10), "year, if printed"),
    Column::optional("publisher", Kind::Text(300), "publisher or journal"),
    Column::optional("number", Kind::Text(120), "bulletin number, or volume and pages"),
    Column::optional("locator", Kind::Text(300), "table or page"),
    Column::optional("address", Kind::Text(600), "address or DOI"),
    Column::optional("citation", Kind::Text(1200), "the whole reference in one line"),
];

pub(super) static SOURCES: Table = Table {
    file: "sources.csv",
    text: include_str!("tables/sources.csv"),
    columns: COLUMNS,
    subject: &["key"],
    told_apart_by: &[],
    attributes: None,
};

/// The table of sources, parsed at the first question.
#[derive(Debug)]
pub struct Sources {
    tables: Tables,
    rows: OnceLock<BTreeMap<Box<str>, Source>>,
}

impl Sources {
    pub(super) fn new(tables: Tables) -> Self {
        Self { tables, rows: OnceLock::new() }
    }

    fn rows(&self) -> &BTreeMap<Box<str>, Source> {
        self.rows.get_or_init(|| {
            let mut problems = Problems::default();
            read(&self.tables, &mut problems)
        })
    }

    /// The problems of the table itself.
    #[must_use]
    pub fn problems(&self) -> Problems {
        let mut problems = Problems::default();
        read(&self.tables, &mut problems);
        problems
    }

    /// The source of a key.
    #[must_use]
    pub fn find(&self, key: &str) -> Option<&Source> {
        self.rows().get(key)
    }

    /// All, in the order of their keys.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.rows().values()
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.rows().len()
    }
}

fn read(tables: &Tables, problems: &mut Problems) -> BTreeMap<Box<str>, Source> {
    tables
        .read(&SOURCES, problems, |cells| {
            let mut text = |name| Box::from(cells.text(name).unwrap_or_default());
            Some(Source {
                key: text("key"),
                author: text("author"),
                title: text("title"),
                year: text("year"),
                publisher: text("publisher"),
                number: text("number"),
                locator: text("locator"),
                address: text("address"),
                citation: text("citation"),
            })
        })
        .into_iter()
        .map(|source| (source.key.clone(), source))
        .collect()
}
