//! What kind of document a source is, and which kinds bear less.

/// What a source is, as a document: of the text whose statement is cited, whoever shows a copy of
/// it. A text quoted by a third, itself not seen, is what the third is.
///
/// The order is from what is held to bear most to what bears least.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Publication {
    /// Paper or review in a scientific journal, seen whole, as its abstract or as a published
    /// summary.
    Paper,
    /// Law, regulation, rule of a certifier, published standard.
    Standard,
    /// Data set, statistics of an office, parameters shipped with a crop model.
    Data,
    /// Bulletin, handbook, leaflet or page of an extension service, a university, a research
    /// station, a public body, a learned society, or the research body of a growers' levy.
    Bulletin,
    /// Textbook, compendium, handbook of a publisher.
    Book,
    /// Thesis, meeting abstract, report of a project or trial: work that no referee has passed.
    Report,
    /// A grower's or adviser's own word, and rules of this project.
    Own,
    /// Page or leaflet of one who sells seed, plants, fertiliser or advice; trade or farm magazine.
    Trade,
    /// Garden page, newspaper, encyclopaedia, forum, copied text whose origin is not shown.
    General,
    /// No document: the words `memory` and `common_practice`.
    None,
}

impl Publication {
    const ALL: [Self; 10] = [
        Self::Paper,
        Self::Standard,
        Self::Data,
        Self::Bulletin,
        Self::Book,
        Self::Report,
        Self::Own,
        Self::Trade,
        Self::General,
        Self::None,
    ];

    /// The words used in the table, in the order of the variants.
    pub(super) const WORDS: &'static [&'static str] = &[
        "paper", "standard", "data", "bulletin", "book", "report", "own", "trade", "general",
        "none",
    ];

    /// The variant of a word's place in [`Publication::WORDS`].
    pub(super) fn at(index: usize) -> Self {
        Self::ALL[index]
    }

    /// The word of the table.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// The same for people.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Paper => "paper in a scientific journal",
            Self::Standard => "law, rule or standard",
            Self::Data => "data set, statistics or parameters of a crop model",
            Self::Bulletin => "bulletin of an extension, research or public body",
            Self::Book => "textbook or compendium",
            Self::Report => "thesis, meeting abstract or project report",
            Self::Own => "own word of a grower or adviser, or a rule of this project",
            Self::Trade => "trade page",
            Self::General => "general page",
            Self::None => "no document",
        }
    }

    /// Whether a figure that only such documents print is less sure for it: nobody who answers for
    /// it by trade or office has tried it.
    #[must_use]
    pub fn is_weak(self) -> bool {
        match self {
            Self::Trade | Self::General => true,
            Self::Paper
            | Self::Standard
            | Self::Data
            | Self::Bulletin
            | Self::Book
            | Self::Report
            | Self::Own
            | Self::None => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Publication;

    #[test]
    fn each_word_reads_as_what_wrote_it() {
        for (at, word) in Publication::WORDS.iter().enumerate() {
            assert_eq!(Publication::at(at).word(), *word);
        }
        assert_eq!(Publication::WORDS.len(), Publication::ALL.len());
    }

    #[test]
    fn what_bears_less_stands_after_all_that_bears_more() {
        let last_sound = Publication::ALL.into_iter().filter(|one| !one.is_weak()).max();
        assert_eq!(last_sound, Some(Publication::None));
        assert!(Publication::Own < Publication::Trade && Publication::Trade < Publication::General);
    }
}
