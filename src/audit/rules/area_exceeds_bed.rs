use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A planting is written with a larger area than its bed has.
    /// # Mechanism
    /// A slip of the pen; yields and nutrients a square metre come out wrong.
    /// # Reads
    /// plantings (area), beds
    /// # Stays silent when
    /// the area is blank or no larger than the bed by more than a twentieth.
    /// # Limits
    /// Vines that run over the edge take more ground than their bed: write the ground they root in.
    /// # Sources
    /// Our own check of the records.
    AreaExceedsBed {
        id: "area_exceeds_bed",
        severity: Remark,
        reads: ["plantings", "beds"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for AreaExceedsBed {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let bed = context.bed.area().0;
        context
            .made()
            .filter_map(|planting| {
                let area = planting.area?.0;
                let claim = FindingClaim::AreaExceedsBed { crop: planting.crop, area, bed };
                (area > bed * 1.05).then(|| {
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .resting_on([Evidence::planting(planting)])
                })
            })
            .collect()
    }
}
