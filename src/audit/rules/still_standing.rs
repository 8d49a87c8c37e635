use crate::assess::Evidence;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::records::Planting;

rule! {
    /// # Statement
    /// A planting was never written as cleared, and either its ground was planted over since or no
    /// such plant stands that long.
    /// # Mechanism
    /// An open planting counts as a host and as a user of the ground to this day.
    /// # Reads
    /// plantings; crops
    /// # Stays silent when
    /// it stands on its own section or area, is a perennial, a volunteer or a fungus, or has stood
    /// less than the policy's days (`standing_days`).
    /// # Limits
    /// A biennial kept for seed or a crop that shoots again for years is told as well: write so with
    /// an exception.
    /// # Sources
    /// Our own check of the records.
    StillStanding {
        id: "still_standing",
        severity: Remark,
        reads: ["plantings", "crops"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for StillStanding {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let crops = &context.knowledge.crops;
        let made: Vec<&Planting> = context.made().collect();
        let mut findings = Vec::new();
        for (at, open) in made.iter().enumerate() {
            let crop = &crops[open.crop];
            if open.stood.end.is_some()
                || &*crop.life_cycle == "perennial" && crop.role != Role::Cash
                || matches!(crop.role, Role::Perennial | Role::Fungus | Role::Flower)
            {
                continue;
            }
            let days = (context.today - open.stood.start).num_days();
            // Undersown covers and late clearing are common: a month is let pass.
            let over = made[at + 1..].iter().find(|later| {
                later.place == open.place
                    && open.area.is_none()
                    && later.area.is_none()
                    && (later.stood.start - open.stood.start).num_days() > 30
                    && crops[later.crop].role != Role::Cover
            });
            if over.is_none() && days < context.policy.standing_days {
                continue;
            }
            let claim = FindingClaim::StillStanding {
                crop: open.crop,
                days,
                later: over.map(|later| later.crop),
            };
            let records = std::iter::once(*open).chain(over.copied());
            findings.push(
                Finding::new(&Self::CARD, &open.place, open.stood.start, claim)
                    .resting_on(records.map(Evidence::planting)),
            );
        }
        findings
    }
}
