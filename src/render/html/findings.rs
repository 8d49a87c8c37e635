//! The audit's findings, and the sources.

use maud::{Markup, html};

use super::follow::{Cites, leaf_place};
use super::page::span;
use crate::audit::Severity;
use crate::view::report::{FindingNote, Report, SourceNote};

fn finding(cites: &Cites<'_>, note: &FindingNote, reason: Option<&str>) -> Markup {
    html! {
        details class="judged" {
            summary {
                span class="name" { bdi { (note.place) } } " " (note.on) " "
                (span(note.label, &note.severity.word().to_uppercase()))
                span class="why" { (note.text) }
            }
            @if let Some(reason) = reason { p { "Let stand: " (reason) } }
            p { span class="do" { "Do" } ": " (note.remedy) " (rule " code { (note.rule) } ")" }
            @if !note.leaves.is_empty() {
                ul class="leaves" { @for leaf in &note.leaves { li { (leaf.text) " " (leaf_place(cites, leaf)) } } }
            }
        }
    }
}

fn of_severity(cites: &Cites<'_>, report: &Report, severity: Severity, head: &str) -> Markup {
    let notes: Vec<&FindingNote> =
        report.findings.notes.iter().filter(|note| note.severity == severity).collect();
    html! {
        @if !notes.is_empty() {
            details class="group" open[severity == Severity::Severe] {
                summary { h3 { (head) " (" (notes.len()) ")" } }
                @for note in notes { (finding(cites, note, None)) }
            }
        }
    }
}

/// The findings.
pub(super) fn findings(cites: &Cites<'_>, report: &Report) -> Markup {
    html! {
        p { (report.findings.sentence) }
        (of_severity(cites, report, Severity::Severe, "Severe"))
        (of_severity(cites, report, Severity::Warning, "To mind"))
        (of_severity(cites, report, Severity::Remark, "Remarks"))
        @if !report.findings.let_stand.is_empty() {
            details class="group" {
                summary { h3 { "Let stand by exceptions (" (report.findings.let_stand.len()) ")" } }
                @for (note, reason) in &report.findings.let_stand { (finding(cites, note, Some(reason))) }
            }
        }
    }
}

/// The sources.
pub(super) fn sources(sources: &[SourceNote]) -> Markup {
    html! {
        p { (sources.len()) " documents are cited above by these keys." }
        dl class="sources" {
            @for (at, source) in sources.iter().enumerate() {
                div id={ "s" (at + 1) } {
                    dt { (source.key) }
                    dd {
                        (source.reference) " (" (source.publication) ")"
                        @if let Some(address) = &source.address { " " a href=(address) rel="noreferrer" { (address) } }
                    }
                }
            }
        }
    }
}
