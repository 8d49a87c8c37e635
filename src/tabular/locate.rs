//! The character column of a field. The CSV reader gives byte, line and record but no column, so
//! the raw record is read again, quotes honoured, only when there is something to report.

/// Character column (from 1) at which field number `field` (from 0) begins in the raw record, and
/// how many lines below the record's first line that is.
pub(crate) fn place_of_field(raw: &str, field: usize) -> (u32, u32) {
    let (mut column, mut line, mut at, mut quoted) = (1_u32, 0_u32, 0_usize, false);
    for character in raw.chars() {
        if at == field {
            break;
        }
        match character {
            '"' => quoted = !quoted,
            ',' if !quoted => at += 1,
            '\n' => {
                line += 1;
                column = 0;
            }
            _ => {}
        }
        column += 1;
    }
    (column, line)
}

/// Whether the record ends within a quote: one was opened at the start of a field and never closed.
/// A quote in the middle of a field, as in `5" pot`, is a letter like any other.
pub(super) fn ends_in_quote(raw: &str) -> bool {
    let (mut quoted, mut at_start) = (false, true);
    for character in raw.chars() {
        match character {
            '"' if quoted || at_start => {
                quoted = !quoted;
                // A doubled quote inside opens again at once.
                at_start = !quoted;
            }
            ',' | '\n' if !quoted => at_start = true,
            _ => at_start = false,
        }
    }
    quoted
}

#[cfg(test)]
mod tests {
    use super::{ends_in_quote, place_of_field};

    #[test]
    fn an_open_quote_is_told_from_an_inch_sign() {
        assert!(ends_in_quote("a,\"left open"));
        assert!(!ends_in_quote("a,\"closed, and \"\"doubled\"\"\",b"));
        assert!(!ends_in_quote("a,5\" pot,b"));
    }

    #[test]
    fn quotes_and_wide_letters_are_counted_as_seen() {
        let raw = "bed 7,\"north, wet\",kålrabi,2024-03-12";
        assert_eq!(place_of_field(raw, 0), (1, 0));
        assert_eq!(place_of_field(raw, 1), (7, 0));
        assert_eq!(place_of_field(raw, 2), (20, 0));
        assert_eq!(place_of_field(raw, 3), (28, 0));
    }

    #[test]
    fn a_field_after_a_broken_line_is_found_on_its_own_line() {
        assert_eq!(place_of_field("a,\"one\ntwo\",b", 2), (6, 1));
    }
}
