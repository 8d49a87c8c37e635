//! Findings as a page, and a rule's card.

use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use super::words;
use crate::audit::{Audit, Finding, RuleCard, Severity};

fn severity_label(severity: Severity) -> Label {
    match severity {
        Severity::Severe => Label::Wait,
        Severity::Warning => Label::Care,
        Severity::Remark => Label::Plain,
    }
}

fn finding_lines(phrases: Phrases<'_>, finding: &Finding, evidence: bool) -> Vec<Line> {
    let place = finding.place.as_ref().map_or("garden".to_owned(), ToString::to_string);
    let record = finding.evidence.first().map_or(String::new(), |leaf| phrases.evidence(leaf).1);
    let mut lines = vec![
        Line { indent: 1, hang: 4, spans: Vec::new() }
            .and(severity_label(finding.severity), finding.severity.word().to_uppercase())
            .text(" ")
            .and(Label::Name, place)
            .text(format!(" {}: {} ", finding.date, phrases.finding(finding)))
            .and(Label::Source, format!("[{}, {record}]", finding.rule)),
    ];
    if evidence {
        for leaf in finding.evidence.iter().skip(1) {
            let (text, place) = phrases.evidence(leaf);
            lines.push(
                Line { indent: 4, hang: 8, spans: Vec::new() }
                    .text(format!("- {text} "))
                    .and(Label::Source, format!("[{place}]")),
            );
        }
        lines.push(
            Line { indent: 4, hang: 8, spans: Vec::new() }
                .text(format!("do: {}", phrases.remedy(finding))),
        );
    }
    lines
}

/// The findings, so many of them, with or without their evidence.
#[must_use]
pub fn audit_page(phrases: Phrases<'_>, audit: &Audit, most: usize, evidence: bool) -> Page {
    let mut page = Page::default();
    let of =
        |severity| audit.findings.iter().filter(|finding| finding.severity == severity).count();
    page.heading(format!(
        "{} in {}: {} severe, {} to mind, {}; {} let stand by exceptions",
        words::count(audit.findings.len(), "finding"),
        words::count(audit.plantings, "planting"),
        of(Severity::Severe),
        of(Severity::Warning),
        words::count(of(Severity::Remark), "remark"),
        audit.suppressed.len(),
    ));
    for finding in audit.findings.iter().take(most) {
        page.lines(finding_lines(phrases, finding, evidence));
    }
    if audit.findings.len() > most {
        page.line(
            Line::at(1).text(format!("{} more (--all shows them)", audit.findings.len() - most)),
        );
    }
    page
}

/// The card of a rule.
#[must_use]
pub fn card_page(card: &RuleCard) -> Page {
    let mut page = Page::default();
    page.heading(format!("{} ({})", card.id, card.severity.word()));
    for line in card.page.lines() {
        let line = line.trim();
        match line.strip_prefix("# ") {
            Some(head) => page.line(Line::at(1).and(Label::Name, head)),
            None => page.line(Line::at(3).hanging(3).text(line)),
        }
    }
    page.line(Line::at(1).text(format!("reads: {}; since {}", card.reads.join(", "), card.since)));
    page
}
