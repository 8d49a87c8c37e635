//! Findings of the audit in words, and what to do about them.

use super::evidence::{nutrient_words, phosphorus_words};
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
            FindingClaim::NitrogenBeforeWinter { .. }
            | FindingClaim::PhosphorusLoading { .. }
            | FindingClaim::NitrogenTieUp { .. }
            | FindingClaim::SoilTestStale { .. }
            | FindingClaim::SoilTestContradicts { .. } => self.nutrient_finding(&finding.claim),
            FindingClaim::ExceptionExpired { rule } => format!("the exception from {rule} is over"),
            FindingClaim::ExceptionUnmatched { rule, known: true } => {
                format!("the exception from {rule} matches no finding")
            }
            FindingClaim::ExceptionUnmatched { rule, known: false } => {
                format!("there is no audit rule {rule}")
            }
        }
    }

    /// A finding on nutrients.
    fn nutrient_finding(self, claim: &FindingClaim) -> String {
        match claim {
            FindingClaim::NitrogenBeforeWinter { free, leached } => format!(
                "{} of nitrogen lay free when the rain began; {} was washed out",
                words::grams_m2(*free),
                words::grams_m2(*leached)
            ),
            FindingClaim::PhosphorusLoading { added, removed, years, class } => {
                let soil = class.map_or("untested soil".to_owned(), |class| {
                    format!("soil tested {}", phosphorus_words(class))
                });
                format!(
                    "{} g/m2 of phosphorus put on in {}, {} taken off, on {soil}",
                    words::rounded(*added),
                    words::years(*years),
                    words::rounded(*removed)
                )
            }
            FindingClaim::NitrogenTieUp { crop, grams } => format!(
                "rotting matter took {} of nitrogen while {} grew",
                words::grams_m2(*grams),
                self.crop(*crop)
            ),
            FindingClaim::SoilTestStale { last: Some(last) } => {
                format!("fed, and the last soil test is of {last}")
            }
            FindingClaim::SoilTestStale { last: None } => "fed, and never tested".to_owned(),
            FindingClaim::SoilTestContradicts { nutrient, booked, tested } => format!(
                "the soil test found {} of {}, the books had {}",
                words::grams_m2(*tested),
                nutrient_words(*nutrient),
                words::grams_m2(*booked)
            ),
            _ => String::new(),
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
            FindingClaim::NitrogenBeforeWinter { .. } => {
                "feed later or less, and sow a catch crop by early autumn"
            }
            FindingClaim::PhosphorusLoading { .. } => {
                "feed with legumes or a meal poor in phosphorus; keep compost for other beds"
            }
            FindingClaim::NitrogenTieUp { .. } => {
                "give nitrogen that comes free at once, or wait; cut covers before they head"
            }
            FindingClaim::SoilTestStale { .. } => "take a soil test and write it",
            FindingClaim::SoilTestContradicts { .. } => {
                "look for a load or a harvest that is not written, or test again"
            }
            FindingClaim::ExceptionExpired { .. } => "renew it with a reason, or delete the line",
            FindingClaim::ExceptionUnmatched { .. } => {
                "delete the line, or correct its rule or bed"
            }
        }
    }
}
