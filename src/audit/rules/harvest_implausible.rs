use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::state::nutrients::typical_yield;

rule! {
    /// # Statement
    /// More was picked of a crop than sources know a bed of that size to bear.
    /// # Mechanism
    /// A slipped point or a unit: the books would then believe that the bed gave away nutrients it
    /// never had.
    /// # Reads
    /// harvests, plantings, beds; `crop_figures`, `yields_garden`
    /// # Stays silent when
    /// the yield stays below the policy's multiple (`implausible_yield`) of the highest published, or
    /// none is published.
    /// # Limits
    /// Small plots with edges in the sun do better than fields; the multiple leaves room for that.
    /// # Sources
    /// The yields carry their own.
    HarvestImplausible {
        id: "harvest_implausible",
        severity: Remark,
        reads: ["harvests", "plantings", "beds", "crop_figures", "yields_garden"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HarvestImplausible {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        let mut findings = Vec::new();
        for planting in context.made() {
            let picked: Vec<_> = garden
                .harvests
                .iter()
                .filter(|harvest| {
                    harvest.crop == planting.crop
                        && harvest.place.bears_on(&planting.place)
                        && harvest.date >= planting.stood.start
                        && planting.stood.end.is_none_or(|end| harvest.date <= end)
                })
                .collect();
            let Some(most) = picked.iter().max_by(|a, b| a.mass.0.total_cmp(&b.mass.0)) else {
                continue;
            };
            let Some(usual) = typical_yield(context.knowledge, planting.crop) else { continue };
            let area = planting.area.unwrap_or_else(|| context.bed.area()).0;
            let kg_m2 = picked.iter().map(|harvest| harvest.mass.0).sum::<f64>() / area;
            if kg_m2 <= usual.high * context.policy.implausible_yield {
                continue;
            }
            let claim =
                FindingClaim::HarvestImplausible { crop: planting.crop, kg_m2, most: usual.high };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, most.date, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::harvest(most), Evidence::planting(planting)]),
            );
        }
        findings
    }
}
