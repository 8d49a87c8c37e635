use crate::assess::{Evidence, MissingNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::season::Date;

rule! {
    /// # Statement
    /// Nothing is written of a bed for more than a year between two records.
    /// # Mechanism
    /// A bed is seldom left alone that long: more likely the notes are missing, and with them hosts
    /// and diseases.
    /// # Reads
    /// all records of the bed
    /// # Stays silent when
    /// something stood through the time, a treatment lasted, or the time lies before the day from
    /// which the notes are complete.
    /// # Limits
    /// A bed that truly rested is told as well: write the weeds that stood, or a treatment for the
    /// rest.
    /// # Sources
    /// Our own check of the records.
    RecordGap {
        id: "record_gap",
        severity: Remark,
        reads: ["plantings", "observations", "amendments", "treatments"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for RecordGap {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let (garden, today) = (context.garden, context.today);
        // Days on which something is known to have gone on, from first to last.
        let mut spans: Vec<(Date, Date, Option<Evidence>)> = garden
            .plantings
            .iter()
            .map(|one| (one.stood.start, one.stood.end_by(today), Some(Evidence::planting(one))))
            .chain(
                garden
                    .treatments
                    .iter()
                    .map(|one| (one.lasted.start, one.lasted.end_by(today), None)),
            )
            .chain(garden.observations.iter().map(|one| (one.date, one.date, None)))
            .chain(garden.amendments.iter().map(|one| (one.date, one.date, None)))
            .chain(garden.harvests.iter().map(|one| (one.date, one.date, None)))
            .chain(garden.soil_tests.iter().map(|one| (one.date, one.date, None)))
            .filter(|(start, ..)| *start <= today)
            .collect();
        spans.sort_by_key(|(start, end, _)| (*start, *end));
        let mut findings = Vec::new();
        let mut known: Option<(Date, Option<Evidence>)> = None;
        for (start, end, record) in spans {
            if let Some((to, before)) = &known
                && (start - *to).num_days() > context.policy.gap_days
            {
                let claim = FindingClaim::RecordGap { from: *to, to: start };
                let missing = Evidence::Missing(MissingNote::HistoryBefore { from: Some(start) });
                findings.push(
                    Finding::new(&Self::CARD, &super::whole(context), *to, claim)
                        .resting_on(before.clone().into_iter().chain([missing])),
                );
            }
            if known.as_ref().is_none_or(|(to, _)| end > *to) {
                known = Some((end, record));
            }
        }
        findings
    }
}
