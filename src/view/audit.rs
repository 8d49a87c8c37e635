//! Findings as a page, and a rule's card.

use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use super::words;
use crate::audit::{Again, Audit, Finding, RuleCard, Severity};

fn severity_label(severity: Severity) -> Label {
    match severity {
        Severity::Severe => Label::Wait,
        Severity::Warning => Label::Care,
        Severity::Remark => Label::Plain,
    }
}

/// Other cases of a finding: so many in words, the rest counted.
const CASES_TOLD: usize = 4;

/// `and 2 more: 2025-07-26 [plantings.csv:89], M3 2025-04-12 [plantings.csv:88]`.
fn again_line(phrases: Phrases<'_>, finding: &Finding) -> Option<Line> {
    if finding.again.is_empty() {
        return None;
    }
    let mut line = Line { indent: 4, hang: 6, spans: Vec::new() }
        .text(format!("and {} more: ", finding.again.len()));
    for (at, case) in finding.again.iter().take(CASES_TOLD).enumerate() {
        let comma = if at == 0 { "" } else { ", " };
        let place = match &case.place {
            Some(place) if finding.place.as_ref() != Some(place) => format!("{place} "),
            Some(_) | None => String::new(),
        };
        let record = case.evidence.first().map_or(String::new(), |leaf| phrases.evidence(leaf).1);
        line = line
            .text(comma)
            .and(Label::Name, place)
            .text(format!("{} ", case.date))
            .and(Label::Source, format!("[{record}]"));
    }
    Some(if finding.again.len() > CASES_TOLD { line.text(" ...") } else { line })
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
    lines.extend(again_line(phrases, finding).filter(|_| !evidence));
    if evidence {
        for leaf in finding.evidence.iter().skip(1) {
            let (text, place) = phrases.evidence(leaf);
            lines.push(
                Line { indent: 4, hang: 8, spans: Vec::new() }
                    .text(format!("- {text} "))
                    .and(Label::Source, format!("[{place}]")),
            );
        }
        lines.extend(finding.again.iter().flat_map(|case| case_lines(phrases, finding, case)));
        lines.push(
            Line { indent: 4, hang: 8, spans: Vec::new() }
                .text(format!("do: {}", phrases.remedy(finding))),
        );
    }
    lines
}

/// Another case of a finding, with its records.
fn case_lines(phrases: Phrases<'_>, finding: &Finding, case: &Again) -> Vec<Line> {
    let place = case.place.as_ref().map_or("garden".to_owned(), ToString::to_string);
    let told = phrases.finding_claim(&case.claim);
    let record = case.evidence.first().map_or(String::new(), |leaf| phrases.evidence(leaf).1);
    vec![
        Line { indent: 4, hang: 8, spans: Vec::new() }
            .text("again ")
            .and(Label::Name, place)
            .text(format!(" {}: {told} ", case.date))
            .and(Label::Source, format!("[{}, {record}]", finding.rule)),
    ]
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
            Line::at(1)
                .text(format!("{} more findings (--all shows them)", audit.findings.len() - most)),
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
