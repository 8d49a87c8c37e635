//! Findings that the grower lets stand, and exceptions that are over or were never needed.

use super::claim::FindingClaim;
use super::finding::{Finding, Severity};
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

/// The garden's exceptions, with what each has matched so far.
pub(super) struct Exceptions<'g> {
    all: Vec<(&'g Exception, bool)>,
    today: Date,
    /// Findings that one in force covers.
    pub(super) suppressed: Vec<Suppressed>,
}

impl<'g> Exceptions<'g> {
    pub(super) fn of(garden: &'g Garden, today: Date) -> Self {
        let all = garden.exceptions.iter().map(|exception| (exception, false)).collect();
        Self { all, today, suppressed: Vec::new() }
    }

    /// Gives the finding back unless an exception in force covers it.
    pub(super) fn pass(&mut self, finding: Finding) -> Option<Finding> {
        let covers = |exception: &Exception| {
            exception.until >= self.today
                && *finding.rule == *exception.rule
                && exception
                    .bed
                    .as_ref()
                    .is_none_or(|bed| finding.place.as_ref().is_some_and(|place| place.bed == *bed))
        };
        let Some((exception, matched)) = self.all.iter_mut().find(|(one, _)| covers(one)) else {
            return Some(finding);
        };
        *matched = true;
        self.suppressed.push(Suppressed { finding, reason: exception.reason.clone() });
        None
    }

    /// Takes in what the same exceptions covered elsewhere.
    pub(super) fn join(&mut self, other: Self) {
        for (own, others) in self.all.iter_mut().zip(other.all) {
            own.1 |= others.1;
        }
        self.suppressed.extend(other.suppressed);
    }

    /// Findings on exceptions that are over or matched nothing.
    pub(super) fn about(&self, known: &[&str]) -> Vec<Finding> {
        let about = |(exception, matched): &(&Exception, bool)| {
            let rule = exception.rule.clone();
            if exception.until < self.today {
                let claim = FindingClaim::ExceptionExpired { rule };
                Some(finding(exception, "exception_expired", claim))
            } else if *matched {
                None
            } else {
                let known = known.contains(&&*exception.rule);
                let claim = FindingClaim::ExceptionUnmatched { rule, known };
                Some(finding(exception, "exception_unmatched", claim))
            }
        };
        self.all.iter().filter_map(about).collect()
    }
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
