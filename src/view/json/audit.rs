//! Findings of the audit, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::EvidenceJson;
use super::judgment::evidence;
use crate::assess::Confidence;
use crate::audit::{Audit, Finding, Severity};
use crate::season::Date;

/// A finding.
#[derive(Clone, Debug, Serialize)]
pub struct FindingJson {
    /// The rule.
    pub rule: &'static str,
    /// How much harm.
    pub severity: Severity,
    /// How sure.
    pub confidence: Confidence,
    /// Bed.
    pub bed: Option<String>,
    /// Section.
    pub section: Option<String>,
    /// When.
    pub date: Date,
    /// In words.
    pub text: String,
    /// What to do.
    pub remedy: &'static str,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
    /// The same cause at other times or places, latest first.
    pub again: Vec<AgainJson>,
}

/// Another case of a finding.
#[derive(Clone, Debug, Serialize)]
pub struct AgainJson {
    /// Bed.
    pub bed: Option<String>,
    /// Section.
    pub section: Option<String>,
    /// When.
    pub date: Date,
    /// In words.
    pub text: String,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
}

/// An audit.
#[derive(Clone, Debug, Serialize)]
pub struct AuditJson {
    /// Format number.
    pub format: u32,
    /// Plantings looked at.
    pub plantings: usize,
    /// Rules applied.
    pub rules: usize,
    /// Findings, worst first.
    pub findings: Vec<FindingJson>,
    /// Findings that exceptions let stand.
    pub suppressed: Vec<FindingJson>,
}

pub(super) fn finding(phrases: Phrases<'_>, finding: &Finding) -> FindingJson {
    FindingJson {
        rule: finding.rule,
        severity: finding.severity,
        confidence: finding.confidence,
        bed: finding.place.as_ref().map(|place| place.bed.to_string()),
        section: finding
            .place
            .as_ref()
            .and_then(|place| place.section.as_deref().map(str::to_owned)),
        date: finding.date,
        text: phrases.finding(finding),
        remedy: phrases.remedy(finding),
        evidence: finding.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
        again: finding
            .again
            .iter()
            .map(|case| AgainJson {
                bed: case.place.as_ref().map(|place| place.bed.to_string()),
                section: case
                    .place
                    .as_ref()
                    .and_then(|place| place.section.as_deref().map(str::to_owned)),
                date: case.date,
                text: phrases.finding_claim(&case.claim),
                evidence: case.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
            })
            .collect(),
    }
}

/// An audit for going out.
#[must_use]
pub fn audit(phrases: Phrases<'_>, audit: &Audit) -> AuditJson {
    AuditJson {
        format: FORMAT,
        plantings: audit.plantings,
        rules: audit.rules,
        findings: audit.findings.iter().map(|one| finding(phrases, one)).collect(),
        suppressed: audit.suppressed.iter().map(|one| finding(phrases, &one.finding)).collect(),
    }
}
