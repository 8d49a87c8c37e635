use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// From the first soil test of a bed to the last its organic matter fell.
    /// # Mechanism
    /// More is broken down by digging and warmth than covers, residue and compost bring back.
    /// # Reads
    /// soil tests
    /// # Stays silent when
    /// fewer than two tests give a figure, it rose or held, or the fall is less than the policy's
    /// (`organic_matter_fall`), or new soil came between.
    /// # Limits
    /// Two tests from different depths or laboratories differ by as much.
    /// # Sources
    /// Rules that ask for soil condition to be kept or bettered.
    OrganicMatterFalling {
        id: "organic_matter_falling",
        severity: Remark,
        reads: ["soil_tests"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for OrganicMatterFalling {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        let mut findings = Vec::new();
        for place in garden.places(&context.bed.name) {
            let renewed = garden
                .treatments
                .iter()
                .rfind(|one| one.practice.replaces_soil() && one.place.bears_on(&place));
            let tests: Vec<_> = garden
                .soil_tests
                .iter()
                .filter(|test| test.place.bears_on(&place) && test.date <= context.today)
                .filter(|test| renewed.is_none_or(|one| test.date > one.lasted.start))
                .filter_map(|test| Some((test, test.organic_matter?.0)))
                .collect();
            let (Some((first, from)), Some((last, to))) = (tests.first(), tests.last()) else {
                continue;
            };
            if from - to < context.policy.organic_matter_fall {
                continue;
            }
            let claim = FindingClaim::OrganicMatterFalling { from: *from, to: *to };
            let record = |test: &crate::records::SoilTest| Evidence::soil_test(test);
            findings.push(
                Finding::new(&Self::CARD, &last.place, last.date, claim)
                    .sure(if tests.len() > 2 { Confidence::High } else { Confidence::Moderate })
                    .resting_on([record(first), record(last)]),
            );
        }
        findings.dedup_by(|a, b| a.date == b.date && a.place == b.place);
        findings
    }
}
