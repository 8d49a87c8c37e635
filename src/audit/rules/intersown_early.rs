use crate::assess::{Confidence, Evidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::records::Planting;

rule! {
    /// # Statement
    /// A cover was sown between a crop that had not yet closed its rows.
    /// # Mechanism
    /// In its first weeks a crop bears no rival for water, light and nitrogen; a cover sown then
    /// takes yield.
    /// # Reads
    /// plantings; crops
    /// # Stays silent when
    /// the cover came the policy's days (`intersow_days`) or more after the crop, it was sown first,
    /// or the crop was gone within weeks of it.
    /// # Limits
    /// Days stand for growth: in warm weather rows close sooner. A weak stand is no matter of days.
    /// # Sources
    /// Trials of undersowing in the table of covers between standing plants; the days are common
    /// practice.
    IntersownEarly {
        id: "intersown_early",
        severity: Remark,
        reads: ["plantings", "crops"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for IntersownEarly {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let crops = &context.knowledge.crops;
        let made: Vec<&Planting> = context.made().collect();
        let mut findings = Vec::new();
        for cover in made.iter().filter(|one| crops[one.crop].role == Role::Cover) {
            let crop = made.iter().rfind(|one| {
                !matches!(crops[one.crop].role, Role::Cover | Role::Perennial | Role::Fungus)
                    && one.place.bears_on(&cover.place)
                    && one.stood.start < cover.stood.start
                    && (one.stood.end_by(context.today) - cover.stood.start).num_days() > 21
            });
            let Some(crop) = crop else { continue };
            let days = (cover.stood.start - crop.stood.start).num_days();
            if days >= context.policy.intersow_days {
                continue;
            }
            let claim = FindingClaim::IntersownEarly { cover: cover.crop, crop: crop.crop, days };
            findings.push(
                Finding::new(&Self::CARD, &cover.place, cover.stood.start, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::planting(cover), Evidence::planting(crop)]),
            );
        }
        findings
    }
}
