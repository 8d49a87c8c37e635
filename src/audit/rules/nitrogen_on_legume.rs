use crate::assess::{Confidence, Evidence, FigureNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::state::nutrients::Nutrient;

rule! {
    /// # Statement
    /// A quick nitrogen material was given for a legume.
    /// # Mechanism
    /// A legume that finds nitrogen in the soil makes leaf instead of pods and takes less from the
    /// air: the material is wasted.
    /// # Reads
    /// amendments, plantings; what materials hold
    /// # Stays silent when
    /// the material is a compost, a mulch or plant matter, it brings less than the policy's grams
    /// (`legume_nitrogen`), its amount is not written, or something else shared the ground.
    /// # Limits
    /// A little nitrogen helps beans through a cold start; the threshold leaves room for that.
    /// # Sources
    /// Common practice.
    NitrogenOnLegume {
        id: "nitrogen_on_legume",
        severity: Remark,
        reads: ["amendments", "plantings", "amendments"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for NitrogenOnLegume {
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
            let mut stood = context.made().filter(|planting| {
                let before = (planting.stood.start - amendment.date).num_days();
                planting.place.bears_on(&amendment.place)
                    && before <= 14
                    && planting.stood.end_by(context.today) > amendment.date
            });
            let (Some(legume), None) = (stood.next(), stood.next()) else { continue };
            if !context.knowledge.crops[legume.crop].is_legume() {
                continue;
            }
            let claim = FindingClaim::NitrogenOnLegume {
                crop: legume.crop,
                material: amendment.material.clone(),
                grams,
            };
            let figure =
                Evidence::Figure(FigureNote::Booked { nutrient: Nutrient::Nitrogen, grams });
            findings.push(
                Finding::new(&Self::CARD, &amendment.place, amendment.date, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([
                        Evidence::amendment(amendment),
                        Evidence::planting(legume),
                        figure,
                    ]),
            );
        }
        findings
    }
}
