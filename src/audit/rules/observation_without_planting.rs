use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};

rule! {
    /// # Statement
    /// A crop was looked at in a bed in which it did not stand.
    /// # Mechanism
    /// The bed or the crop is a slip; what was seen is then held against the wrong bed.
    /// # Reads
    /// observations, plantings
    /// # Stays silent when
    /// no crop is named, the crop stood there, or it was cleared within the policy's days
    /// (`looked_at_days`).
    /// # Limits
    /// Weeds and volunteers that were looked at but not written as standing are told as well.
    /// # Sources
    /// Our own check of the records.
    ObservationWithoutPlanting {
        id: "observation_without_planting",
        severity: Remark,
        reads: ["observations", "plantings"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ObservationWithoutPlanting {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let garden = context.garden;
        let mut findings = Vec::new();
        for seen in garden.observations.iter().filter(|seen| seen.date <= context.today) {
            let Some(crop) = seen.crop else { continue };
            let stood = garden.plantings.iter().any(|planting| {
                planting.crop == crop
                    && planting.place.bears_on(&seen.place)
                    && planting.stood.start <= seen.date
                    && planting.stood.end.is_none_or(|end| {
                        (seen.date - end).num_days() <= context.policy.looked_at_days
                    })
            });
            if stood {
                continue;
            }
            let claim = FindingClaim::ObservationWithoutPlanting { crop };
            findings.push(
                Finding::new(&Self::CARD, &seen.place, seen.date, claim)
                    .resting_on([Evidence::sighting(seen)]),
            );
        }
        findings
    }
}
