use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A crop was picked long before it can have been ripe.
    /// # Mechanism
    /// The day, the bed or the crop is a slip.
    /// # Reads
    /// harvests, plantings; `crop_figures` (days to maturity)
    /// # Stays silent when
    /// the days reach the policy's part (`early_pick_share`) of the fewest published, an earlier
    /// planting of the crop may have been meant, or no days are published.
    /// # Limits
    /// Baby leaves, thinnings and shoots are picked early: the part leaves room for them.
    /// # Sources
    /// Days to maturity carry their own.
    HarvestTooSoon {
        id: "harvest_too_soon",
        severity: Remark,
        reads: ["harvests", "plantings", "crop_figures"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HarvestTooSoon {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        let mut findings = Vec::new();
        for harvest in garden.harvests.iter().filter(|harvest| harvest.date <= context.today) {
            // The oldest planting that stood is the one that may be ripe.
            let stood = garden.plantings.iter().find(|planting| {
                planting.crop == harvest.crop
                    && planting.place.bears_on(&harvest.place)
                    && planting.stood.start <= harvest.date
                    && planting.stood.end.is_none_or(|end| harvest.date <= end)
            });
            let Some(planting) = stood else { continue };
            let usual = super::days_to_harvest(context.knowledge, harvest.crop);
            let Some(usual) = usual else { continue };
            let days = (harvest.date - planting.stood.start).num_days();
            if days as f64 >= usual.low * context.policy.early_pick_share {
                continue;
            }
            let claim = FindingClaim::HarvestTooSoon { crop: harvest.crop, days, usual: usual.low };
            findings.push(
                Finding::new(&Self::CARD, &harvest.place, harvest.date, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::harvest(harvest), Evidence::planting(planting)]),
            );
        }
        findings
    }
}
