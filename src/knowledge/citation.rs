//! How a figure is known and from where.

use crate::origin::Origin;

/// How a fact came to be known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum How {
    /// Seen in the document, an abstract or an excerpt of it.
    Read,
    /// A rule of the trade without a document.
    CommonPractice,
    /// Known but not seen: a debt to be paid.
    Memory,
    /// Worked out from figures that were read; the locator says how.
    Computed,
}

impl How {
    /// The words used in the tables, in the order of the variants.
    pub(super) const WORDS: &'static [&'static str] =
        &["read", "common_practice", "memory", "computed"];

    /// The variant of a word's place in [`How::WORDS`].
    pub(super) fn at(index: usize) -> Self {
        [Self::Read, Self::CommonPractice, Self::Memory, Self::Computed][index]
    }

    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::CommonPractice => "common practice",
            Self::Memory => "memory",
            Self::Computed => "computed",
        }
    }
}

/// The source of one row: keys of the sources table, the place within the source, how it is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Citation {
    keys: Box<str>,
    /// Entry, table or page within the source, or how the figure was derived; may be empty.
    pub locator: Box<str>,
    /// How the fact is known.
    pub how: How,
    /// Where the row stands, if it stands in a grower's own tables.
    pub own: Option<Origin>,
}

impl Citation {
    /// A citation of one or several sources, their keys joined by `;`.
    #[must_use]
    pub fn new(keys: &str, locator: &str, how: How) -> Self {
        Self { keys: keys.into(), locator: locator.into(), how, own: None }
    }

    /// The keys of the sources.
    pub fn keys(&self) -> impl Iterator<Item = &str> {
        self.keys.split(';').filter(|key| !key.is_empty())
    }
}
