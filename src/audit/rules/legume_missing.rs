use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::BedKind;
use crate::season::add_years;

rule! {
    /// # Statement
    /// No legume stood in a bed for years.
    /// # Mechanism
    /// Legumes bring nitrogen from the air and break the diseases of other families; rules for
    /// organic growing ask for them in every rotation.
    /// # Reads
    /// plantings; crops
    /// # Stays silent when
    /// a legume stood, as crop or cover, within the policy's years (`legume_years`), the bed is a
    /// container, its records or its use are younger than that, or a perennial or fungus holds it.
    /// # Limits
    /// Clover that grows by itself in paths and edges is not recorded.
    /// # Sources
    /// The clauses on legumes in the table of standards.
    LegumeMissing {
        id: "legume_missing",
        severity: Remark,
        reads: ["plantings", "crops"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for LegumeMissing {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let since = add_years(context.today, -context.policy.legume_years);
        let place = super::whole(context);
        let known = context.garden.known_from(&place).is_some_and(|from| from <= since);
        let crops = &context.knowledge.crops;
        let in_time: Vec<_> = context
            .made()
            .filter(|planting| planting.stood.end_by(context.today) > since)
            .collect();
        if context.bed.kind == BedKind::Container
            || !known
            || in_time.len() < context.policy.run_growings
            || in_time.iter().any(|planting| crops[planting.crop].is_legume())
        {
            return Vec::new();
        }
        let claim = FindingClaim::LegumeMissing { years: context.policy.legume_years };
        vec![
            Finding::new(&Self::CARD, &place, context.today, claim)
                .sure(Confidence::Moderate)
                .resting_on(in_time.iter().rev().map(|one| Evidence::planting(one))),
        ]
    }
}
