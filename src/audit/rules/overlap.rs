use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::Planting;
use crate::season::Date;

rule! {
    /// # Statement
    /// Something was planted over the whole bed while the bed, or a part of it, still stood full for
    /// two weeks or more.
    /// # Mechanism
    /// One of the two days is a slip of the pen, or sections were not written.
    /// # Reads
    /// plantings
    /// # Stays silent when
    /// the later one has a section, either gives its own area, the two were sown the same day as a
    /// mix, one is a volunteer, or one was never closed (see `still_standing`).
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
        let closed: Vec<&Planting> = context
            .made()
            .filter(|planting| planting.area.is_none() || planting.place.section.is_some())
            .filter(|planting| planting.stood.end.is_some())
            .collect();
        let mut findings = Vec::new();
        for (at, later) in closed.iter().enumerate() {
            if later.place.section.is_some() {
                continue;
            }
            for first in &closed[..at] {
                let days = shared_days(first, later, context.today);
                if first.stood.start == later.stood.start || days < context.policy.overlap_days {
                    continue;
                }
                let claim = FindingClaim::Overlap { crop: first.crop, other: later.crop, days };
                findings.push(
                    Finding::new(&Self::CARD, &later.place, later.stood.start, claim)
                        .resting_on([*first, *later].into_iter().map(Evidence::planting)),
                );
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
