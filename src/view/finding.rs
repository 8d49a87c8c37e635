//! Findings of the audit in words, and what to do about them.

use super::phrase::Phrases;
use super::words;
use crate::audit::{Finding, FindingClaim};

impl Phrases<'_> {
    /// A finding of the audit as one sentence without its end.
    #[must_use]
    pub fn finding(self, finding: &Finding) -> String {
        match &finding.claim {
            FindingClaim::HostAfterConfirmed { crop, pathogen, years, until } => format!(
                "{} planted {} after the last host, with {} on record; the wait {}",
                self.crop(*crop),
                words::years(*years),
                self.disease(*pathogen),
                until.map_or_else(
                    || "does not end by waiting".to_owned(),
                    |until| format!("ran to {until}")
                )
            ),
            FindingClaim::FamilyInterval { crop, previous, years } => format!(
                "{} {} after {} of the same family",
                self.crop(*crop),
                words::years(*years),
                self.crop(*previous)
            ),
            FindingClaim::GreenBridge { crop, pathogen } => format!(
                "self-sown {} kept {} alive: the rest was no break",
                self.crop(*crop),
                self.disease(*pathogen)
            ),
            FindingClaim::SharedHostCover { crop, pathogen } => format!(
                "{} grown as a cover feeds or carries {}, which the bed has",
                self.crop(*crop),
                self.disease(*pathogen)
            ),
            FindingClaim::ResidueNotReady { crop, previous, days } => format!(
                "{} planted {} after {} was cut in",
                self.crop(*crop),
                words::days(*days),
                self.crop(*previous)
            ),
            FindingClaim::ManureToHarvest { crop, days } => {
                format!("{} picked {} after raw manure", self.crop(*crop), words::days(*days))
            }
            FindingClaim::BareWinterSoil { from, to } => format!("bare from {from} to {to}"),
            FindingClaim::Overlap { crop, other, days } => format!(
                "{} and {} both held the whole bed for {}",
                self.crop(*crop),
                self.crop(*other),
                words::days(*days)
            ),
            FindingClaim::CauseNotFollowedUp { crop } => format!(
                "disease of unknown cause{} was never named",
                crop.map_or(String::new(), |crop| format!(" on {}", self.crop(crop)))
            ),
            FindingClaim::ExceptionExpired { rule } => format!("the exception from {rule} is over"),
            FindingClaim::ExceptionUnmatched { rule, known: true } => {
                format!("the exception from {rule} matches no finding")
            }
            FindingClaim::ExceptionUnmatched { rule, known: false } => {
                format!("there is no audit rule {rule}")
            }
        }
    }

    /// What to do about a finding.
    #[must_use]
    pub fn remedy(self, finding: &Finding) -> &'static str {
        match finding.claim {
            FindingClaim::HostAfterConfirmed { .. } => {
                "watch it, take sick plants out with their roots, and count the wait anew"
            }
            FindingClaim::FamilyInterval { .. } => "give the bed to another family next",
            FindingClaim::GreenBridge { .. } => "pull them and count the wait anew from then",
            FindingClaim::SharedHostCover { .. } => {
                "ask `cover` for one that the bed's diseases allow"
            }
            FindingClaim::ResidueNotReady { .. } => "wait longer, or set plants instead of seed",
            FindingClaim::ManureToHarvest { .. } => {
                "do not eat it raw; spread manure in autumn, or compost it; local food rules come first"
            }
            FindingClaim::BareWinterSoil { .. } => {
                "sow a winter cover by early autumn, or spread a mulch"
            }
            FindingClaim::Overlap { .. } => "correct a day, or write the sections",
            FindingClaim::CauseNotFollowedUp { .. } => {
                "make the field check or ask a laboratory, and write what it was"
            }
            FindingClaim::ExceptionExpired { .. } => "renew it with a reason, or delete the line",
            FindingClaim::ExceptionUnmatched { .. } => {
                "delete the line, or correct its rule or bed"
            }
        }
    }
}
