use crate::assess::{Confidence, Evidence, FactNote};
use crate::audit::card::rule;
use crate::audit::{Context, Finding, FindingClaim, Rule, RuleCard};
use crate::knowledge::HostStatus;
use crate::records::{Certainty, Seen};

rule! {
    /// # Statement
    /// A cause was noted on a crop that it does not attack.
    /// # Mechanism
    /// The cause or the crop is a slip, or it is a look-alike; held to be true it would bar the wrong
    /// crops.
    /// # Reads
    /// observations; hosts, pathogens
    /// # Stays silent when
    /// any row or relative makes the crop a host or a carrier, or nothing is known of the pair.
    /// # Limits
    /// New hosts are found every year: a laboratory's answer outweighs the table.
    /// # Sources
    /// Each finding cites the rows it rests on.
    CauseNotOfCrop {
        id: "cause_not_of_crop",
        severity: Remark,
        reads: ["observations", "hosts", "pathogens"],
        sources: [],
        since: "0.1.0",
    }
}

impl Rule for CauseNotOfCrop {
    fn card(&self) -> &'static RuleCard {
        &Self::CARD
    }

    fn judge(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut findings = Vec::new();
        for seen in context.garden.observations.iter().filter(|seen| seen.date <= context.today) {
            let (Seen::Pathogen(pathogen), Some(crop)) = (&seen.seen, seen.crop) else { continue };
            let standing = context.knowledge.standing(*pathogen, crop);
            if !matches!(standing.status, HostStatus::NonHost | HostStatus::OutsideRange)
                || seen.certainty == Certainty::Laboratory
            {
                continue;
            }
            let pathogen_row = &context.knowledge.pathogens[*pathogen];
            let fact = match standing.witness() {
                Some(row) => Evidence::Fact(
                    FactNote::Host {
                        pathogen: *pathogen,
                        crop,
                        says: row.says,
                        basis: row.basis,
                        note: row.note.clone(),
                    },
                    row.citation.clone(),
                ),
                None => Evidence::Fact(
                    FactNote::OutsideRange { pathogen: *pathogen },
                    pathogen_row.citation.clone(),
                ),
            };
            let claim = FindingClaim::CauseNotOfCrop { crop, pathogen: *pathogen };
            findings.push(
                Finding::new(&Self::CARD, &seen.place, seen.date, claim)
                    .sure(Confidence::Moderate)
                    .resting_on([Evidence::sighting(seen), fact]),
            );
        }
        findings
    }
}
