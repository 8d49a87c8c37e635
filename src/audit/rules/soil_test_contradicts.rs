use crate::assess::{Confidence, Evidence, FigureNote, MissingNote, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A soil test found more or less than the books of the bed can explain since the test before.
    /// # Mechanism
    /// A test is an assertion. If it lies outside the whole range of the books, something is not
    /// written (a load, a harvest, a flood), or the sample was not of this bed.
    /// # Reads
    /// soil tests, and all that the nutrient books read
    /// # Stays silent when
    /// the ranges meet, it is the first test, or phosphorus was extracted otherwise than before.
    /// # Limits
    /// Nitrate swings within weeks; a sample taken after feeding is high.
    /// # Sources
    /// Each column of the books carries its own.
    SoilTestContradicts {
        id: "soil_test_contradicts",
        severity: Remark,
        reads: ["soil_tests", "amendments", "harvests", "plantings"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SoilTestContradicts {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for ledger in &context.ledgers {
            for check in ledger.checks.iter().filter(|check| check.contradicts()) {
                let mut evidence = vec![
                    Evidence::Record(
                        check.origin.clone(),
                        RecordNote::SoilTest { date: check.date },
                    ),
                    Evidence::Figure(FigureNote::Booked {
                        nutrient: check.nutrient,
                        grams: check.booked,
                    }),
                ];
                let unbooked = ledger.unbooked.iter().filter(|one| one.date <= check.date);
                evidence.extend(unbooked.map(|one| {
                    Evidence::Missing(MissingNote::AmendmentAmount {
                        date: one.date,
                        material: one.material.clone(),
                    })
                }));
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence: Confidence::Moderate,
                    place: Some(ledger.place.clone()),
                    date: check.date,
                    claim: FindingClaim::SoilTestContradicts {
                        nutrient: check.nutrient,
                        booked: check.booked,
                        tested: check.tested,
                    },
                    evidence,
                });
            }
        }
        findings
    }
}
