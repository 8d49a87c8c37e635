use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::Seen;

rule! {
    /// # Statement
    /// The same crop of the same bed was noted as healthy and as sick on the same day.
    /// # Mechanism
    /// One of the two is a slip, or sections were not written; together they say nothing.
    /// # Reads
    /// observations
    /// # Stays silent when
    /// the notes name different sections, crops or days.
    /// # Limits
    /// Two looks on one day may both be true where the sections are not written.
    /// # Sources
    /// Our own check of the records.
    ObservationsContradict {
        id: "observations_contradict",
        severity: Remark,
        reads: ["observations"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for ObservationsContradict {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let observations = &context.garden.observations;
        let mut findings = Vec::new();
        for (at, one) in observations.iter().enumerate() {
            // Sorted by day and place: the others of the day follow.
            let same_day = observations[at + 1..].iter().take_while(|other| other.date == one.date);
            for other in same_day {
                let healthy = [one, other].iter().filter(|seen| seen.seen == Seen::Healthy).count();
                if healthy != 1 || one.place != other.place || one.crop != other.crop {
                    continue;
                }
                let claim = FindingClaim::ObservationsContradict { crop: one.crop };
                findings.push(
                    Finding::new(&Self::CARD, &one.place, one.date, claim)
                        .resting_on([Evidence::sighting(one), Evidence::sighting(other)]),
                );
            }
        }
        findings
    }
}
