use crate::assess::{Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::{Certainty, Seen};

rule! {
    /// # Statement
    /// A disease is on record that the law of some place asks to be told to its authority, or forbids
    /// to carry about.
    /// # Mechanism
    /// Such diseases spread with plants, tools and soil to other people's land.
    /// # Reads
    /// observations; standards (unit `notice`)
    /// # Stays silent when
    /// the disease was only suspected, or no clause of the table speaks of it.
    /// # Limits
    /// Laws hold where they were made: the finding names the clause, and whether it is yours you must
    /// ask. The list is short and other places have others.
    /// # Sources
    /// The clause that the finding names.
    NotifiableDisease {
        id: "notifiable_disease",
        severity: Remark,
        reads: ["observations", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for NotifiableDisease {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings: Vec<Finding> = Vec::new();
        for seen in context.garden.observations.iter().filter(|seen| seen.date <= context.today) {
            let Seen::Pathogen(pathogen) = seen.seen else { continue };
            if seen.certainty == Certainty::Suspected {
                continue;
            }
            let clause =
                context.knowledge.clauses().iter().find(|clause| {
                    &*clause.unit == "notice" && clause.pathogens.contains(&pathogen)
                });
            let Some(clause) = clause else { continue };
            let fact = Evidence::Fact(
                FactNote::Clause { clause: clause.clause.clone(), demands: clause.demands.clone() },
                clause.citation.clone(),
            );
            let claim = FindingClaim::NotifiableDisease { pathogen, clause: clause.clause.clone() };
            findings.push(
                Finding::new(&Self::CARD, &seen.place, seen.date, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::sighting(seen), fact]),
            );
        }
        findings
    }
}
