//! Years of records held against rules: one rule a file, each with the card that documents it.
//!
//! A rule looks at plantings that were judged as they were made, from the records before them
//! only, and gives findings. Severity says how much harm, confidence how sure.

mod by_bed;
mod card;
mod context;
mod exceptions;
mod finding;
mod merge;
mod outlook;
mod proof;
mod rules;

pub use card::{Rule, RuleCard};
pub use context::{Context, Judged, Whole};
pub use exceptions::Suppressed;
pub use finding::{Again, Finding, FindingClaim, Severity};
pub use proof::{BedProof, Case, ClauseProof, Lines, Missing, Standing, proofs};
pub use rules::catalogue;

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
    /// Findings that an exception of the grower lets stand.
    pub suppressed: Vec<Suppressed>,
    /// How many plantings were looked at.
    pub plantings: usize,
    /// How many rules.
    pub rules: usize,
}

/// Holds a garden's records up to a day against every rule. The garden is walked bed by bed, and
/// what was judged of a bed is dropped with it, so that the work grows with the number of beds and
/// the memory does not. No bed knows of another, so the threads that share them change no answer.
#[must_use]
pub fn audit(knowledge: &Knowledge, policy: &Policy, garden: &Garden, today: Date) -> Audit {
    let rules = catalogue();
    let whole = Whole { knowledge, policy, garden, today };
    let mut all = Part::of(garden, today);
    all.take(rules.iter().flat_map(|rule| rule.judge_garden(&whole)));
    // Each thread keeps its own answers on the season and its own rules.
    let begin = || (catalogue(), Outlook::new(knowledge, policy, garden, today));
    let parts = by_bed::each_bed(garden, begin, |(rules, outlook), records| {
        let mut part = Part::of(garden, today);
        for bed in &records.beds {
            let context = Context::new(&whole, records, bed, outlook);
            part.plantings += context.judged.len();
            part.take(rules.iter().flat_map(|rule| rule.judge(&context)));
        }
        part
    });
    for part in parts {
        all.join(part);
    }
    let known: Vec<&str> = rules.iter().map(|rule| rule.card().id).collect();
    let Part { mut merged, exceptions, plantings } = all;
    for finding in exceptions.about(&known) {
        merged.add(finding);
    }
    let mut findings = merged.finish();
    findings.sort_by(|a, b| {
        let rank = |finding: &Finding| {
            std::cmp::Reverse((finding.severity, finding.confidence, finding.date))
        };
        (rank(a), &a.place, a.rule).cmp(&(rank(b), &b.place, b.rule))
    });
    Audit { findings, suppressed: exceptions.suppressed, plantings, rules: rules.len() }
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
