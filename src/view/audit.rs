//! Findings as a page, and a rule's card.

use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use super::words;
use crate::assess::Evidence;
use crate::audit::{Again, Audit, CASES_TOLD, Finding, RuleCard, Severity, Untold};
use crate::records::{Place, natural_order};

fn severity_label(severity: Severity) -> Label {
    match severity {
        Severity::Severe => Label::Wait,
        Severity::Warning => Label::Care,
        Severity::Remark => Label::Plain,
    }
}

/// `and 4 more since 2023-08-19 [plantings.csv:73, 70, 69, 68]`, with the other beds if there are any.
fn again_line(finding: &Finding, untold: Option<&Untold>) -> Option<Line> {
    let count = finding.again.len() + untold.map_or(0, |untold| untold.count);
    let since = untold.map_or(finding.again.last()?.date, |untold| untold.since);
    let bed = |place: &Option<Place>| place.as_ref().map(|place| place.bed.clone());
    let own = bed(&finding.place);
    let mut beds: Vec<_> = finding
        .again
        .iter()
        .filter_map(|case| bed(&case.place))
        .chain(untold.into_iter().flat_map(|untold| untold.beds.iter().cloned()))
        .filter(|bed| own.as_ref() != Some(bed))
        .map(|bed| bed.to_string())
        .collect();
    beds.sort_by(|a, b| natural_order(a, b));
    beds.dedup();
    let also =
        if beds.is_empty() { String::new() } else { format!(", also in {}", words::list(&beds)) };
    let mut records: Vec<String> = Vec::new();
    let mut file = None;
    for case in finding.again.iter().take(CASES_TOLD) {
        let Some(Evidence::Record(origin, _)) = case.evidence.first() else { continue };
        records.push(if file.as_ref() == Some(&origin.file) {
            origin.line.to_string()
        } else {
            origin.to_string()
        });
        file = Some(origin.file.clone());
    }
    let more = if count > CASES_TOLD { " ..." } else { "" };
    let line = Line { indent: 4, hang: 6, spans: Vec::new() }
        .text(format!("and {count} more since {since}{also}"));
    Some(if records.is_empty() {
        line
    } else {
        line.text(" ").and(Label::Source, format!("[{}{more}]", records.join(", ")))
    })
}

fn finding_lines(
    phrases: Phrases<'_>,
    finding: &Finding,
    untold: Option<&Untold>,
    evidence: bool,
) -> Vec<Line> {
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
    lines.extend(again_line(finding, untold).filter(|_| !evidence));
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
    let counts = &audit.counts;
    page.heading(format!(
        "{} in {}: {} severe, {}, {}; {} let stand",
        words::count(counts.findings(), "finding"),
        words::count(audit.plantings, "planting"),
        counts.severe,
        words::count(counts.warnings, "warning"),
        words::count(counts.remarks, "remark"),
        counts.let_stand,
    ));
    for (at, finding) in audit.findings.iter().take(most).enumerate() {
        page.lines(finding_lines(phrases, finding, audit.untold.get(&at), evidence));
    }
    if counts.findings() > most {
        page.line(
            Line::at(1)
                .text(format!("{} more findings (--all shows them)", counts.findings() - most)),
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
