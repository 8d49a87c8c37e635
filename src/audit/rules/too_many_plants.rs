use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::spacing::Spacing;

rule! {
    /// # Statement
    /// More plants are written than the written spacing lets stand on the ground.
    /// # Mechanism
    /// A slip in one of three figures: plants, spacing, area.
    /// # Reads
    /// plantings (plants, area, spacing), beds
    /// # Stays silent when
    /// any of the figures is blank, or the number stays below the policy's multiple (`crowding`) of
    /// what fits.
    /// # Limits
    /// Which of the figures is wrong it cannot tell.
    /// # Sources
    /// Our own check of the records.
    TooManyPlants {
        id: "too_many_plants",
        severity: Remark,
        reads: ["plantings", "beds"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for TooManyPlants {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for planting in context.made() {
            let (Some(plants), Some(rows), Some(within)) =
                (planting.plants, planting.row_spacing, planting.plant_spacing)
            else {
                continue;
            };
            let ground = planting.area.unwrap_or_else(|| context.bed.area());
            let room = Spacing::in_rows(rows, within).plants_on(ground);
            if (plants as f64) <= room * context.policy.crowding {
                continue;
            }
            let claim = FindingClaim::TooManyPlants { crop: planting.crop, plants, room };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                    .resting_on([Evidence::planting(planting)]),
            );
        }
        findings
    }
}
