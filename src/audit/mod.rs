//! Years of records held against rules: one rule a file, each with the card that documents it.
//!
//! A rule looks at plantings that were judged as they were made, from the records before them
//! only, and gives findings. Severity says how much harm, confidence how sure.

mod brief;
mod by_bed;
mod card;
mod claim;
mod context;
mod exceptions;
mod finding;
mod merge;
mod outlook;
mod proof;
mod rules;
mod sums;

pub use brief::{CASES_TOLD, audit_in_brief};
pub use by_bed::Beds;
pub use card::{Rule, RuleCard};
pub use claim::FindingClaim;
pub use context::{Context, Judged, Whole};
pub use exceptions::Suppressed;
pub use finding::{Again, Finding, Severity, Untold};
pub use proof::{BedProof, Case, ClauseProof, Lines, Missing, Standing, proofs};
pub use rules::catalogue;
pub use sums::Sums;

use std::cmp::{Ordering, Reverse};
use std::collections::BTreeMap;

use exceptions::Exceptions;
use merge::Merged;
use outlook::Outlook;

use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::Date;

/// What an audit found.
#[derive(Debug)]
pub struct Audit {
    /// Findings: worst first, then the surest, then the latest.
    pub findings: Vec<Finding>,
    /// Of an audit in brief, the cases of a finding beyond those that stand behind it, by its place
    /// in the list.
    pub untold: BTreeMap<usize, Untold>,
    /// Findings that an exception of the grower lets stand.
    pub suppressed: Vec<Suppressed>,
    /// How many there are of each: of an audit in brief more than the lists hold.
    pub counts: Counts,
    /// How many plantings were looked at.
    pub plantings: usize,
    /// How many rules.
    pub rules: usize,
}

/// How many findings there are.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Remarks.
    pub remarks: usize,
    /// Warnings.
    pub warnings: usize,
    /// Severe findings.
    pub severe: usize,
    /// Those that an exception lets stand, which count for none of the others.
    pub let_stand: usize,
}

impl Counts {
    /// All findings but those let stand.
    #[must_use]
    pub fn findings(&self) -> usize {
        self.remarks + self.warnings + self.severe
    }

    /// Those of both.
    fn and(self, other: Self) -> Self {
        Self {
            remarks: self.remarks + other.remarks,
            warnings: self.warnings + other.warnings,
            severe: self.severe + other.severe,
            let_stand: self.let_stand + other.let_stand,
        }
    }

    fn add(&mut self, severity: Severity) {
        *match severity {
            Severity::Remark => &mut self.remarks,
            Severity::Warning => &mut self.warnings,
            Severity::Severe => &mut self.severe,
        } += 1;
    }
}

/// Holds a garden's records up to a day against every rule. The garden is walked bed by bed, and
/// what was judged of a bed is dropped with it, so that the work grows with the number of beds and
/// the memory with what was found. No bed knows of another, so the threads that share them change
/// no answer.
#[must_use]
pub fn audit(knowledge: &Knowledge, policy: &Policy, garden: &Garden, today: Date) -> Audit {
    let mut sums = Sums::keeping(usize::MAX);
    sums.take(knowledge, policy, garden, today);
    let whole = Whole { knowledge, policy, garden, sums: &sums, today };
    let rules = catalogue();
    let mut all = Part::of(garden, today);
    all.take(rules.iter().flat_map(|rule| rule.judge_garden(&whole)));
    let outlook = Outlook::new(knowledge, policy, garden, today);
    // Each thread keeps its own rules.
    let begin = || (Judge::new(whole, &outlook), Vec::new());
    let beds = by_bed::ByBed::of(garden);
    let visit = |(judge, parts): &mut (Judge<'_>, Vec<_>), bed, records: &Garden| {
        let mut part = Part::of(garden, today);
        judge.judge(records, &mut part);
        parts.push((bed, part));
    };
    let Ok(parts) = by_bed::each_bed(&beds, garden, begin, visit, |(_, parts)| parts);
    let mut parts: Vec<(usize, Part<'_>)> = parts.into_iter().flatten().collect();
    parts.sort_unstable_by_key(|(bed, _)| *bed);
    for (_, part) in parts {
        all.join(part);
    }
    let Part { mut merged, exceptions, plantings } = all;
    for finding in exceptions.about(&known(&rules)) {
        merged.add(finding);
    }
    let mut findings = merged.finish();
    findings.sort_by(told_first);
    let mut counts = Counts { let_stand: exceptions.suppressed.len(), ..Counts::default() };
    for finding in &findings {
        counts.add(finding.severity);
    }
    Audit {
        findings,
        untold: BTreeMap::new(),
        suppressed: exceptions.suppressed,
        counts,
        plantings,
        rules: rules.len(),
    }
}

/// The order in which findings are told.
fn told_first(a: &Finding, b: &Finding) -> Ordering {
    let rank = |finding: &Finding| Reverse((finding.severity, finding.confidence, finding.date));
    (rank(a), &a.place, a.rule).cmp(&(rank(b), &b.place, b.rule))
}

fn known(rules: &[Box<dyn Rule>]) -> Vec<&'static str> {
    rules.iter().map(|rule| rule.card().id).collect()
}

/// What a thread needs to judge beds.
struct Judge<'a> {
    whole: Whole<'a>,
    rules: Vec<Box<dyn Rule>>,
    outlook: &'a Outlook<'a>,
}

impl<'a> Judge<'a> {
    fn new(whole: Whole<'a>, outlook: &'a Outlook<'a>) -> Self {
        Self { whole, rules: catalogue(), outlook }
    }

    /// Holds the records of a bed against the rules.
    fn judge(&self, records: &Garden, into: &mut Part<'_>) {
        for bed in &records.beds {
            let context = Context::new(&self.whole, records, bed, self.outlook);
            into.plantings += context.judged.len();
            into.take(self.rules.iter().flat_map(|rule| rule.judge(&context)));
        }
    }
}

/// What was found in a part of the garden.
struct Part<'g> {
    merged: Merged,
    exceptions: Exceptions<'g>,
    plantings: usize,
}

impl<'g> Part<'g> {
    fn of(garden: &'g Garden, today: Date) -> Self {
        let exceptions = Exceptions::of(garden, today);
        Self { merged: Merged::default(), exceptions, plantings: 0 }
    }

    /// Takes findings in that no exception covers.
    fn take(&mut self, findings: impl Iterator<Item = Finding>) {
        for finding in findings {
            if let Some(finding) = self.exceptions.pass(finding) {
                self.merged.add(finding);
            }
        }
    }

    fn join(&mut self, other: Self) {
        self.merged.join(other.merged);
        self.exceptions.join(other.exceptions);
        self.plantings += other.plantings;
    }
}
