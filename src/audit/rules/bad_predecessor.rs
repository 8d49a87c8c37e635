use crate::assess::{Claim, Effect};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A crop followed another that sources call a bad predecessor for it.
    /// # Mechanism
    /// Shared pests, nitrogen left or lacking, structure, acidity, or juices of the roots: the row
    /// says which.
    /// # Reads
    /// plantings; `sequence_rules`
    /// # Stays silent when
    /// both are of one family (see `family_interval`), a source calls the pair good as well, or more
    /// than the policy's years (`predecessor_years`), or the years that the source prints for its
    /// pests, lie between.
    /// # Limits
    /// Most rows are observations of growers or single trials.
    /// # Sources
    /// Each finding cites the rows it rests on.
    BadPredecessor {
        id: "bad_predecessor",
        severity: Remark,
        reads: ["plantings", "sequence_rules"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for BadPredecessor {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let crops = &context.knowledge.crops;
        let mut findings = Vec::new();
        let grain = context
            .judged
            .iter()
            .filter(|judged| super::is_harvested_grain(context, judged.planting));
        for judged in super::set_by_hand(context).chain(grain) {
            for reason in judged.sequence() {
                let Claim::Predecessor { previous, helps: false, reason: why } = &reason.claim
                else {
                    continue;
                };
                let planting = judged.planting;
                if crops[*previous].family == crops[planting.crop].family
                    || !matches!(reason.effect, Effect::Care { .. })
                {
                    continue;
                }
                let claim = FindingClaim::BadPredecessor {
                    crop: planting.crop,
                    previous: *previous,
                    reason: why.clone(),
                };
                findings.push(
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .sure(reason.certainty)
                        .resting_on(super::with_planting(planting, &reason.evidence)),
                );
            }
        }
        findings
    }
}
