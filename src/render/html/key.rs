//! How to read the cores.

use maud::{Markup, html};

use super::core::sign;
use super::patterns::pattern_of;
use crate::view::report::{LayerKind, MarkKind, Report};

fn swatch(fill: &str, dashes: Option<&str>) -> Markup {
    html! {
        svg class="swatch" viewBox="0 0 36 24" aria-hidden="true" focusable="false" {
            rect x="1" y="1" width="34" height="22" class="layer" fill=(fill) stroke-dasharray=[dashes] {}
        }
    }
}

/// The key.
pub(super) fn key(report: &Report) -> Markup {
    let last = pattern_of(&report.families, None);
    html! {
        p {
            "Each bed is drawn as a core from its soil. The heavy line is today. Below it the years lie in layers, newest on top; above it stands what is to come. The logs beside the core share its scale of years: what a susceptible crop would lose to each disease on record, as a range, with the losses from which care or waiting is advised; and the nitrogen free to plants."
        }
        ul class="key" {
            @for (at, family) in report.families.iter().enumerate() {
                @let pattern = pattern_of(&report.families, Some(at));
                @if pattern != last || family == "no plant family" {
                    li { (swatch(&format!("url(#f{pattern})"), None)) " " (family) }
                }
            }
            @if (0..report.families.len()).any(|at| pattern_of(&report.families, Some(at)) == last) {
                li { (swatch(&format!("url(#f{last})"), None)) " other families" }
            }
            li { (swatch("none", Some("6 2"))) " " (LayerKind::Cover.word()) " (long dashes)" }
            li { (swatch("none", Some("2 2"))) " " (LayerKind::SelfSown.word()) " (dots)" }
            @for kind in [MarkKind::Stays, MarkKind::Unknown, MarkKind::Passes, MarkKind::Treated] {
                li {
                    svg class="swatch" viewBox="0 0 36 24" aria-hidden="true" focusable="false" { (sign(kind, 18.0, 12.0)) }
                    " " (kind.word())
                }
            }
        }
    }
}
