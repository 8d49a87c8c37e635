use crate::assess::{Claim, Confidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::state::Presence;

rule! {
    /// # Statement
    /// Self-sown plants or weeds that host a disease of the bed stood while it was meant to rest
    /// from that disease.
    /// # Mechanism
    /// A green bridge: the pathogen lives and multiplies on them, so the rest is no break.
    /// # Reads
    /// plantings (method volunteer), observations; hosts
    /// # Stays silent when
    /// the plant is not a host or carrier by any row or relative, or the disease does not stay
    /// with the bed.
    /// # Limits
    /// Weeds nobody wrote down are not seen.
    /// # Sources
    /// Each finding cites the rows it rests on.
    GreenBridge {
        id: "green_bridge",
        severity: Severe,
        reads: ["plantings", "observations", "hosts"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for GreenBridge {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in context.judged.iter().filter(|judged| judged.planting.is_volunteer()) {
            for reason in judged.disease() {
                let Claim::Disease { pathogen, presence, crop, status, .. } = reason.claim else {
                    continue;
                };
                if !matches!(presence, Presence::Sighted(_)) || !status.keeps_it() {
                    continue;
                }
                let confidence = reason.certainty.max(Confidence::Low);
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: Self::CARD.severity,
                    confidence,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::GreenBridge { crop, pathogen },
                    evidence: super::with_planting(judged.planting, &reason.evidence),
                });
            }
        }
        findings
    }
}
