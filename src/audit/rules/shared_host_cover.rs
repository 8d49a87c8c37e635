use crate::assess::Claim;
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::Role;
use crate::state::Presence;

rule! {
    /// # Statement
    /// A cover was grown that hosts or carries a disease the bed has on record.
    /// # Mechanism
    /// Grown for the soil, it fed what the soil should be rid of.
    /// # Reads
    /// plantings, observations; hosts
    /// # Stays silent when
    /// no row says that the cover hosts or carries it, or a source says that it lowers it.
    /// # Limits
    /// A cover killed young may do less harm than one that stood to bloom; strains and cultivars
    /// differ.
    /// # Sources
    /// Each finding cites the rows it rests on.
    SharedHostCover {
        id: "shared_host_cover",
        severity: Warning,
        reads: ["plantings", "observations", "hosts"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for SharedHostCover {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in &context.judged {
            let role = context.knowledge.crops[judged.planting.crop].role;
            if role != Role::Cover || judged.planting.is_volunteer() {
                continue;
            }
            for reason in judged.disease() {
                let Claim::Disease { pathogen, presence, crop, status, .. } = reason.claim else {
                    continue;
                };
                if !matches!(presence, Presence::Sighted(_))
                    || !status.keeps_it()
                    || super::is_a_treatment(context.knowledge, pathogen, crop)
                {
                    continue;
                }
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence: reason.certainty,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::SharedHostCover { crop, pathogen },
                    evidence: super::with_planting(judged.planting, &reason.evidence),
                });
            }
        }
        findings
    }
}
