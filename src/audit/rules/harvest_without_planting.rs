use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// Something was picked from a bed in which it did not stand that day.
    /// # Mechanism
    /// The bed, the crop or a day is a slip; the harvest is then booked to the wrong ground.
    /// # Reads
    /// harvests, plantings
    /// # Stays silent when
    /// the crop stood there on the day or was cleared on it.
    /// # Limits
    /// Which of the records is wrong it cannot tell.
    /// # Sources
    /// Our own check of the records.
    HarvestWithoutPlanting {
        id: "harvest_without_planting",
        severity: Remark,
        reads: ["harvests", "plantings"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HarvestWithoutPlanting {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        let mut findings = Vec::new();
        for harvest in garden.harvests.iter().filter(|harvest| harvest.date <= context.today) {
            let mut same = garden
                .plantings
                .iter()
                .filter(|planting| {
                    planting.crop == harvest.crop && planting.place.bears_on(&harvest.place)
                })
                .filter(|planting| planting.stood.start <= harvest.date);
            let cleared = same.clone().filter_map(|planting| planting.stood.end).max();
            if same.any(|planting| planting.stood.end.is_none_or(|end| harvest.date <= end)) {
                continue;
            }
            let claim = FindingClaim::HarvestWithoutPlanting {
                crop: harvest.crop,
                cleared: cleared.map(|end| (harvest.date - end).num_days()),
            };
            let before = garden.plantings.iter().rev().find(|planting| {
                planting.crop == harvest.crop
                    && planting.place.bears_on(&harvest.place)
                    && planting.stood.start <= harvest.date
            });
            let stood = before.map(Evidence::planting);
            findings.push(
                Finding::new(&Self::CARD, &harvest.place, harvest.date, claim)
                    .resting_on(std::iter::once(Evidence::harvest(harvest)).chain(stood)),
            );
        }
        findings
    }
}
