use crate::assess::Claim;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard, Severity};
use crate::knowledge::Role;

rule! {
    /// # Statement
    /// A crop of the same family came back to a bed before the return time that sources advise.
    /// # Mechanism
    /// Relatives share many soil-borne enemies and draw on the soil alike; published return times
    /// are a rule of prudence for beds without a diagnosis.
    /// # Reads
    /// plantings, observations; `family_return`, `sequence_rules`
    /// # Stays silent when
    /// more than a year lies between and a disease was diagnosed on the relative that stood before
    /// (then its own hosts and years count), for covers and for volunteers. A season's cover of the
    /// family, such as rye before corn or vetch before beans, is no relative: good plans advise it, and
    /// what it may pass on within weeks `residue_not_ready` tells. Covers of the cabbage family count.
    /// A year or more apart is a remark: good published plans leave two free years.
    /// # Limits
    /// A family rule stands in for knowledge of the pathogens; sources differ by years.
    /// # Sources
    /// Each finding cites the rows it rests on.
    FamilyInterval {
        id: "family_interval",
        severity: Warning,
        reads: ["plantings", "observations", "family_return"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for FamilyInterval {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in &context.judged {
            let role = context.knowledge.crops[judged.planting.crop].role;
            if judged.planting.is_volunteer()
                || !matches!(role, Role::Cash | Role::Perennial | Role::Field)
            {
                continue;
            }
            if let Some(reason) = judged.return_time() {
                let Claim::Return { previous, years, named, .. } = reason.claim else {
                    continue;
                };
                let same_year = years < 1.0;
                if named && !same_year {
                    continue;
                }
                let evidence = super::with_planting(judged.planting, &reason.evidence);
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: if same_year { Self::CARD.severity } else { Severity::Remark },
                    confidence: reason.certainty,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::FamilyInterval {
                        crop: judged.planting.crop,
                        previous,
                        years,
                    },
                    evidence,
                });
            }
        }
        findings
    }
}
