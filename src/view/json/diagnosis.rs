//! Candidate causes and field checks, going out.

use serde::Serialize;

use super::super::diagnosis::record_line;
use super::super::phrase::Phrases;
use super::FORMAT;
use crate::records::{Observation, Place};

/// A cause that a sick crop may have.
#[derive(Clone, Debug, Serialize)]
pub struct CandidateJson {
    /// Pathogen key or cause key.
    pub cause: String,
    /// In words.
    pub text: String,
    /// Chance, 0 to 1.
    pub chance: f64,
    /// Whether it stays with the bed.
    pub stays_with_bed: bool,
}

/// A field check.
#[derive(Clone, Debug, Serialize)]
pub struct CheckJson {
    /// The cause it is made for.
    pub cause: String,
    /// What to look for.
    pub field_check: String,
    /// Expected information, bits.
    pub bits: f64,
}

/// A diagnosis.
#[derive(Clone, Debug, Serialize)]
pub struct DiagnosisJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Likeliest first.
    pub candidates: Vec<CandidateJson>,
    /// Most telling first.
    pub checks: Vec<CheckJson>,
    /// Line for `observations.csv`, with the likeliest cause.
    pub record: Option<String>,
}

/// A diagnosis for going out.
#[must_use]
pub fn diagnosis(
    phrases: Phrases<'_>,
    place: &Place,
    notes: &[&Observation],
    candidates: &[crate::state::Candidate],
    checks: &[crate::state::Check],
) -> DiagnosisJson {
    DiagnosisJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        candidates: candidates
            .iter()
            .map(|candidate| CandidateJson {
                cause: candidate.cause.to_string(),
                text: phrases.cause(candidate),
                chance: candidate.chance,
                stays_with_bed: candidate
                    .pathogen
                    .is_some_and(|one| phrases.knowledge.pathogens[one].is_bound_to_bed()),
            })
            .collect(),
        checks: checks
            .iter()
            .map(|check| CheckJson {
                cause: check.cause.to_string(),
                field_check: check.field_check.to_string(),
                bits: check.bits,
            })
            .collect(),
        record: record_line(phrases, place, notes, candidates),
    }
}
