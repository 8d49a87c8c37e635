//! Sources in words, beside what rests on them.

use super::phrase::Phrases;
use super::text::{Label, Span};
use crate::knowledge::{Citation, How, Publication};

impl Phrases<'_> {
    /// A source in words: its keys, how it is known if it was not read, that it bears less if no
    /// better one says the same, and the place in own tables.
    #[must_use]
    pub(super) fn source(self, citation: &Citation) -> String {
        let keys: Vec<&str> = citation.keys().collect();
        let how = match (keys.as_slice(), citation.how) {
            ([], _) => return placed("the grower".to_owned(), citation),
            (["memory"], _) => return placed("memory".to_owned(), citation),
            (["common_practice"], _) => return placed("common practice".to_owned(), citation),
            (_, How::Read) => None,
            (_, how) => Some(how.word()),
        };
        let weak = self.knowledge.sources.weak_only(citation).map(Publication::words);
        let notes: Vec<&str> = how.into_iter().chain(weak).collect();
        let keys = keys.join(", ");
        let words = if notes.is_empty() { keys } else { format!("{keys} ({})", notes.join(", ")) };
        placed(words, citation)
    }

    /// The same as a mark behind what it says.
    pub(super) fn cited(self, citation: &Citation) -> Span {
        Span::new(Label::Source, format!("[{}]", self.source(citation)))
    }
}

fn placed(words: String, citation: &Citation) -> String {
    match &citation.own {
        Some(place) => format!("{words}; {place}"),
        None => words,
    }
}
