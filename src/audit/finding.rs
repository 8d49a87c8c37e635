//! What a rule found: a value, not an error.

use super::card::RuleCard;
use super::claim::FindingClaim;
use crate::assess::{Confidence, Evidence};
use crate::records::Place;
use crate::season::Date;

/// How much harm a finding stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Worth knowing.
    Remark,
    /// Costs yield or soil.
    Warning,
    /// Infests a bed, loses a crop, or touches food safety.
    Severe,
}

impl Severity {
    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Remark => "remark",
            Self::Warning => "warning",
            Self::Severe => "severe",
        }
    }
}

/// One finding.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The rule.
    pub rule: &'static str,
    /// How much harm.
    pub severity: Severity,
    /// How sure.
    pub confidence: Confidence,
    /// Where; `None` for the garden as a whole.
    pub place: Option<Place>,
    /// When.
    pub date: Date,
    /// What.
    pub claim: FindingClaim,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
    /// The same cause at other times or places, latest first: told in one finding.
    pub again: Vec<Again>,
}

/// Cases of a finding that are counted and not told one by one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untold {
    /// How many.
    pub count: usize,
    /// The earliest.
    pub since: Date,
    /// Beds of all cases, those told included.
    pub beds: Vec<Box<str>>,
}

impl Untold {
    /// The cases of both.
    pub(super) fn and(self, other: Self) -> Self {
        let Self { count, since, mut beds } = self;
        beds.extend(other.beds);
        Self { count: count + other.count, since: since.min(other.since), beds }
    }
}

/// Another case of what a finding claims.
#[derive(Clone, Debug)]
pub struct Again {
    /// Where; `None` for the garden as a whole.
    pub place: Option<Place>,
    /// When.
    pub date: Date,
    /// What.
    pub claim: FindingClaim,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
}

impl Finding {
    /// A finding of a rule at a place, sure and with the severity of its card.
    pub(super) fn new(card: &RuleCard, place: &Place, date: Date, claim: FindingClaim) -> Self {
        Self {
            rule: card.id,
            severity: card.severity,
            confidence: Confidence::High,
            place: Some(place.clone()),
            date,
            claim,
            evidence: Vec::new(),
            again: Vec::new(),
        }
    }

    /// Of the garden as a whole.
    pub(super) fn of_garden(card: &RuleCard, date: Date, claim: FindingClaim) -> Self {
        Self { place: None, ..Self::new(card, &Place::whole(""), date, claim) }
    }

    pub(super) fn sure(self, confidence: Confidence) -> Self {
        Self { confidence, ..self }
    }

    pub(super) fn resting_on(self, evidence: impl IntoIterator<Item = Evidence>) -> Self {
        Self { evidence: evidence.into_iter().collect(), ..self }
    }
}
