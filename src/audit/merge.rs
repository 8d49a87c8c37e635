//! Findings of one cause told as one: a grower who set five hosts into one sick bed made one
//! mistake five times. The latest stands at the head, since what was done last bears on what is
//! done next; the others follow it with their records.

use std::collections::BTreeMap;

use super::finding::{Again, Finding, Severity, Together};

/// Rule, severity, cause, bed.
type Cause = (&'static str, Severity, Together, Option<Box<str>>);

/// Puts findings of one cause together. The order of the findings does not matter.
pub(super) fn merge(findings: Vec<Finding>) -> Vec<Finding> {
    let mut alone = Vec::new();
    let mut causes: BTreeMap<Cause, Vec<Finding>> = BTreeMap::new();
    for finding in findings {
        let together = finding.claim.together();
        let bed = match together {
            Together::Alone => {
                alone.push(finding);
                continue;
            }
            // What costs yield is told bed by bed; only remarks of the whole garden are gathered.
            Together::Garden if finding.severity == Severity::Remark => None,
            Together::Bed | Together::Pathogen(_) | Together::Garden => {
                finding.place.as_ref().map(|place| place.bed.clone())
            }
        };
        causes.entry((finding.rule, finding.severity, together, bed)).or_default().push(finding);
    }
    alone.extend(causes.into_values().filter_map(one_of));
    alone
}

/// The latest of some findings, with the others behind it.
fn one_of(mut findings: Vec<Finding>) -> Option<Finding> {
    findings
        .sort_by(|a, b| (b.date, &a.place, b.confidence).cmp(&(a.date, &b.place, a.confidence)));
    let mut rest = findings.into_iter();
    let mut head = rest.next()?;
    for finding in rest {
        head.confidence = head.confidence.max(finding.confidence);
        let Finding { place, date, claim, evidence, .. } = finding;
        head.again.push(Again { place, date, claim, evidence });
    }
    Some(head)
}
