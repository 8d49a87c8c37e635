//! Findings of one cause told as one: a grower who set five hosts into one sick bed made one
//! mistake five times. The latest stands at the head, since what was done last bears on what is
//! done next; the others follow it with their records.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::claim::Together;
use super::finding::{Again, Finding, Severity};
use crate::assess::Evidence;

/// Rule, severity, cause, bed.
pub(super) type Cause = (&'static str, Severity, Together, Option<Box<str>>);

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
        match self.heads.get_mut(&cause) {
            Some(head) => put_behind(head, finding),
            None => {
                self.heads.insert(cause, finding);
            }
        }
    }

    /// Takes in what was merged elsewhere.
    pub(super) fn join(&mut self, other: Self) {
        self.alone.extend(other.alone);
        for (cause, finding) in other.heads {
            match self.heads.get_mut(&cause) {
                Some(head) => put_behind(head, finding),
                None => {
                    self.heads.insert(cause, finding);
                }
            }
        }
    }

    pub(super) fn finish(self) -> Vec<Finding> {
        let (mut all, heads) = self.parted();
        all.extend(heads.into_values());
        all
    }

    /// Findings that stand for themselves, and those at the head of others, by their cause.
    pub(super) fn parted(mut self) -> (Vec<Finding>, BTreeMap<Cause, Finding>) {
        for head in self.heads.values_mut() {
            in_order(&mut head.again);
        }
        (self.alone, self.heads)
    }
}

/// The latest first.
pub(super) fn in_order(cases: &mut [Again]) {
    cases.sort_by(|a, b| {
        (b.date, &a.place, records(&a.evidence)).cmp(&(a.date, &b.place, records(&b.evidence)))
    });
}

/// Puts a finding of the same cause behind the head, or at it if it is later.
pub(super) fn put_behind(head: &mut Finding, mut other: Finding) {
    head.confidence = head.confidence.max(other.confidence);
    let mut again = std::mem::take(&mut head.again);
    again.append(&mut other.again);
    if order(&other, head) == Ordering::Less {
        other.confidence = head.confidence;
        std::mem::swap(head, &mut other);
    }
    again.push(case(other));
    head.again = again;
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

#[cfg(test)]
mod tests {
    use itertools::Itertools;
    use pretty_assertions::assert_eq;

    use super::*;
    use crate::assess::{Confidence, RecordNote};
    use crate::audit::FindingClaim;
    use crate::origin::Origin;
    use crate::records::Place;
    use crate::season::iso_day;

    fn finding(bed: &str, day: &str, line: u32, severity: Severity) -> Finding {
        let date = iso_day(day).expect("a day");
        let record = RecordNote::SoilTest { date };
        Finding {
            rule: "soil_test_without_method",
            severity,
            confidence: Confidence::High,
            place: Some(Place::whole(bed)),
            date,
            claim: FindingClaim::SoilTestWithoutMethod,
            evidence: vec![Evidence::Record(Origin::new("soil_tests.csv", line), record)],
            again: Vec::new(),
        }
    }

    #[test]
    fn remarks_of_the_garden_are_one_and_warnings_one_a_bed_in_whatever_order() {
        let findings = [
            finding("a", "2024-03-01", 2, Severity::Remark),
            finding("b", "2025-03-01", 3, Severity::Remark),
            finding("a", "2025-03-01", 4, Severity::Remark),
            finding("a", "2023-03-01", 5, Severity::Warning),
            finding("b", "2023-03-01", 6, Severity::Warning),
        ];
        let mut told: Vec<String> = findings
            .iter()
            .permutations(findings.len())
            .map(|findings| {
                // Half of them by way of a second heap, as threads do.
                let (mut one, mut other) = (Merged::default(), Merged::default());
                for (at, finding) in findings.into_iter().enumerate() {
                    if at < 2 { &mut one } else { &mut other }.add(finding.clone());
                }
                one.join(other);
                format!("{:?}", one.finish())
            })
            .collect();
        told.dedup();
        assert_eq!(told.len(), 1, "the order tells");
        let mut merged = Merged::default();
        for finding in findings {
            merged.add(finding);
        }
        let cases: Vec<(Severity, usize)> =
            merged.finish().iter().map(|head| (head.severity, head.again.len())).collect();
        assert_eq!(cases, [(Severity::Remark, 2), (Severity::Warning, 0), (Severity::Warning, 0)]);
    }
}
