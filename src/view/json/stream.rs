//! Answers about many gardens, going out one a line: shorter than the documents about one.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::audit::{FindingJson, finding};
use super::import::{ProblemJson, problem};
use super::ranking::season_word;
use crate::advise::Follows;
use crate::assess::Verdict;
use crate::audit::{Audit, Severity};
use crate::estimate::Estimate;
use crate::season::Date;
use crate::tabular::RowProblem;

/// The answer to one line.
#[derive(Clone, Debug, Serialize)]
pub struct StreamedJson {
    /// Number of the line, from 1.
    pub line: u64,
    /// The garden's `id`, as it came in.
    pub id: serde_json::Value,
    /// The answer, under its own name.
    #[serde(flatten)]
    pub result: StreamedResult,
}

/// What can be answered.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StreamedResult {
    /// Findings.
    Audit(StreamedAuditJson),
    /// A ranking for each place asked about.
    Follows(Vec<StreamedFollowsJson>),
    /// Rows that could not be read.
    Problems(Vec<ProblemJson>),
    /// The line is no garden, or does not have the bed asked about.
    Error(String),
}

/// An audit: how much was found, and the worst of it.
#[derive(Clone, Debug, Serialize)]
pub struct StreamedAuditJson {
    /// Plantings looked at.
    pub plantings: usize,
    /// Severe findings.
    pub severe: usize,
    /// Findings to mind.
    pub warning: usize,
    /// Remarks.
    pub remark: usize,
    /// Findings that exceptions let stand.
    pub suppressed: usize,
    /// The worst findings.
    pub findings: Vec<FindingJson>,
}

/// A ranking in short.
#[derive(Clone, Debug, Serialize)]
pub struct StreamedFollowsJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// First day.
    pub from: Date,
    /// The best crops.
    pub ranked: Vec<RankedJson>,
}

/// A crop in a ranking.
#[derive(Clone, Debug, Serialize)]
pub struct RankedJson {
    /// The crop's key.
    pub crop: String,
    /// plant, care or wait.
    pub verdict: Verdict,
    /// First day on which it is not told to wait.
    pub earliest: Option<Date>,
    /// Share of the yield of a clean, rotated bed.
    pub expected_yield: Estimate,
    /// fits, `too_cold`, `too_hot`, `wrong_light` or unknown.
    pub season: &'static str,
}

/// An audit in short: `most` findings, with their evidence or without.
#[must_use]
pub fn streamed_audit(
    phrases: Phrases<'_>,
    audit: &Audit,
    most: usize,
    evidence: bool,
) -> StreamedAuditJson {
    let of =
        |severity| audit.findings.iter().filter(|finding| finding.severity == severity).count();
    let mut findings: Vec<FindingJson> =
        audit.findings.iter().take(most).map(|one| finding(phrases, one)).collect();
    if !evidence {
        // The first is the record that the finding is about.
        for finding in &mut findings {
            finding.evidence.truncate(1);
        }
    }
    StreamedAuditJson {
        plantings: audit.plantings,
        severe: of(Severity::Severe),
        warning: of(Severity::Warning),
        remark: of(Severity::Remark),
        suppressed: audit.suppressed.len(),
        findings,
    }
}

/// A ranking in short: the best `most` crops.
#[must_use]
pub fn streamed_follows(
    phrases: Phrases<'_>,
    follows: &Follows<'_>,
    most: usize,
) -> StreamedFollowsJson {
    let place = &follows.state.place;
    StreamedFollowsJson {
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        from: follows.from,
        ranked: follows
            .ranked
            .iter()
            .take(most)
            .map(|follow| RankedJson {
                crop: phrases.knowledge.crops[follow.crop].key.to_string(),
                verdict: follow.assessment.verdict,
                earliest: follow.assessment.earliest,
                expected_yield: follow.assessment.expected_yield,
                season: season_word(follow.season),
            })
            .collect(),
    }
}

/// A problem of a row.
#[must_use]
pub fn row_problem(row: &RowProblem) -> ProblemJson {
    problem(row)
}
