use crate::assess::{Claim, Confidence};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::HostStatus;
use crate::state::Presence;

rule! {
    /// # Statement
    /// Hosts of a nematode stood, crops or covers, in a bed that has it.
    /// # Mechanism
    /// Nematodes multiply on every host by tens in a season; only a season of what they cannot feed
    /// on brings them down.
    /// # Reads
    /// plantings, observations; hosts, pathogens
    /// # Stays silent when
    /// the crop is no host or a poor one, its recorded resistance or rootstock stands against it, a
    /// source says that it lowers the nematode, or nobody noted a nematode.
    /// # Limits
    /// Races and species of nematodes differ in what they feed on; counts from a laboratory are not
    /// recorded.
    /// # Sources
    /// Each finding cites the rows it rests on.
    NematodeBuildup {
        id: "nematode_buildup",
        severity: Warning,
        reads: ["plantings", "observations", "hosts"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for NematodeBuildup {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for judged in context.judged.iter().filter(|judged| !judged.planting.is_volunteer()) {
            for reason in judged.disease() {
                let Claim::Disease { pathogen, presence, crop, status, resisted: false, .. } =
                    reason.claim
                else {
                    continue;
                };
                let feeds = matches!(status, HostStatus::Host | HostStatus::Carrier);
                if !feeds
                    || !context.knowledge.pathogens[pathogen].is_nematode()
                    || !matches!(presence, Presence::Sighted(_))
                    || super::is_a_treatment(context.knowledge, pathogen, crop)
                {
                    continue;
                }
                let planting = judged.planting;
                let claim = FindingClaim::NematodeBuildup { crop, pathogen };
                findings.push(
                    Finding::new(&Self::CARD, &planting.place, planting.stood.start, claim)
                        .sure(reason.certainty.max(Confidence::Low))
                        .resting_on(super::with_planting(planting, &reason.evidence)),
                );
            }
        }
        findings
    }
}
