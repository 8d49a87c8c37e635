//! A claim in words with the leaves it rests on, as the pages and the JSON of covers and company show
//! it.

use super::phrase::Phrases;
use super::text::{Label, Line};
use crate::assess::Evidence;
use crate::knowledge::Turn;

/// A claim on an option with what it rests on, for the tree and for JSON.
pub(super) struct Told<'a> {
    /// What it is about.
    pub(super) rule: &'static str,
    /// `for`, `against`, `neither` or `unknown`.
    pub(super) speaks: &'static str,
    /// In words.
    pub(super) text: String,
    /// What it rests on.
    pub(super) evidence: Vec<&'a Evidence>,
}

/// For which side a plant speaks that turns a disease so.
pub(super) fn speaks_of(turn: Option<Turn>) -> &'static str {
    match turn {
        Some(Turn::Raises) => "against",
        Some(Turn::Lowers) => "for",
        Some(Turn::Neutral) => "neither",
        None => "unknown",
    }
}

pub(super) fn speaks_label(speaks: &str) -> Label {
    match speaks {
        "for" => Label::Plant,
        "against" => Label::Wait,
        "unknown" => Label::Unknown,
        _ => Label::Plain,
    }
}

/// The leaves of a claim; one told before is left out.
pub(super) fn leaves(
    phrases: Phrases<'_>,
    evidence: &[&Evidence],
    seen: &mut Vec<String>,
) -> Vec<Line> {
    let mut lines = Vec::new();
    for leaf in evidence {
        let (text, place) = phrases.evidence(leaf);
        let whole = format!("{text}|{place}");
        if seen.contains(&whole) {
            continue;
        }
        seen.push(whole);
        let label = match leaf {
            Evidence::Missing(_) => Label::Unknown,
            Evidence::Record(..) | Evidence::Fact(..) | Evidence::Figure(_) => Label::Plain,
        };
        lines.push(
            Line { indent: 4, hang: 8, spans: Vec::new() }
                .text("- ")
                .and(label, format!("{text} "))
                .and(Label::Source, format!("[{place}]")),
        );
    }
    lines
}
