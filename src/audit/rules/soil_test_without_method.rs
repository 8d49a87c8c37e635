use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A phosphorus figure is written without the method by which it was extracted.
    /// # Mechanism
    /// Methods differ threefold: without its name a figure is neither high nor low.
    /// # Reads
    /// soil tests
    /// # Stays silent when
    /// no phosphorus is written, or the method is.
    /// # Limits
    /// None known.
    /// # Sources
    /// The classes of phosphorus tests, which are printed by method.
    SoilTestWithoutMethod {
        id: "soil_test_without_method",
        severity: Remark,
        reads: ["soil_tests"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SoilTestWithoutMethod {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        context
            .garden
            .soil_tests
            .iter()
            .filter(|test| {
                test.p.is_some() && test.p_method.is_none() && test.date <= context.today
            })
            .map(|test| {
                let record = Evidence::soil_test(test);
                let claim = FindingClaim::SoilTestWithoutMethod;
                Finding::new(&Self::CARD, &test.place, test.date, claim).resting_on([record])
            })
            .collect()
    }
}
