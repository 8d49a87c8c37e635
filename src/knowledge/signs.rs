//! The signs in a text: the words of notes and of the symptoms table that carry meaning, brought to
//! one form so that they can be held against each other.

use std::sync::LazyLock;

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
        // A part of the plant is where a sign is, and none itself: every plant has roots.
        const PARTS: [&str; 6] = ["root", "stem", "leaf", "fruit", "flower", "inside"];
        let mut signs = Self::default();
        for phrase in text.split([',', ';', '.', ':']) {
            let mut denied = false;
            let folded = fold(phrase);
            if is_brown_inside(&folded) {
                signs.seen.push(stem("vascular"));
            }
            for word in folded.split(' ') {
                if matches!(word, "no" | "not" | "without" | "never" | "none") {
                    denied = true;
                } else if matches!(word, "but" | "and") {
                    denied = false;
                } else if word.len() > 3
                    && !COMMON.contains(&word)
                    && !PARTS.contains(&singular(word))
                {
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

    /// The first word of a text that says of a plant that it was sick, as it stands there; words that
    /// deny it ("no wilt") do not count. What is only a colour or a part is left out: ripe fruit is
    /// yellow too.
    #[must_use]
    pub fn of_sickness(text: &str) -> Option<String> {
        const SICK: &str = "sick sickly diseased disease infected wilt wilted wilting wilts rotted \
             rotten rotting blight blighted mildew mildewed mold moldy canker galls clubroot nematode \
             virus mosaic collapsed collapsing collapse dying died lesions stunted scab fusarium \
             verticillium phytophthora sclerotinia";
        static SIGNS: LazyLock<Vec<String>> = LazyLock::new(|| Signs::of(SICK).seen);
        if text.is_empty() {
            return None;
        }
        let found = Self::of(text).seen.into_iter().filter(|sign| SIGNS.contains(sign));
        let words = found.filter_map(|sign| Self::word(text, &sign));
        let folded = fold(text);
        words.min_by_key(|word| folded.find(word.as_str()))
    }

    /// The word of a text that gave a sign, as it stands there: signs are cut short, and nobody should
    /// have to read them so.
    #[must_use]
    pub fn word(text: &str, sign: &str) -> Option<String> {
        let folded = fold(text);
        folded
            .split(|letter: char| !letter.is_alphanumeric())
            .find(|word| word.len() > 3 && stem(word) == sign)
            .map(str::to_owned)
    }
}

/// Whether a phrase tells of brown vessels in the words of those who cut a stem: `brown inside stem`.
fn is_brown_inside(phrase: &str) -> bool {
    let has = |meant: &[&str]| phrase.split(' ').any(|word| meant.contains(&singular(word)));
    has(&["stem", "stalk"])
        && has(&["inside"])
        && has(&["brown", "browned", "browning", "brownish", "discolored", "discoloured", "dark"])
        && !has(&["no", "not", "without", "never", "none"])
}

/// A word by its first six letters, in the singular, and by the word the tables use where growers use
/// another.
fn stem(word: &str) -> String {
    let usual = match singular(word) {
        "knot" | "knotted" | "swelling" | "lump" => "gall",
        "droop" | "drooping" | "flag" | "flagging" | "limp" => "wilt",
        "noon" | "lunchtime" => "midday",
        "dusk" | "evening" => "night",
        "sided" | "half" => "side",
        "vein" | "streak" | "vessel" | "vascular" => "vascular",
        "mould" | "mold" => "mold",
        other => other,
    };
    usual.chars().take(6).collect()
}

/// A word without the ending of the plural: `fruits` and `fruit` are one sign.
fn singular(word: &str) -> &str {
    match word {
        "leaves" => "leaf",
        word if ["ss", "us", "is"].iter().any(|end| word.ends_with(end)) => word,
        word => word.strip_suffix('s').unwrap_or(word),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_and_several_are_one_sign_and_are_shown_as_written() {
        assert_eq!(Signs::of("galls on roots").seen, Signs::of("gall on the root").seen);
        assert_eq!(Signs::word("at the blossom end", "blosso").as_deref(), Some("blossom"));
    }

    #[test]
    fn brown_inside_the_stem_is_a_sign_of_the_vessels() {
        let is_told = |text| Signs::of(text).seen.contains(&"vascul".to_owned());
        assert!(is_told("wilted, brown inside stem"));
        assert!(is_told("stems dark inside"));
        assert!(!is_told("not brown inside the stem"));
        assert!(!is_told("brown stem"));
        assert!(!is_told("black bodies inside the stem"));
    }

    #[test]
    fn a_note_tells_of_sickness_unless_it_denies_it() {
        let told = |text| Signs::of_sickness(text);
        assert_eq!(told("Wilted in August").as_deref(), Some("wilted"));
        assert_eq!(told("gave up in July: knots on the roots").as_deref(), Some("knots"));
        assert_eq!(told("no mildew this year, ripe and yellow"), None);
        assert_eq!(told("mulched with straw"), None);
    }

    #[test]
    fn what_was_looked_for_and_not_found_is_told_apart() {
        let signs = Signs::of("no knots on the roots, tap root firm; brown streaks in the stem");
        assert!(signs.absent.contains(&"gall".to_owned()));
        assert!(signs.seen.contains(&"vascul".to_owned()));
        assert!(!signs.seen.contains(&"gall".to_owned()));
    }
}
