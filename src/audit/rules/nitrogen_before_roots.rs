use crate::assess::{Confidence, Evidence, FigureNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::Method;
use crate::state::nutrients::Nutrient;

rule! {
    /// # Statement
    /// Fresh manure or much quick nitrogen was put on shortly before a root crop.
    /// # Mechanism
    /// Roots fork where manure lies fresh, and rich ground makes leaf and hairy roots.
    /// # Reads
    /// amendments, plantings; what materials hold
    /// # Stays silent when
    /// it was compost, plant matter or mulch, brought less than the policy's grams
    /// (`legume_nitrogen`), lies further back than the policy's days (`root_days`), or another crop
    /// stood between.
    /// # Limits
    /// Bulbs, tubers and roots set out as plants bear it better: only roots sown in place are meant.
    /// # Sources
    /// Common practice; published plans put roots in the second year after manure.
    NitrogenBeforeRoots {
        id: "nitrogen_before_roots",
        severity: Remark,
        reads: ["amendments", "plantings"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for NitrogenBeforeRoots {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for (amendment, grams) in super::nitrogen_loads(context) {
            let quick = super::kind_of(context, &amendment.material)
                .is_some_and(|kind| matches!(kind, "meal" | "mineral" | "manure_raw"));
            if !quick || grams.likely < context.policy.legume_nitrogen {
                continue;
            }
            let next = context.made().find(|planting| {
                planting.place.bears_on(&amendment.place) && planting.stood.start >= amendment.date
            });
            let Some(root) = next else { continue };
            let days = (root.stood.start - amendment.date).num_days();
            let crop = &context.knowledge.crops[root.crop];
            if &*crop.edible_part != "root"
                || root.method == Some(Method::Transplanted)
                || days > context.policy.root_days
            {
                continue;
            }
            let claim = FindingClaim::NitrogenBeforeRoots {
                crop: root.crop,
                material: amendment.material.clone(),
                grams,
            };
            let figure =
                Evidence::Figure(FigureNote::Booked { nutrient: Nutrient::Nitrogen, grams });
            findings.push(
                Finding::new(&Self::CARD, &amendment.place, root.stood.start, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::amendment(amendment), Evidence::planting(root), figure]),
            );
        }
        findings
    }
}
