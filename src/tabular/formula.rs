//! Text that a spreadsheet would take for a formula. On the way out it gets a single quote before
//! it, as the OWASP verification standard (ASVS 1.2.10) and CWE-1236 advise; on the way in exactly
//! that quote is taken off again. Numbers keep their minus: they stand in columns of numbers.

use std::borrow::Cow;

use super::column::{Column, Kind};
use super::scan::matching;

/// Whether a spreadsheet would take a text for a formula.
fn is_formula(text: &str) -> bool {
    matches!(text.bytes().next(), Some(b'=' | b'+' | b'-' | b'@' | b'\t' | b'\r'))
}

/// The text without the quote that [`neutralised`] put before it.
#[inline]
pub(super) fn restored(text: &str) -> &str {
    text.strip_prefix('\'').filter(|text| is_formula(text)).unwrap_or(text)
}

/// Whether a column holds words.
#[inline]
pub(super) fn holds_text(kind: Kind) -> bool {
    matches!(kind, Kind::Text(_) | Kind::Name(_))
}

/// Which fields of a file with this header hold words.
#[must_use]
pub fn text_fields(header: &str, columns: &'static [Column]) -> Vec<bool> {
    fields(header)
        .into_iter()
        .map(|(begins, ends)| {
            let name = header[begins..ends].trim_matches([' ', '"']);
            matching(name, columns).is_some_and(|(at, _)| holds_text(columns[at].kind))
        })
        .collect()
}

/// A row as written, with a quote before each text that would be taken for a formula.
#[must_use]
pub fn neutralised<'r>(row: &'r str, text_fields: &[bool]) -> Cow<'r, str> {
    let mut safe = String::new();
    let mut copied = 0;
    for ((begins, ends), is_text) in fields(row).into_iter().zip(text_fields) {
        let field = &row[begins..ends];
        let content = field.strip_prefix('"').unwrap_or(field);
        let content = content.trim_start_matches(' ');
        if *is_text && is_formula(content) {
            let at = ends - content.len();
            safe.push_str(&row[copied..at]);
            safe.push('\'');
            copied = at;
        }
    }
    if copied == 0 && safe.is_empty() {
        return Cow::Borrowed(row);
    }
    safe.push_str(&row[copied..]);
    Cow::Owned(safe)
}

/// Where the fields of a row begin and end, quotes honoured as the reader does: only at the start
/// of a field.
fn fields(row: &str) -> Vec<(usize, usize)> {
    let mut fields = Vec::new();
    let (mut begins, mut quoted) = (0, false);
    for (at, byte) in row.bytes().enumerate() {
        match byte {
            b'"' if quoted || at == begins => quoted = !quoted,
            // A doubled quote within a quoted field opens it again.
            b'"' if row.as_bytes()[begins] == b'"' && row.as_bytes()[at - 1] == b'"' => {
                quoted = true;
            }
            b',' if !quoted => {
                fields.push((begins, at));
                begins = at + 1;
            }
            _ => {}
        }
    }
    fields.push((begins, row.len()));
    fields
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    const COLUMNS: &[Column] = &[
        Column::required("bed", Kind::Name("bed"), "bed"),
        Column::optional("x_m", Kind::Number(-9.0, 9.0), "place"),
        Column::optional("note", Kind::Text(200), "note"),
    ];

    #[test]
    fn formulas_are_quoted_and_numbers_are_not() {
        let text = text_fields("bed,x_m,\"note\"", COLUMNS);
        assert_eq!(text, [true, false, true]);
        for (row, wanted) in [
            ("A,-5,fine", "A,-5,fine"),
            ("-A,-5,=1+1", "'-A,-5,'=1+1"),
            ("A,,\"=HYPERLINK(\"\"x\"\",1)\"", "A,,\"'=HYPERLINK(\"\"x\"\",1)\""),
            ("A,, @cmd", "A,, '@cmd"),
            ("\"a,=b\",1,\"-x, \"\"=y\"\",=z\"", "\"a,=b\",1,\"'-x, \"\"=y\"\",=z\""),
        ] {
            let safe = neutralised(row, &text);
            assert_eq!(safe, wanted);
            assert_eq!(neutralised(&safe, &text), wanted, "once is enough");
        }
    }

    #[test]
    fn the_quote_is_taken_off_once() {
        assert_eq!(restored("'=1+1"), "=1+1");
        assert_eq!(restored("''=1+1"), "''=1+1");
        assert_eq!(restored("'tis"), "'tis");
        assert_eq!(restored("-5"), "-5");
    }
}
