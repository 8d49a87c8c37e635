//! What can follow, each crop with its reasons folded under it.

use std::collections::BTreeMap;

use maud::{Markup, html};

use super::page::{class, span};
use crate::view::report::{Candidate, Leaf, LeafPlace, ReasonNote, Sheet};

/// The numbers of the sources, by key.
pub(super) type Cites<'r> = BTreeMap<&'r str, usize>;

/// Where a leaf stands: the record, or links to the sources.
pub(super) fn leaf_place(cites: &Cites<'_>, leaf: &Leaf) -> Markup {
    html! {
        cite {
            "["
            @match &leaf.place {
                LeafPlace::Record(place) => (place),
                LeafPlace::Computed => "computed",
                LeafPlace::Missing => "missing",
                LeafPlace::Sources(keys, notes) => {
                    @if keys.is_empty() && notes.is_empty() { "the grower" }
                    @for (at, key) in keys.iter().enumerate() {
                        @if at > 0 { ", " }
                        @match cites.get(key.as_str()) {
                            Some(number) => a href={ "#s" (number) } { (key) },
                            // Words such as `memory` stand for no document.
                            None => (key.replace('_', " ")),
                        }
                    }
                    @for note in notes.iter().filter(|note| !keys.iter().any(|key| key.replace('_', " ") == **note)) { " " (note) }
                },
            }
            "]"
        }
    }
}

fn reason(cites: &Cites<'_>, reason: &ReasonNote) -> Markup {
    html! {
        li {
            (reason.text) " " span class=(class(reason.label)) { "[" (reason.effect) "]" }
            @if !reason.leaves.is_empty() {
                ul class="leaves" {
                    @for leaf in &reason.leaves { li { (leaf.text) " " (leaf_place(cites, leaf)) } }
                }
            }
            @if !reason.told_under.is_empty() {
                p class="leaf" {
                    @if reason.leaves.is_empty() { "As told under " } @else { "And as told under " }
                    @for (at, (anchor, crop)) in reason.told_under.iter().enumerate() {
                        @if at > 0 { ", " }
                        a href={ "#" (anchor) } { (crop) }
                    }
                    "."
                }
            }
        }
    }
}

fn candidate(cites: &Cites<'_>, one: &Candidate, with_day: bool) -> Markup {
    html! {
        details class="judged" id=(one.id) {
            summary {
                span class="name" { (one.crop) }
                @if with_day { " on " (one.on) }
                " " (span(one.label, &one.verdict_words))
                span class="why" { "yield " (one.expected_yield) ", confidence " (one.confidence) "; " (one.why) }
            }
            @if one.reasons.is_empty() {
                p { "Nothing on record speaks against it." }
            } @else {
                ol class="reasons" { @for told in &one.reasons { (reason(cites, told)) } }
            }
        }
    }
}

/// What can follow.
pub(super) fn following(cites: &Cites<'_>, sheet: &Sheet) -> Markup {
    html! {
        div class="following" {
            @if !sheet.following.wished.is_empty() {
                div {
                    h3 { "Wished crops here, each on its own next start" }
                    p class="told" { "Yield is that of the same crop on a clean, rotated bed." }
                    @for one in &sheet.following.wished { (candidate(cites, one, true)) }
                }
            }
            div {
                h3 { "Others in season for a start on " (sheet.span.today) }
                @if sheet.following.now.is_empty() {
                    p { "Nothing else in season is free to start here." }
                }
                @for one in &sheet.following.now { (candidate(cites, one, false)) }
            }
        }
    }
}
