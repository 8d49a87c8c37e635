//! The colours of the report, in one place so that their contrast can be worked out in a test
//! (WCAG 2.2, success criteria 1.4.3 and 1.4.11).
//!
//! The style sheet has them as variables; the drawings take a few from here, and a test holds the two
//! together.
//!
//! Inks are dark and few; grounds are pale. What tells things apart is pattern and word; colour
//! repeats it.

/// Text and outlines.
pub(crate) const INK: &str = "#1b2330";
/// Text that may stand back.
pub(crate) const SOFT_INK: &str = "#4a5464";
/// The page.
pub(crate) const PAPER: &str = "#ffffff";
/// Soil, below the ground line.
pub(crate) const SOIL: &str = "#f3ede2";
/// Air, above it.
pub(crate) const AIR: &str = "#edf4f8";
/// wait, and disease.
pub(crate) const RUST: &str = "#9c1f2e";
/// What is not known.
pub(crate) const PLUM: &str = "#5b3a8c";
/// Ground of plant.
pub(crate) const LEAF_PALE: &str = "#dcefe8";
/// Ground of care.
pub(crate) const STRAW_PALE: &str = "#f8ead0";
/// Ground of wait.
pub(crate) const RUST_PALE: &str = "#f6dcdd";

/// Grounds of the families' patterns, in the order of the patterns.
pub(crate) const FAMILY_GROUNDS: [&str; 14] = [
    "#f7d9c4", "#d5e8d4", "#f6eab8", "#cfe3f2", "#e3d7ef", "#f5d5df", "#d9e2c5", "#d2ebe8",
    "#ece0cf", "#e2e6ee", "#f9e0b0", "#dcd9d0", "#cde6d9", "#eeeeee",
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::render::STYLE;

    /// A variable of the style sheet.
    fn of_style(name: &str) -> &'static str {
        let (_, rest) = STYLE.split_once(&format!("--{name}:")).expect("a variable of the style");
        &rest[..7]
    }

    #[test]
    fn the_style_sheet_has_the_same_colours() {
        for (name, colour) in
            [("ink", INK), ("soft", SOFT_INK), ("rust", RUST), ("plum", PLUM), ("soil", SOIL)]
        {
            assert_eq!(of_style(name), colour, "{name}");
        }
        for colour in [LEAF_PALE, RUST_PALE] {
            assert!(STYLE.contains(&format!("fill:{colour}")), "{colour}");
        }
    }

    fn luminance(colour: &str) -> f64 {
        let channel = |at: usize| {
            let value = u8::from_str_radix(&colour[at..at + 2], 16).expect("two digits");
            let share = f64::from(value) / 255.0;
            if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
    }

    fn contrast(one: &str, other: &str) -> f64 {
        let (one, other) = (luminance(one), luminance(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn the_formula_gives_the_printed_values() {
        // Against white, as computed for the published colours of the Okabe-Ito set.
        for (colour, ratio) in [("#000000", 21.0), ("#0072b2", 5.19), ("#d55e00", 3.87)] {
            assert!((contrast(colour, "#ffffff") - ratio).abs() < 0.01, "{colour}");
        }
    }

    #[test]
    fn every_text_stands_out_from_every_ground_it_is_printed_on() {
        let grounds = [PAPER, SOIL, AIR, LEAF_PALE, STRAW_PALE, RUST_PALE];
        for name in ["ink", "soft", "leaf", "straw", "rust", "plum", "sky"] {
            let text = of_style(name);
            for ground in grounds {
                let ratio = contrast(text, ground);
                assert!(ratio >= 4.5, "{text} on {ground}: {ratio:.2}");
            }
        }
        assert!(contrast(PAPER, INK) >= 4.5, "white on ink");
    }

    #[test]
    fn outlines_stand_out_from_the_patterns_grounds() {
        for ground in FAMILY_GROUNDS {
            assert!(contrast(INK, ground) >= 3.0, "{ground}: {:.2}", contrast(INK, ground));
        }
        for name in ["leaf", "rust", "straw"] {
            let line = of_style(name);
            for ground in [SOIL, AIR, PAPER] {
                assert!(contrast(line, ground) >= 3.0, "{line} on {ground}");
            }
        }
    }
}
