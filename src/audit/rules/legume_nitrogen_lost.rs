use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::records::Residue;

rule! {
    /// # Statement
    /// A legume grown for the soil was cut in and nothing took its nitrogen for two months or more.
    /// # Mechanism
    /// Green legume lets go half of its nitrogen within weeks; with no root to take it rain washes it
    /// out or it goes up as gas.
    /// # Reads
    /// plantings (residue); crops
    /// # Stays silent when
    /// something was planted within the policy's days (`legume_gap_days`), the legume was left on
    /// top, its end is not yet that long ago, or the next planting is not due before frost ends
    /// growth.
    /// # Limits
    /// In a dry or frozen season little is lost.
    /// # Sources
    /// Common practice; the clause on placing nitrogen fixers before crops that need them.
    LegumeNitrogenLost {
        id: "legume_nitrogen_lost",
        severity: Remark,
        reads: ["plantings", "crops"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for LegumeNitrogenLost {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for legume in context.made() {
            let crop = &context.knowledge.crops[legume.crop];
            let Some(end) = legume.stood.end else { continue };
            if !crop.is_legume()
                || crop.role != Role::Cover
                || legume.residue != Some(Residue::DugIn)
            {
                continue;
            }
            let next = context
                .garden
                .plantings
                .iter()
                .filter(|one| one.place.bears_on(&legume.place) && one.origin != legume.origin)
                .filter(|one| one.stood.end_by(context.today) > end)
                .map(|one| one.stood.start.max(end))
                .min();
            let days = (next.unwrap_or(context.today).min(context.today) - end).num_days();
            if days < context.policy.legume_gap_days {
                continue;
            }
            let claim = FindingClaim::LegumeNitrogenLost { crop: legume.crop, days };
            findings.push(
                Finding::new(&Self::CARD, &legume.place, end, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::planting(legume)]),
            );
        }
        findings
    }
}
