use crate::assess::{Claim, Effect};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Judged, Rule, RuleCard, Severity};
use crate::knowledge::{PathogenId, Role};
use crate::records::{Certainty, Extent};
use crate::state::{DoseEvent, Presence};

rule! {
    /// # Statement
    /// A host of a soil-borne disease was planted in a bed with that disease on record before the
    /// shortest published wait was over.
    /// # Mechanism
    /// The inoculum outlives the harvest of the sick crop; a host meets it again and multiplies it.
    /// # Reads
    /// plantings, observations; hosts, intervals, pathogens
    /// # Stays silent when
    /// the cause was only suspected, the crop is a weak or inferred host, a recorded resistance
    /// stands against it, or the plants came by themselves (see `green_bridge`). A disease that was
    /// never more than a trace is a warning.
    /// # Limits
    /// Host lists speak of species; varieties and strains differ.
    /// # Sources
    /// Each finding cites the rows it rests on.
    HostAfterConfirmed {
        id: "host_after_confirmed",
        severity: Severe,
        reads: ["plantings", "observations", "hosts", "intervals"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HostAfterConfirmed {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in &context.judged {
            let role = context.knowledge.crops[judged.planting.crop].role;
            if judged.planting.is_volunteer() || role == Role::Cover {
                continue;
            }
            for reason in judged.disease() {
                let Effect::Wait { until } = reason.effect else {
                    continue;
                };
                let Claim::Disease { pathogen, presence, crop, years, .. } = reason.claim else {
                    continue;
                };
                let Presence::Sighted(certainty) = presence else {
                    continue;
                };
                if certainty == Certainty::Suspected {
                    continue;
                }
                findings.push(Finding {
                    again: Vec::new(),
                    rule: Self::CARD.id,
                    severity: if seen_as_a_trace(judged, pathogen) {
                        Severity::Warning
                    } else {
                        Self::CARD.severity
                    },
                    confidence: reason.certainty,
                    place: Some(judged.planting.place.clone()),
                    date: judged.planting.stood.start,
                    claim: FindingClaim::HostAfterConfirmed { crop, pathogen, years, until },
                    evidence: super::with_planting(judged.planting, &reason.evidence),
                });
            }
        }
        findings
    }
}

/// Whether all that was ever seen of a disease was a trace.
fn seen_as_a_trace(judged: &Judged<'_>, pathogen: PathogenId) -> bool {
    let inoculum = judged.state.inocula().find(|inoculum| inoculum.pathogen == pathogen);
    inoculum.is_some_and(|inoculum| {
        inoculum.steps.iter().all(|step| match step.event {
            DoseEvent::Sighting(seen) => seen.extent == Some(Extent::Trace),
            _ => true,
        })
    })
}
