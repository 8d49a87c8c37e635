//! Documents behind the figures. Read only when one is cited: an answer needs a handful of them.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::citation::Citation;
use super::publication::Publication;
use super::tables::{Table, Tables, is_own};
use crate::tabular::{Cells, Column, Kind, Problem, Problems};

/// One document.
#[derive(Clone, Debug)]
pub struct Source {
    /// Key by which rows cite it.
    pub key: Box<str>,
    /// What it is as a document.
    pub publication: Publication,
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
    // Own tables may leave it out; built-in rows may not (`publication_of`).
    Column::optional(
        "publication",
        Kind::Choice(Publication::WORDS),
        "what it is as a document; own if blank in own tables",
    ),
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
    // Judgments ask for nothing else of a source: read without the rest.
    publications: OnceLock<BTreeMap<Box<str>, Publication>>,
}

impl Sources {
    pub(super) fn new(tables: Tables) -> Self {
        Self { tables, rows: OnceLock::new(), publications: OnceLock::new() }
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

    /// What the source of a key is as a document; no document if the key is not in the table.
    #[must_use]
    pub fn publication(&self, key: &str) -> Publication {
        let known = self.publications.get_or_init(|| {
            self.tables
                .read(&SOURCES, &mut Problems::default(), |cells| {
                    Some((Box::from(cells.text("key")?), publication_of(cells)?))
                })
                .into_iter()
                .collect()
        });
        known.get(key).copied().unwrap_or(Publication::None)
    }

    /// What the weaker documents are on which a figure rests alone; `None` if a stronger one says
    /// it as well.
    #[must_use]
    pub fn weak_only(&self, citation: &Citation) -> Option<Publication> {
        citation.keys().map(|key| self.publication(key)).min().filter(|best| best.is_weak())
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

/// A blank cell stands for the grower's own word in own tables and is a fault in ours.
fn publication_of(cells: &mut Cells<'_>) -> Option<Publication> {
    if cells.written("publication").is_empty() {
        if is_own(cells.file()) {
            return Some(Publication::Own);
        }
        cells.problem("publication", Problem::Blank, None);
        return None;
    }
    cells.choice("publication").map(Publication::at)
}

fn read(tables: &Tables, problems: &mut Problems) -> BTreeMap<Box<str>, Source> {
    tables
        .read(&SOURCES, problems, |cells| {
            let publication = publication_of(cells);
            let mut text = |name| Box::from(cells.text(name).unwrap_or_default());
            Some(Source {
                key: text("key"),
                publication: publication?,
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

#[cfg(test)]
mod tests {
    use super::{Publication, Sources, Tables, publication_of};
    use crate::knowledge::table::rows;
    use crate::tabular::{Problem, Problems};

    fn published(file: &str, text: &'static str) -> (Vec<Publication>, Problems) {
        let mut problems = Problems::default();
        let found = rows(file, text, super::COLUMNS, &mut problems, publication_of);
        (found, problems)
    }

    #[test]
    fn a_built_in_source_must_say_what_it_is_and_an_own_one_may_not() {
        let text = "key,title\nleaflet,A leaflet\n";
        let (found, problems) = published("sources.csv", text);
        assert!(found.is_empty());
        assert_eq!(problems.list[0].problem, Problem::Blank);
        let (found, problems) = published("advice/sources.csv", text);
        assert_eq!(found, [Publication::Own]);
        assert!(problems.is_empty());
    }

    #[test]
    fn every_built_in_source_says_what_it_is() {
        let sources = Sources::new(Tables::built_in());
        assert!(sources.problems().is_empty());
        let odd = sources.iter().filter(|source| source.publication == Publication::None);
        let keys: Vec<&str> = odd.map(|source| &*source.key).collect();
        assert_eq!(keys, ["common_practice", "memory"]);
    }
}
