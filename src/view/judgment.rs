//! A judgment as a page: the verdict, its reasons with their leaves, what would change it.

use super::phrase::{Phrases, confidence_words};
use super::text::{Label, Line, Page};
use super::words;
use crate::assess::{Assessment, Change, Effect, Evidence, Reason, Verdict};
use crate::policy::Policy;
use crate::records::Place;
use crate::season::{Date, years_between};

/// The label of a verdict.
pub(super) fn verdict_label(verdict: Verdict) -> Label {
    match verdict {
        Verdict::Plant => Label::Plant,
        Verdict::Care => Label::Care,
        Verdict::Wait => Label::Wait,
    }
}

/// The verdict with its date, in capitals so that it does not rest on colour.
pub(super) fn verdict_words(assessment: &Assessment) -> String {
    match (assessment.verdict, assessment.earliest) {
        (Verdict::Plant, _) => "PLANT".to_owned(),
        (Verdict::Care, _) => "CARE".to_owned(),
        (Verdict::Wait, Some(day)) if is_as_good_as_never(assessment.proposal.on, day) => {
            format!("WAIT until {day} (as good as never)")
        }
        (Verdict::Wait, Some(day)) => format!("WAIT until {day}"),
        (Verdict::Wait, None) => "WAIT (waiting will not clear it)".to_owned(),
    }
}

/// Whether a wait is longer than anybody plans for.
pub(super) fn is_as_good_as_never(on: Date, until: Date) -> bool {
    years_between(on, until) > Policy::default().as_good_as_never_years
}

pub(super) fn effect_label(effect: Effect) -> Label {
    match effect {
        Effect::Wait { .. } => Label::Wait,
        Effect::Care { .. } => Label::Care,
        Effect::Allows | Effect::Helps => Label::Plant,
        Effect::YieldOnly | Effect::NoBearing => Label::Plain,
        Effect::Unknown => Label::Unknown,
    }
}

/// A reason with its leaves. A leaf told before is referred to by its number.
#[must_use]
pub fn reason_lines(
    phrases: Phrases<'_>,
    number: usize,
    reason: &Reason,
    told: &mut Vec<(String, String)>,
) -> Vec<Line> {
    let mut lines = vec![
        Line { indent: 1, hang: 4, spans: Vec::new() }
            .text(format!("{number}  "))
            .text(format!("{} ", words::sentence(&phrases.claim(reason))))
            .and(effect_label(reason.effect), format!("[{}]", phrases.effect(reason.effect))),
    ];
    for evidence in &reason.evidence {
        let (text, place) = phrases.evidence(evidence);
        let reference = format!("{number}.{}", lines.len());
        let mut line = Line { indent: 4, hang: 8, spans: Vec::new() }.text("- ");
        if let Some((_, earlier)) =
            told.iter().find(|(known, _)| *known == format!("{text}|{place}"))
        {
            line = line.text(format!("see {earlier}"));
        } else {
            told.push((format!("{text}|{place}"), reference));
            let label = match evidence {
                Evidence::Missing(_) => Label::Unknown,
                Evidence::Record(..) | Evidence::Fact(..) | Evidence::Figure(_) => Label::Plain,
            };
            line = line.and(label, format!("{text} ")).and(Label::Source, format!("[{place}]"));
        }
        lines.push(line);
    }
    lines
}

/// The page of one judgment.
#[must_use]
pub fn assessment_page(
    phrases: Phrases<'_>,
    place: &Place,
    assessment: &Assessment,
    changes: &[Change],
) -> Page {
    let mut page = Page::default();
    page.line(
        Line::default()
            .and(
                Label::Heading,
                format!(
                    "{} in {place} on {}",
                    phrases.crop(assessment.proposal.crop),
                    assessment.proposal.on
                ),
            )
            .text("   ")
            .and(verdict_label(assessment.verdict), verdict_words(assessment)),
    );
    page.line(Line::at(1).text(format!(
        "expected yield {} (likely {:.0} %) of a clean, rotated bed in season; confidence {}",
        words::percent_range(assessment.expected_yield),
        assessment.expected_yield.likely * 100.0,
        confidence_words(assessment.confidence),
    )));
    let mut told = Vec::new();
    for (at, reason) in assessment.reasons.iter().enumerate() {
        page.lines(reason_lines(phrases, at + 1, reason, &mut told));
    }
    if assessment.reasons.is_empty() {
        page.line(Line::at(1).text("nothing on record speaks against it"));
    }
    if !changes.is_empty() {
        page.line(Line::at(1).text("What would change this:"));
        for change in changes {
            page.line(
                Line { indent: 4, hang: 6, spans: Vec::new() }
                    .text("- ")
                    .text(phrases.change(change)),
            );
        }
    }
    page
}
