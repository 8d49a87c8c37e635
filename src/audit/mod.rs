//! Years of records held against rules: one rule a file, each with the card that documents it.
//!
//! A rule looks at plantings that were judged as they were made, from the records before them
//! only, and gives findings. Severity says how much harm, confidence how sure.

mod card;
mod context;
mod exceptions;
mod finding;
mod rules;

pub use card::{Rule, RuleCard};
pub use context::{Context, Judged};
pub use exceptions::Suppressed;
pub use finding::{Finding, FindingClaim, Severity};
pub use rules::catalogue;

use crate::knowledge::Knowledge;
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::Date;

/// What an audit found.
#[derive(Debug)]
pub struct Audit {
    /// Findings, worst first, then by place and day.
    pub findings: Vec<Finding>,
    /// Findings that an exception of the grower lets stand.
    pub suppressed: Vec<Suppressed>,
    /// How many plantings were looked at.
    pub plantings: usize,
    /// How many rules.
    pub rules: usize,
}

/// Holds a garden's records up to a day against every rule.
#[must_use]
pub fn audit(knowledge: &Knowledge, policy: &Policy, garden: &Garden, today: Date) -> Audit {
    let context = Context::new(knowledge, policy, garden, today);
    let rules = catalogue();
    let mut findings: Vec<Finding> = rules.iter().flat_map(|rule| rule.judge(&context)).collect();
    let known: Vec<&str> = rules.iter().map(|rule| rule.card().id).collect();
    let suppressed = exceptions::apply(garden, today, &known, &mut findings);
    findings.sort_by(|a, b| {
        (std::cmp::Reverse(a.severity), std::cmp::Reverse(a.confidence), &a.place, a.date, a.rule)
            .cmp(&(
                std::cmp::Reverse(b.severity),
                std::cmp::Reverse(b.confidence),
                &b.place,
                b.date,
                b.rule,
            ))
    });
    Audit { findings, suppressed, plantings: context.judged.len(), rules: rules.len() }
}
