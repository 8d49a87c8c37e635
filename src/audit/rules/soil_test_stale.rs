use crate::assess::{Confidence, Evidence, MissingNote, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::season::years_between;

rule! {
    /// # Statement
    /// A bed that is fed has no soil test, or an old one.
    /// # Mechanism
    /// The books drift: what materials hold, what rain took and what roots found are ranges that add
    /// up year by year until a test sets them right.
    /// # Reads
    /// soil tests, amendments
    /// # Stays silent when
    /// nothing was put on since the last test, or it is younger than the policy
    /// (`soil_test_years`).
    /// # Limits
    /// A test of a neighbouring bed with the same soil would serve as well; it is not counted.
    /// # Sources
    /// Common practice: every two to four years.
    SoilTestStale {
        id: "soil_test_stale",
        severity: Remark,
        reads: ["soil_tests", "amendments"],
        sources: ["common_practice"],
        since: "0.1.0",
    }
}

impl Rule for SoilTestStale {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings: Vec<Finding> = Vec::new();
        for ledger in &context.ledgers {
            // One finding a bed: sections share their soil.
            let told = findings.iter().any(|finding| {
                finding.place.as_ref().is_some_and(|place| place.bed == ledger.place.bed)
            });
            if told {
                continue;
            }
            let last = ledger.last_test.as_ref();
            let old = last.is_none_or(|(_, date)| {
                years_between(*date, context.today) > context.policy.soil_test_years
            });
            let fed_since = ledger
                .booked
                .iter()
                .rev()
                .find(|booked| last.is_none_or(|(_, date)| booked.date >= *date));
            let (true, Some(fed)) = (old, fed_since) else { continue };
            let mut evidence = Vec::new();
            if let Some((origin, date)) = last {
                evidence
                    .push(Evidence::Record(origin.clone(), RecordNote::SoilTest { date: *date }));
            }
            let material = fed.material.clone();
            evidence.push(Evidence::Record(
                fed.origin.clone(),
                RecordNote::Amendment { date: fed.date, material },
            ));
            let last = last.map(|(_, date)| *date);
            evidence.push(Evidence::Missing(MissingNote::SoilTest { last }));
            findings.push(Finding {
                again: Vec::new(),
                rule: Self::CARD.id,
                severity: Self::CARD.severity,
                confidence: Confidence::High,
                place: Some(ledger.place.clone()),
                date: fed.date,
                claim: FindingClaim::SoilTestStale { last },
                evidence,
            });
        }
        findings
    }
}
