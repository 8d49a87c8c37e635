use crate::assess::{Evidence, RecordNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::season::Date;

rule! {
    /// # Statement
    /// A record is dated after the day of the audit.
    /// # Mechanism
    /// What has not come cannot have been seen: a year or a month is a slip. Until its day it is left
    /// out of every answer.
    /// # Reads
    /// all records of the bed
    /// # Stays silent when
    /// the day is today or earlier, or it is a planting or treatment, which may be meant ahead.
    /// # Limits
    /// With `--today` set back everything later is told; ask on the day itself.
    /// # Sources
    /// Our own check of the records.
    DateAhead {
        id: "date_ahead",
        severity: Remark,
        reads: ["plantings", "observations", "harvests", "amendments", "soil_tests"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for DateAhead {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let (garden, today) = (context.garden, context.today);
        let place = super::whole(context);
        let mut ahead: Vec<(&'static str, Date, Evidence)> = Vec::new();
        for one in garden.plantings.iter().filter(|one| one.stood.start <= today) {
            if let Some(end) = one.stood.end {
                ahead.push(("clearing", end, Evidence::planting(one)));
            }
        }
        for one in &garden.observations {
            ahead.push(("observation", one.date, Evidence::sighting(one)));
        }
        for one in &garden.harvests {
            ahead.push(("harvest", one.date, Evidence::harvest(one)));
        }
        for one in &garden.amendments {
            ahead.push(("amendment", one.date, Evidence::amendment(one)));
        }
        for one in &garden.soil_tests {
            let note = RecordNote::SoilTest { date: one.date };
            ahead.push(("soil test", one.date, Evidence::Record(one.origin.clone(), note)));
        }
        ahead
            .into_iter()
            .filter(|(_, date, _)| *date > today)
            .map(|(what, date, record)| {
                Finding::new(&Self::CARD, &place, date, FindingClaim::DateAhead { what })
                    .resting_on([record])
            })
            .collect()
    }
}
