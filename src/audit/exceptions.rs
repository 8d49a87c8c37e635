//! Findings that the grower lets stand, and exceptions that are over or were never needed.

use super::finding::{Finding, FindingClaim, Severity};
use crate::assess::{Confidence, Evidence, RecordNote};
use crate::records::{Exception, Garden, Place};
use crate::season::Date;

/// A finding with the exception that lets it stand.
#[derive(Clone, Debug)]
pub struct Suppressed {
    /// The finding.
    pub finding: Finding,
    /// The grower's reason.
    pub reason: Box<str>,
}

/// Takes the findings that an exception in force covers out of the list, and adds findings on
/// exceptions that are over or matched nothing.
pub(super) fn apply(
    garden: &Garden,
    today: Date,
    known: &[&str],
    findings: &mut Vec<Finding>,
) -> Vec<Suppressed> {
    let mut suppressed = Vec::new();
    let mut about = Vec::new();
    for exception in &garden.exceptions {
        let covers = |finding: &Finding| {
            *finding.rule == *exception.rule
                && exception
                    .bed
                    .as_ref()
                    .is_none_or(|bed| finding.place.as_ref().is_some_and(|place| place.bed == *bed))
        };
        let matches = findings.iter().any(covers);
        if exception.until < today {
            about.push(finding(
                exception,
                "exception_expired",
                FindingClaim::ExceptionExpired { rule: exception.rule.clone() },
            ));
        } else if matches {
            findings.retain(|finding| {
                let covered = covers(finding);
                if covered {
                    suppressed.push(Suppressed {
                        finding: finding.clone(),
                        reason: exception.reason.clone(),
                    });
                }
                !covered
            });
        } else {
            about.push(finding(
                exception,
                "exception_unmatched",
                FindingClaim::ExceptionUnmatched {
                    rule: exception.rule.clone(),
                    known: known.contains(&&*exception.rule),
                },
            ));
        }
    }
    findings.extend(about);
    suppressed
}

fn finding(exception: &Exception, rule: &'static str, claim: FindingClaim) -> Finding {
    Finding {
        rule,
        again: Vec::new(),
        severity: Severity::Remark,
        confidence: Confidence::High,
        place: exception.bed.as_deref().map(Place::whole),
        date: exception.until,
        claim,
        evidence: vec![Evidence::Record(
            exception.origin.clone(),
            RecordNote::Exception { rule: exception.rule.clone(), until: exception.until },
        )],
    }
}
