//! How the text of a record file is laid out: what parts its fields, and how many titles stand above
//! its header.

use csv::{ReaderBuilder, StringRecord};

/// The layout of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    /// The byte between two fields.
    pub separator: u8,
    /// Rows above the header that are none of the table's.
    pub titles: usize,
}

impl Layout {
    /// Fields parted by commas, the header first.
    pub const OURS: Self = Self { separator: b',', titles: 0 };

    /// How many rows are looked at for a header.
    const LOOKED_AT: usize = 12;

    /// How many columns a row must name to be the header.
    const NAMED: usize = 2;

    /// The layout under which the first rows hold a header, ours where none does.
    pub(super) fn of(text: &[u8], is_column: impl Fn(&str) -> bool) -> Self {
        let found = b",;\t".iter().find_map(|&separator| {
            let mut reader = ReaderBuilder::new()
                .delimiter(separator)
                .has_headers(false)
                .flexible(true)
                .comment(Some(b'#'))
                .from_reader(text);
            let mut record = StringRecord::new();
            for titles in 0..Self::LOOKED_AT {
                if !reader.read_record(&mut record).unwrap_or(false) {
                    return None;
                }
                if record.iter().filter(|name| is_column(name)).count() >= Self::NAMED {
                    return Some(Self { separator, titles });
                }
                // A title is one cell, also where it is merged over several; else it is a row.
                if record.iter().filter(|cell| !cell.trim().is_empty()).count() > 1 {
                    return None;
                }
            }
            None
        });
        found.unwrap_or(Self::OURS)
    }

    /// Whether a comma between digits is a decimal point: where it is, fields are parted by
    /// semicolons.
    #[must_use]
    pub fn has_decimal_commas(self) -> bool {
        self.separator == b';'
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    fn layout(text: &str) -> Layout {
        Layout::of(text.as_bytes(), |name| ["bed", "crop", "planted"].contains(&name))
    }

    #[test]
    fn a_header_is_found_under_its_separator_and_its_titles() {
        assert_eq!(layout("bed,crop,planted\na;b,c,d\n"), Layout::OURS);
        assert_eq!(layout("bed\tcrop\n"), Layout { separator: b'\t', titles: 0 });
        assert_eq!(
            layout("# mine\nBeds;;\n;;\n\nbed;crop\n"),
            Layout { separator: b';', titles: 2 }
        );
    }

    #[test]
    fn without_a_header_nothing_is_taken_for_one() {
        for text in ["", "Beet;Kultur\n", "a,b\nbed,crop\n", "bed;when\nbed;crop\n"] {
            assert_eq!(layout(text), Layout::OURS, "{text}");
        }
    }
}
