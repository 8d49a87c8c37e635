//! Findings of one cause told as one: a grower who set five hosts into one sick bed made one
//! mistake five times. The latest stands at the head, since what was done last bears on what is
//! done next; the others follow it with their records.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::finding::{Again, Finding, Severity, Together};
use crate::assess::Evidence;

/// Rule, severity, cause, bed.
type Cause = (&'static str, Severity, Together, Option<Box<str>>);

/// Takes findings as they come, bed by bed, and puts those of one cause together. The order in which
/// they come does not matter.
#[derive(Default)]
pub(super) struct Merged {
    alone: Vec<Finding>,
    heads: BTreeMap<Cause, Finding>,
}

impl Merged {
    pub(super) fn add(&mut self, finding: Finding) {
        let together = finding.claim.together();
        let bed = match together {
            Together::Alone => {
                self.alone.push(finding);
                return;
            }
            // What costs yield is told bed by bed; only remarks of the whole garden are gathered.
            Together::Garden if finding.severity == Severity::Remark => None,
            Together::Bed | Together::Pathogen(_) | Together::Garden => {
                finding.place.as_ref().map(|place| place.bed.clone())
            }
        };
        let cause = (finding.rule, finding.severity, together, bed);
        let Some(head) = self.heads.get_mut(&cause) else {
            self.heads.insert(cause, finding);
            return;
        };
        let confidence = head.confidence.max(finding.confidence);
        let other = if order(&finding, head) == Ordering::Less {
            let again = std::mem::take(&mut head.again);
            let mut other = std::mem::replace(head, finding);
            head.again = again;
            other.again = Vec::new();
            other
        } else {
            finding
        };
        head.confidence = confidence;
        head.again.push(case(other));
    }

    pub(super) fn finish(self) -> Vec<Finding> {
        let heads = self.heads.into_values().map(|mut head| {
            head.again.sort_by(|a, b| {
                (b.date, &a.place, records(&a.evidence)).cmp(&(
                    a.date,
                    &b.place,
                    records(&b.evidence),
                ))
            });
            head
        });
        self.alone.into_iter().chain(heads).collect()
    }
}

/// The latest first; of one day by place, then by record.
fn order(a: &Finding, b: &Finding) -> Ordering {
    (b.date, &a.place, records(&a.evidence)).cmp(&(a.date, &b.place, records(&b.evidence)))
}

fn records(evidence: &[Evidence]) -> Option<&crate::origin::Origin> {
    evidence.iter().find_map(|leaf| match leaf {
        Evidence::Record(origin, _) => Some(origin),
        Evidence::Fact(..) | Evidence::Figure(_) | Evidence::Missing(_) => None,
    })
}

/// A case behind another: its records and what it lacks. The facts stand with the head, and a garden
/// of many beds would hold each a thousand times.
fn case(finding: Finding) -> Again {
    let Finding { place, date, claim, mut evidence, .. } = finding;
    evidence.retain(|leaf| matches!(leaf, Evidence::Record(..) | Evidence::Missing(_)));
    evidence.shrink_to_fit();
    Again { place, date, claim, evidence }
}
