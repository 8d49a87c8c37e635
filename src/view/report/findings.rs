//! The audit's findings for the report.

use super::super::text::Label;
use super::super::words;
use super::Material;
use super::leaves::{Leaf, leaf};
use crate::audit::{Finding, Severity};

/// A finding.
#[derive(Clone, Debug)]
pub struct FindingNote {
    /// How much harm.
    pub severity: Severity,
    /// Its label.
    pub label: Label,
    /// Where.
    pub place: String,
    /// Day.
    pub on: String,
    /// In words.
    pub text: String,
    /// What to do.
    pub remedy: String,
    /// The rule.
    pub rule: &'static str,
    /// What it rests on.
    pub leaves: Vec<Leaf>,
}

/// All findings.
#[derive(Clone, Debug)]
pub struct Findings {
    /// How many of what, in one sentence.
    pub sentence: String,
    /// Worst first.
    pub notes: Vec<FindingNote>,
    /// Findings that exceptions let stand, with the grower's reasons.
    pub let_stand: Vec<(FindingNote, String)>,
}

fn note(material: &Material<'_, '_>, finding: &Finding) -> FindingNote {
    let phrases = material.phrases;
    FindingNote {
        severity: finding.severity,
        label: match finding.severity {
            Severity::Severe => Label::Wait,
            Severity::Warning => Label::Care,
            Severity::Remark => Label::Plain,
        },
        place: finding.place.as_ref().map_or("garden".to_owned(), ToString::to_string),
        on: finding.date.to_string(),
        text: words::sentence(&phrases.finding(finding)),
        remedy: phrases.remedy(finding).to_string(),
        rule: finding.rule,
        leaves: finding.evidence.iter().map(|evidence| leaf(phrases, evidence)).collect(),
    }
}

/// The findings of the audit.
pub(super) fn findings(material: &Material<'_, '_>) -> Findings {
    let audit = material.audit;
    let of =
        |severity| audit.findings.iter().filter(|finding| finding.severity == severity).count();
    Findings {
        sentence: format!(
            "{} rules held against {}: {} severe, {} to mind, {}; {} let stand by exceptions.",
            audit.rules,
            words::count(audit.plantings, "planting"),
            of(Severity::Severe),
            of(Severity::Warning),
            words::count(of(Severity::Remark), "remark"),
            audit.suppressed.len(),
        ),
        notes: audit.findings.iter().map(|finding| note(material, finding)).collect(),
        let_stand: audit
            .suppressed
            .iter()
            .map(|one| (note(material, &one.finding), one.reason.to_string()))
            .collect(),
    }
}
