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
    let mut findings: Vec<Finding> =
        rules.iter().flat_map(|rule| rule.judge_garden(&whole)).collect();
    let mut plantings = 0;
    // Each thread keeps its own answers on the season and its own rules.
    let begin = || (catalogue(), outlook::Outlook::new(knowledge, policy, garden, today));
    let judged = by_bed::each_bed(garden, begin, |(rules, outlook), part| {
        let mut found = (0, Vec::new());
        for bed in &part.beds {
            let context = Context::new(&whole, part, bed, outlook);
            found.0 += context.judged.len();
            found.1.extend(rules.iter().flat_map(|rule| rule.judge(&context)));
        }
        found
    });
    for (count, found) in judged {
        plantings += count;
        findings.extend(found);
    }
    let known: Vec<&str> = rules.iter().map(|rule| rule.card().id).collect();
    let suppressed = exceptions::apply(garden, today, &known, &mut findings);
    let mut findings = merge::merge(findings);
    findings.sort_by(|a, b| {
        let rank = |finding: &Finding| {
            std::cmp::Reverse((finding.severity, finding.confidence, finding.date))
        };
        (rank(a), &a.place, a.rule).cmp(&(rank(b), &b.place, b.rule))
    });
    Audit { findings, suppressed, plantings, rules: rules.len() }
}
