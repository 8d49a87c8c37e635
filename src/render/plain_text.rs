//! Text that a terminal can be trusted with: no marks that turn lines round, and ASCII where the
//! locale knows nothing else.

use std::borrow::Cow;

/// Whether a locale's name says UTF-8; without a name the old standard holds, which is ASCII.
///
/// ```
/// use breakcrop::render::is_utf8_locale;
/// assert!(is_utf8_locale(Some("en_GB.UTF-8")));
/// assert!(!is_utf8_locale(Some("C")));
/// assert!(!is_utf8_locale(None));
/// ```
#[must_use]
pub fn is_utf8_locale(locale: Option<&str>) -> bool {
    let folded = locale.unwrap_or_default().to_ascii_lowercase().replace('-', "");
    folded.contains("utf8")
}

/// Marks that change the direction of what follows: a name that carries them would turn the rest
/// of the line.
fn turns_the_line(character: char) -> bool {
    matches!(
        character,
        '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
    )
}

/// The text as it is shown.
pub(super) fn shown(text: &str, ascii: bool) -> String {
    if text.bytes().all(|byte| (0x20..0x7f).contains(&byte)) {
        return text.to_owned();
    }
    let kept = text.chars().filter_map(|character| match character {
        '\n' | '\r' | '\t' => Some(' '),
        // A terminal would obey it: move the cursor, change colours, answer back.
        command if command.is_control() => None,
        turning if turns_the_line(turning) => None,
        kept => Some(kept),
    });
    if ascii { kept.map(in_ascii).collect() } else { kept.collect() }
}

/// A character in ASCII: what it is commonly written as, else a question mark.
fn in_ascii(character: char) -> Cow<'static, str> {
    let written = match character {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => "a",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' => "o",
        'ù' | 'ú' | 'û' | 'ü' | '\u{b5}' | '\u{3bc}' => "u",
        'æ' => "ae",
        'œ' => "oe",
        'ß' => "ss",
        'À' | 'Á' | 'Â' | 'Ã' | 'Ä' | 'Å' => "A",
        'Ç' => "C",
        'È' | 'É' | 'Ê' | 'Ë' => "E",
        'Ñ' => "N",
        'Ò' | 'Ó' | 'Ô' | 'Õ' | 'Ö' | 'Ø' => "O",
        'Ù' | 'Ú' | 'Û' | 'Ü' => "U",
        '\u{2018}' | '\u{2019}' => "'",
        '\u{201c}' | '\u{201d}' => "\"",
        '\u{2013}' | '\u{2014}' | '\u{2212}' => "-",
        '\u{2026}' => "...",
        '\u{d7}' => "x",
        '\u{b0}' => " degrees ",
        '\u{b2}' => "2",
        '\u{bd}' => "1/2",
        '\u{a0}' | '\u{202f}' => " ",
        // Marks laid over the letter before, and joiners.
        '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200d}' | '\u{fe0f}' => "",
        other if other.is_ascii() => return other.to_string().into(),
        _ => "?",
    };
    written.into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn marks_that_turn_the_line_are_left_out() {
        assert_eq!(shown("a\u{202e}b\u{2066}c", false), "abc");
        assert_eq!(shown("jalape\u{f1}o", false), "jalape\u{f1}o");
    }

    #[test]
    fn ascii_keeps_the_letters() {
        assert_eq!(shown("jalape\u{f1}o \u{2013} 2\u{d7}3 m\u{b2}~", true), "jalapeno - 2x3 m2~");
        assert_eq!(shown("\u{1f345} e\u{301}", true), "? e");
        for character in (0_u8..128).map(char::from) {
            assert_eq!(in_ascii(character), character.to_string());
        }
    }
}
