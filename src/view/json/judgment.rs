//! A judgment with its reasons, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use crate::assess::{Assessment, Change, Confidence, Evidence, Reason, Verdict};
use crate::estimate::Estimate;
use crate::knowledge::Citation;
use crate::records::Place;
use crate::season::Date;

/// A leaf of a reason.
#[derive(Clone, Debug, Serialize)]
pub struct EvidenceJson {
    /// `record`, `fact`, `figure` or `missing`.
    pub kind: &'static str,
    /// In words.
    pub text: String,
    /// File of a record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Line of a record.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// Source keys of a fact.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<String>,
    /// What each source is as a document, in the order of the keys: paper, standard, data, bulletin,
    /// book, report, own, trade, general or none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub publications: Vec<&'static str>,
    /// How a fact is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub how: Option<&'static str>,
}

/// A reason.
#[derive(Clone, Debug, Serialize)]
pub struct ReasonJson {
    /// The rule that gave it.
    pub rule: &'static str,
    /// What it does: wait, care, allows, helps, `no_bearing`, unknown.
    pub effect: &'static str,
    /// Until when.
    pub until: Option<Date>,
    /// In words.
    pub text: String,
    /// How sure.
    pub confidence: Confidence,
    /// What it rests on.
    pub evidence: Vec<EvidenceJson>,
}

/// A change that would better the verdict.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeJson {
    /// In words.
    pub text: String,
    /// The verdict then.
    pub verdict: Verdict,
    /// First day then.
    pub earliest: Option<Date>,
}

/// A judgment.
#[derive(Clone, Debug, Serialize)]
pub struct AssessmentJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section, or null for the whole bed.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Day proposed.
    pub on: Date,
    /// plant, care or wait.
    pub verdict: Verdict,
    /// First day on which it is no longer wait; null if waiting does not clear it.
    pub earliest: Option<Date>,
    /// Whether waiting leads out of the wait.
    pub clears_by_waiting: bool,
    /// Relative yield.
    pub expected_yield: Estimate,
    /// How sure.
    pub confidence: Confidence,
    /// Why.
    pub reasons: Vec<ReasonJson>,
    /// What would change it.
    pub changes: Vec<ChangeJson>,
}

pub(super) fn evidence(phrases: Phrases<'_>, leaf: &Evidence) -> EvidenceJson {
    let (text, _) = phrases.evidence(leaf);
    let mut json = EvidenceJson {
        kind: "figure",
        text,
        file: None,
        line: None,
        sources: vec![],
        publications: vec![],
        how: None,
    };
    match leaf {
        Evidence::Record(origin, _) => {
            json.kind = "record";
            json.file = Some(origin.file.to_string());
            json.line = Some(origin.line);
        }
        Evidence::Fact(_, citation) => {
            json.kind = "fact";
            json.sources = citation.keys().map(str::to_owned).collect();
            json.publications = publications(phrases, citation);
            json.how = Some(citation.how.word());
        }
        Evidence::Figure(_) => {}
        Evidence::Missing(_) => json.kind = "missing",
    }
    json
}

/// What the sources of a fact are as documents.
pub(super) fn publications(phrases: Phrases<'_>, citation: &Citation) -> Vec<&'static str> {
    citation.keys().map(|key| phrases.knowledge.sources.publication(key).word()).collect()
}

pub(super) fn reason(phrases: Phrases<'_>, reason: &Reason) -> ReasonJson {
    ReasonJson {
        rule: reason.rule.word(),
        effect: reason.effect.word(),
        until: reason.effect.until(),
        text: phrases.claim(reason),
        confidence: reason.certainty,
        evidence: reason.evidence.iter().map(|leaf| evidence(phrases, leaf)).collect(),
    }
}

/// A judgment for going out.
#[must_use]
pub fn assessment(
    phrases: Phrases<'_>,
    place: &Place,
    judged: &Assessment,
    changes: &[Change],
) -> AssessmentJson {
    AssessmentJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        crop: phrases.knowledge.crops[judged.proposal.crop].key.to_string(),
        on: judged.proposal.on,
        verdict: judged.verdict,
        earliest: judged.earliest,
        clears_by_waiting: judged.clears_by_waiting,
        expected_yield: judged.expected_yield,
        confidence: judged.confidence,
        reasons: judged.reasons.iter().map(|one| reason(phrases, one)).collect(),
        changes: changes
            .iter()
            .map(|change| ChangeJson {
                text: phrases.change(change),
                verdict: change.verdict,
                earliest: change.earliest,
            })
            .collect(),
    }
}
