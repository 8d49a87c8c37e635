use crate::assess::{Claim, Confidence, Effect};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::records::Certainty;
use crate::state::Presence;

rule! {
    /// # Statement
    /// A host was planted before the published wait was over, in a bed where somebody suspected the
    /// disease.
    /// # Mechanism
    /// A look alone names soil-borne causes right about half the time; if it was right, the host
    /// meets the inoculum and multiplies it.
    /// # Reads
    /// plantings, observations; hosts, intervals, pathogens
    /// # Stays silent when
    /// the cause was told apart or named by a laboratory (see `host_after_confirmed`), the crop is a
    /// weak or inferred host, or resistance is recorded.
    /// # Limits
    /// It cannot know that the suspicion was wrong; a field check or a laboratory settles it.
    /// # Sources
    /// Each finding cites the rows it rests on.
    HostAfterSuspected {
        id: "host_after_suspected",
        severity: Warning,
        reads: ["plantings", "observations", "hosts", "intervals"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for HostAfterSuspected {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in super::set_by_hand(context) {
            for reason in judged.disease() {
                let (Effect::Wait { .. }, Claim::Disease { pathogen, presence, crop, years, .. }) =
                    (reason.effect, &reason.claim)
                else {
                    continue;
                };
                if *presence != Presence::Sighted(Certainty::Suspected) {
                    continue;
                }
                let claim = FindingClaim::HostAfterSuspected {
                    crop: *crop,
                    pathogen: *pathogen,
                    years: *years,
                };
                let planting = judged.planting;
                findings.push(
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .sure(reason.certainty.min(Confidence::Moderate))
                        .resting_on(super::with_planting(planting, &reason.evidence)),
                );
            }
        }
        findings
    }
}
