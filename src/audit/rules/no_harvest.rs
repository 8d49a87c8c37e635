use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::{Extent, Seen};

rule! {
    /// # Statement
    /// A crop stood long enough to be picked, was cleared, and nothing was weighed, in a garden that
    /// weighs.
    /// # Mechanism
    /// Without the harvest the books guess what left the bed, and next year's plan cannot tell what
    /// the crop was worth.
    /// # Reads
    /// plantings, harvests; `crop_figures`
    /// # Stays silent when
    /// nothing was ever weighed in this bed, the crop is a cover or a flower, a sighting of more than
    /// a light case explains the loss, the remains were dug in, or sources give no days to maturity.
    /// # Limits
    /// It cannot tell a failed crop from one that was eaten without being weighed.
    /// # Sources
    /// Days to maturity carry their own.
    NoHarvest {
        id: "no_harvest",
        severity: Remark,
        reads: ["plantings", "harvests", "crop_figures"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for NoHarvest {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        if garden.harvests.is_empty() {
            return Vec::new();
        }
        let mut findings = Vec::new();
        for judged in super::set_by_hand(context) {
            let planting = judged.planting;
            let crop = &context.knowledge.crops[planting.crop];
            let Some(end) = planting.stood.end.filter(|end| *end <= context.today) else {
                continue;
            };
            let days = (end - planting.stood.start).num_days();
            let ripe = super::days_to_harvest(context.knowledge, planting.crop)
                .is_some_and(|usual| days as f64 >= usual.high);
            let picked = garden.harvests.iter().any(|harvest| {
                harvest.crop == planting.crop
                    && harvest.place.bears_on(&planting.place)
                    && harvest.date >= planting.stood.start
                    && (harvest.date - end).num_days() <= 30
            });
            let failed = garden.observations.iter().any(|seen| {
                seen.place.bears_on(&planting.place)
                    && seen.crop == Some(planting.crop)
                    && (planting.stood.start..=end).contains(&seen.date)
                    && !matches!(seen.seen, Seen::Healthy)
                    && !matches!(seen.extent, Some(Extent::Trace | Extent::Light))
            });
            let dug_in = planting.residue == Some(crate::records::Residue::DugIn);
            let eaten = !matches!(&*crop.edible_part, "" | "none");
            if !ripe || picked || failed || dug_in || !eaten {
                continue;
            }
            let claim = FindingClaim::NoHarvest { crop: planting.crop, days };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::planting(planting)]),
            );
        }
        findings
    }
}
