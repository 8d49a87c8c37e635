//! The patterns of the plant families: a sign of the family's own make in ink on a pale ground, so
//! that they tell apart in print and to every eye. The first thirteen families of a garden have one
//! each; the rest share the last.

use maud::{Markup, PreEscaped, html};

use super::scale::Scale;
use crate::render::palette::{FAMILY_GROUNDS, INK};

/// The strokes of each pattern within a tile of 12 by 12, drawn in ink.
const STROKES: [(&str, &str); 14] = [
    ("Solanaceae", "M6 2v8M2.5 4l7 4M9.5 4l-7 4"),
    ("Brassicaceae", "M6 2v8M2 6h8"),
    ("Fabaceae", "M3 3.5a1.2 1.2 0 1 0 .1 0zM9 8.5a1.2 1.2 0 1 0 .1 0z"),
    ("Amaranthaceae", "M1 4h6M6 9h6"),
    ("Amaryllidaceae", "M3 0v12M9 0v12"),
    ("Asteraceae", "M6 3.2a2.8 2.8 0 1 0 .1 0z"),
    ("Poaceae", "M0 12L12 0M-3 3L3 -3M9 15L15 9"),
    ("Cucurbitaceae", "M3 0c4 3-4 3 0 6s-4 3 0 6"),
    ("Apiaceae", "M2 3l4 6l4-6M6 9V3"),
    ("Rosaceae", "M6 2l1.2 2.6l2.8.3l-2 2l.5 2.9L6 8.4L3.500 9.800l.5-2.9l-2-2l2.8-.3z"),
    ("Convolvulaceae", "M0 8l3-4l3 4l3-4l3 4"),
    ("Lamiaceae", "M3.500 3.500h5v5h-5z"),
    ("Polygonaceae", "M6 2.500l4 7H2z"),
    ("", "M5.500 5.500h1v1h-1z"),
];

/// The place of a family's pattern. Families without one of their own take the free ones in turn,
/// then the last.
pub(super) fn pattern_of(families: &[String], family: Option<usize>) -> usize {
    let Some(family) = family else { return STROKES.len() - 1 };
    let own = |name: &str| STROKES.iter().position(|(known, _)| *known == name);
    if let Some(own) = families.get(family).and_then(|name| own(name)) {
        return own;
    }
    let taken: Vec<usize> = families.iter().filter_map(|name| own(name)).collect();
    let mut free = (0..STROKES.len() - 1).filter(|at| !taken.contains(at));
    let rank = families[..family].iter().filter(|name| own(name).is_none()).count();
    free.nth(rank).unwrap_or(STROKES.len() - 1)
}

/// The definitions that every picture of the report refers to.
pub(super) fn definitions(families: &[String], scale: Option<Scale>) -> Markup {
    let mut used: Vec<usize> =
        (0..families.len()).map(|family| pattern_of(families, Some(family))).collect();
    used.push(STROKES.len() - 1);
    used.sort_unstable();
    used.dedup();
    html! {
        svg class="definitions" width="0" height="0" aria-hidden="true" focusable="false" {
            defs {
                @for at in used { (tile(&format!("f{at}"), FAMILY_GROUNDS[at], STROKES[at].1, INK)) }
                @if let Some(scale) = scale {
                    (scale.background("back-core", super::core::RIGHT))
                    (scale.background("back-log", super::logs::RIGHT))
                }
            }
        }
    }
}

fn tile(id: &str, ground: &str, strokes: &str, ink: &str) -> Markup {
    html! {
        pattern id=(id) width="12" height="12" patternUnits="userSpaceOnUse" {
            rect width="12" height="12" fill=(ground) {}
            path d=(PreEscaped(strokes)) fill="none" stroke=(ink) stroke-width="0.9" {}
        }
    }
}
