use crate::assess::{Claim, Confidence, Evidence, return_time};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::season::years_between;
use crate::state::Presence;

rule! {
    /// # Statement
    /// Self-sown crop plants stood for weeks in a bed where their own family had stood not long
    /// before.
    /// # Mechanism
    /// Volunteers are the crop again: what lives on the family lives on, and the years of rest are
    /// not counted.
    /// # Reads
    /// plantings (method volunteer); crops, `family_return`
    /// # Stays silent when
    /// a disease of the bed is known to live on them (see `green_bridge`), they were pulled within
    /// the policy's days (`volunteer_days`), or no relative stood within the return time.
    /// # Limits
    /// Only plants that somebody wrote down are seen; weeds of the family count only where a disease
    /// is named.
    /// # Sources
    /// Each finding cites the rows it rests on.
    VolunteerInRest {
        id: "volunteer_in_rest",
        severity: Remark,
        reads: ["plantings", "crops"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for VolunteerInRest {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let crops = &context.knowledge.crops;
        let mut findings = Vec::new();
        for judged in context.judged.iter().filter(|judged| judged.planting.is_volunteer()) {
            let planting = judged.planting;
            let (start, end) = (planting.stood.start, planting.stood.end_by(context.today));
            let days = (end - start).num_days();
            let keeps_a_disease = judged.disease().iter().any(|reason| {
                matches!(reason.claim, Claim::Disease { presence: Presence::Sighted(_), status, .. }
                    if status.keeps_it())
            });
            if crops[planting.crop].role == Role::Weed
                || days <= context.policy.volunteer_days
                || keeps_a_disease
            {
                continue;
            }
            let relative = judged.state.plantings.iter().rfind(|one| {
                !one.is_volunteer()
                    && crops[one.crop].family == crops[planting.crop].family
                    && !crops[one.crop].family.is_empty()
            });
            let Some(relative) = relative else { continue };
            let Some(times) = return_time(context.knowledge, planting.crop) else { continue };
            if years_between(relative.stood.end_by(start), start) >= times.gap.likely {
                continue;
            }
            let claim = FindingClaim::VolunteerInRest {
                crop: planting.crop,
                relative: relative.crop,
                days,
            };
            findings.push(
                Finding::new(&Self::CARD, &planting.place, start, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::planting(planting), Evidence::planting(relative)]),
            );
        }
        findings
    }
}
