use crate::assess::{Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// Raw manure was spread in a bed where food was standing.
    /// # Mechanism
    /// It may carry germs that make people ill onto what is eaten. Advisers of food safety say never
    /// during the growing season, and dug in within three days.
    /// # Reads
    /// amendments, plantings; standards (CONTEXT-72H)
    /// # Stays silent when
    /// the manure was composted, or only covers, weeds or nothing stood.
    /// # Limits
    /// Whether it touched the plants and when it was dug in is not recorded; local food rules come
    /// first.
    /// # Sources
    /// The advice that the finding names.
    ManureWhileGrowing {
        id: "manure_while_growing",
        severity: Severe,
        reads: ["amendments", "plantings", "standards"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ManureWhileGrowing {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let clause = context.knowledge.clauses().iter().find(|clause| &*clause.id == "CONTEXT-72H");
        let mut findings = Vec::new();
        for amendment in context.garden.amendments.iter().filter(|one| one.date <= context.today) {
            if super::kind_of(context, &amendment.material) != Some("manure_raw") {
                continue;
            }
            let stood = super::set_by_hand(context).find(|judged| {
                let planting = judged.planting;
                planting.place.bears_on(&amendment.place)
                    && planting.stood.start < amendment.date
                    && planting.stood.end_by(context.today) > amendment.date
                    && !matches!(&*context.knowledge.crops[planting.crop].edible_part, "" | "none")
            });
            let Some(stood) = stood else { continue };
            let fact = clause.map(|clause| {
                let note = FactNote::Clause {
                    clause: clause.clause.clone(),
                    demands: clause.demands.clone(),
                };
                Evidence::Fact(note, clause.citation.clone())
            });
            let claim = FindingClaim::ManureWhileGrowing {
                crop: stood.planting.crop,
                material: amendment.material.clone(),
            };
            findings.push(
                Finding::new(&Self::CARD, &amendment.place, amendment.date, claim).resting_on(
                    [Evidence::amendment(amendment), Evidence::planting(stood.planting)]
                        .into_iter()
                        .chain(fact),
                ),
            );
        }
        findings
    }
}
