//! The signs in a text: the words of notes and of the symptoms table that carry meaning, brought to
//! one form so that they can be held against each other.

use super::names::fold;

/// The words of a text that carry meaning: those said to be there, and those said to be absent.
#[derive(Clone, Debug, Default)]
pub struct Signs {
    /// Said to be there, in order.
    pub seen: Vec<String>,
    /// Said to be absent, in order.
    pub absent: Vec<String>,
}

impl Signs {
    /// The signs of a text. A word after `no`, `not` or `without`, up to the end of the phrase, is absent.
    #[must_use]
    pub fn of(text: &str) -> Self {
        const COMMON: [&str; 34] = [
            "with", "from", "then", "than", "that", "this", "plant", "plants", "soon", "after",
            "when", "often", "later", "under", "over", "some", "most", "more", "three", "five",
            "eight", "about", "here", "where", "which", "into", "each", "them", "they", "their",
            "have", "been", "does", "only",
        ];
        let mut signs = Self::default();
        for phrase in text.split([',', ';', '.', ':']) {
            let mut denied = false;
            for word in fold(phrase).split(' ') {
                if matches!(word, "no" | "not" | "without" | "never" | "none") {
                    denied = true;
                } else if matches!(word, "but" | "and") {
                    denied = false;
                } else if word.len() > 3 && !COMMON.contains(&word) {
                    let stem = stem(word);
                    if denied { signs.absent.push(stem) } else { signs.seen.push(stem) }
                }
            }
        }
        for words in [&mut signs.seen, &mut signs.absent] {
            words.sort();
            words.dedup();
        }
        signs
    }
}

/// A word by its first six letters, and by the word the tables use where growers use another.
fn stem(word: &str) -> String {
    let usual = match word {
        "knots" | "knot" | "knotted" | "swellings" | "lumps" => "galls",
        "droop" | "droops" | "drooping" | "flag" | "flags" | "flagging" | "limp" => "wilt",
        "noon" | "lunchtime" => "midday",
        "dusk" | "evening" => "night",
        "sided" | "half" => "side",
        "veins" | "streaks" | "vessels" | "vascular" => "vascular",
        "mould" | "mold" => "mold",
        other => other,
    };
    usual.chars().take(6).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_looked_for_and_not_found_is_told_apart() {
        let signs = Signs::of("no knots on the roots, tap root firm; brown streaks in the stem");
        assert!(signs.absent.contains(&"galls".to_owned()));
        assert!(signs.seen.contains(&"vascul".to_owned()));
        assert!(!signs.seen.contains(&"galls".to_owned()));
    }
}
