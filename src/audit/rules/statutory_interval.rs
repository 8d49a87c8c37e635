use crate::assess::{Claim, Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::HostStatus;
use crate::records::Certainty;
use crate::state::Presence;

rule! {
    /// # Statement
    /// A host was planted before the free years that the law of some place asks for after that
    /// disease.
    /// # Mechanism
    /// Where a disease is fought by law, the law sets the years; they may be longer than those that
    /// advisers print.
    /// # Reads
    /// plantings, observations; standards (unit `years_free`), hosts
    /// # Stays silent when
    /// the disease was only suspected, the crop is no host by a direct row, or the years are served.
    /// # Limits
    /// Laws hold where they were made: the finding names the clause. Rules for seed crops and for
    /// whole fields are held against a bed of the kitchen garden.
    /// # Sources
    /// The clause that the finding names.
    StatutoryInterval {
        id: "statutory_interval",
        severity: Remark,
        reads: ["plantings", "observations", "standards", "hosts"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for StatutoryInterval {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in super::set_by_hand(context) {
            for reason in judged.disease() {
                let Claim::Disease {
                    pathogen,
                    presence: Presence::Sighted(certainty),
                    crop,
                    status: HostStatus::Host,
                    years,
                    ..
                } = reason.claim
                else {
                    continue;
                };
                if certainty == Certainty::Suspected {
                    continue;
                }
                // The strictest clause that is not served.
                let clause = context
                    .knowledge
                    .clauses()
                    .iter()
                    .filter(|clause| {
                        &*clause.unit == "years_free"
                            && clause.pathogens.contains(&pathogen)
                            && clause.figure.is_some_and(|asked| years < asked)
                    })
                    .max_by(|a, b| {
                        let figure = a.figure.unwrap_or(0.0).total_cmp(&b.figure.unwrap_or(0.0));
                        // Of two that ask for the same, the one that was read.
                        figure.then(b.citation.how.cmp(&a.citation.how))
                    });
                let Some(clause) = clause else { continue };
                let planting = judged.planting;
                let claim = FindingClaim::StatutoryInterval {
                    crop,
                    pathogen,
                    years,
                    asked: clause.figure.unwrap_or_default(),
                    clause: clause.clause.clone(),
                };
                let mut evidence = super::with_planting(planting, &reason.evidence);
                let note = FactNote::Clause {
                    clause: clause.clause.clone(),
                    demands: clause.demands.clone(),
                };
                evidence.push(Evidence::Fact(note, clause.citation.clone()));
                findings.push(
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .sure(Confidence::Moderate)
                        .resting_on(evidence),
                );
            }
        }
        findings
    }
}
