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
/// the memory does not.
#[must_use]
pub fn audit(knowledge: &Knowledge, policy: &Policy, garden: &Garden, today: Date) -> Audit {
    let rules = catalogue();
    let whole = Whole { knowledge, policy, garden, today };
    let outlook = outlook::Outlook::new(knowledge, policy, garden, today);
    let mut exceptions = exceptions::Exceptions::of(garden, today);
    let mut merged = merge::Merged::default();
    let mut plantings = 0;
    for finding in rules.iter().flat_map(|rule| rule.judge_garden(&whole)) {
        exceptions.pass(finding).into_iter().for_each(|finding| merged.add(finding));
    }
    by_bed::each_bed(garden, |part| {
        for bed in &part.beds {
            let context = Context::new(&whole, part, bed, &outlook);
            plantings += context.judged.len();
            for finding in rules.iter().flat_map(|rule| rule.judge(&context)) {
                exceptions.pass(finding).into_iter().for_each(|finding| merged.add(finding));
            }
        }
    });
    let known: Vec<&str> = rules.iter().map(|rule| rule.card().id).collect();
    exceptions.about(&known).into_iter().for_each(|finding| merged.add(finding));
    let suppressed = exceptions.suppressed;
    let mut findings = merged.finish();
    findings.sort_by(|a, b| {
        let rank = |finding: &Finding| {
            std::cmp::Reverse((finding.severity, finding.confidence, finding.date))
        };
        (rank(a), &a.place, a.rule).cmp(&(rank(b), &b.place, b.rule))
    });
    Audit { findings, suppressed, plantings, rules: rules.len() }
}
