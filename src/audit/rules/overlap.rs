use crate::assess::Confidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::Planting;
use crate::season::Date;

/// Days both may stand before it is worth a line: undersowing and late clearing are common.
const DAYS: i64 = 30;

rule! {
    /// # Statement
    /// Two plantings of the whole bed stood at the same time for more than a month.
    /// # Mechanism
    /// One of the two days is a slip of the pen, or sections were not written.
    /// # Reads
    /// plantings
    /// # Stays silent when
    /// a section is given, the two were sown the same day as a mix, one is a volunteer, or either
    /// gives its own area.
    /// # Limits
    /// It cannot tell which of the two records is wrong.
    /// # Sources
    /// Our own check of the records.
    Overlap {
        id: "overlap",
        severity: Remark,
        reads: ["plantings"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for Overlap {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let whole: Vec<&Planting> = context
            .garden
            .plantings
            .iter()
            .filter(|planting| {
                planting.place.section.is_none()
                    && !planting.is_volunteer()
                    && planting.area.is_none()
                    && planting.stood.start <= context.today
            })
            .collect();
        let mut findings = Vec::new();
        for (at, first) in whole.iter().enumerate() {
            for second in &whole[at + 1..] {
                if first.place.bed != second.place.bed || first.stood.start == second.stood.start {
                    continue;
                }
                let days = shared_days(first, second, context.today);
                if days <= DAYS {
                    continue;
                }
                findings.push(Finding {
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence: Confidence::High,
                    place: Some(first.place.clone()),
                    date: second.stood.start,
                    claim: FindingClaim::Overlap { crop: first.crop, other: second.crop, days },
                    evidence: [first, second]
                        .into_iter()
                        .flat_map(|planting| super::with_planting(planting, &[]))
                        .collect(),
                });
            }
        }
        findings
    }
}

fn shared_days(one: &Planting, other: &Planting, today: Date) -> i64 {
    let from = one.stood.start.max(other.stood.start);
    let to = one.stood.end_by(today).min(other.stood.end_by(today));
    (to - from).num_days()
}
