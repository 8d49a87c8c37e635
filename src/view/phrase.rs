//! Claims and evidence in words. Every reason is worded here and nowhere else.

use super::season_words::season_short;
use super::units::Units;
use super::words;
use crate::assess::{Change, Claim, Confidence, Effect, Left, Reason, What};
use crate::knowledge::{CropId, HostStatus, Knowledge, PathogenId};
use crate::records::{Certainty, Seen};
use crate::state::Presence;
use crate::units::UnitSystem;

/// Wording with the trade's names at hand.
#[derive(Clone, Copy)]
pub struct Phrases<'k> {
    /// The tables with the names.
    pub knowledge: &'k Knowledge,
    /// The units in which quantities are shown.
    pub units: Units,
}

/// A reason in as few words as a table cell holds.
pub type ShortReason = String;

impl<'k> Phrases<'k> {
    /// Words with a knowledge base's names.
    #[must_use]
    pub fn new(knowledge: &'k Knowledge) -> Self {
        Self { knowledge, units: Units::default() }
    }

    /// The same, showing quantities in the units of a system.
    #[must_use]
    pub fn in_units(self, system: UnitSystem) -> Self {
        Self { units: Units(system), ..self }
    }

    /// A crop's name.
    #[must_use]
    pub fn crop(self, crop: CropId) -> &'k str {
        &self.knowledge.crops[crop].name
    }

    /// A disease's name, the first of several.
    #[must_use]
    pub fn disease(self, pathogen: PathogenId) -> &'k str {
        let name: &str = &self.knowledge.pathogens[pathogen].name;
        let end = [" / ", ";", ",", " ("].iter().filter_map(|sign| name.find(sign)).min();
        name[..end.unwrap_or(name.len())].trim()
    }

    /// A disease's name without the crops it is named after, for tables.
    #[must_use]
    pub fn short_disease(self, pathogen: PathogenId) -> &'k str {
        let name = self.disease(pathogen);
        name.split(" of ").next().unwrap_or(name)
    }

    /// What was seen.
    #[must_use]
    pub fn seen(self, seen: &Seen) -> String {
        match seen {
            Seen::Pathogen(pathogen) => self.disease(*pathogen).to_owned(),
            Seen::Disorder(key) => self
                .knowledge
                .symptoms
                .cause(key)
                .map_or_else(|| key.replace('_', " "), |cause| cause.name.to_string()),
            Seen::Unknown => "cause unknown".to_owned(),
            Seen::Healthy => "healthy".to_owned(),
        }
    }

    /// The claim of a reason, as one sentence without its end.
    #[must_use]
    pub fn claim(self, reason: &Reason) -> String {
        match &reason.claim {
            Claim::Disease { pathogen, presence, crop, status, years, resisted } => {
                let disease = self.disease(*pathogen);
                let crop = self.crop(*crop);
                let here = match presence {
                    Presence::Sighted(Certainty::Laboratory) => {
                        format!("{disease} was confirmed here by a laboratory")
                    }
                    Presence::Sighted(Certainty::FieldCheck) => {
                        format!("{disease} was found here by a field check")
                    }
                    Presence::Sighted(Certainty::Suspected) => {
                        format!("{disease} is suspected here")
                    }
                    Presence::Candidate(chance) => {
                        format!("the unknown disease may be {disease} ({:.0} %)", chance * 100.0)
                    }
                    Presence::Beside => {
                        format!("{disease} was seen in another section of this bed")
                    }
                };
                let status = status_words(*status);
                let time = if status_counts_years(reason) {
                    format!(" ({} without a host by then)", words::years(*years))
                } else {
                    String::new()
                };
                let resisted = if *resisted { "; resistance is claimed" } else { "" };
                format!("{here}; {crop} {status}{time}{resisted}")
            }
            Claim::NotOfTheBed { pathogen } => format!(
                "{} was seen, but it does not stay with the bed: moving beds does nothing against it",
                self.disease(*pathogen)
            ),
            Claim::UnknownDisease { seen, crop, barred } => format!(
                "a disease of unknown cause was noted on {seen}; the chance that it is one that bars {} is {}",
                self.crop(*crop),
                words::chance(*barred)
            ),
            Claim::Return { previous, years, same_crop, named } => {
                let previous = self.crop(*previous);
                let years = words::years(*years);
                let named = if *named { "" } else { ", no disease named" };
                if *same_crop {
                    format!("{previous} itself stood here {years} before{named}")
                } else {
                    format!("{previous}, of the same family, stood here {years} before{named}")
                }
            }
            Claim::Predecessor { previous, helps, reason } => {
                let previous = self.crop(*previous);
                let how = if *helps { "a good predecessor" } else { "a bad predecessor" };
                format!("{previous} before it is {how} ({reason})")
            }
            Claim::ResidueNotReady { previous, days, left } => {
                let (previous, days) = (self.crop(*previous), words::days(*days));
                match left {
                    Left::Residue => {
                        format!("the residue of {previous} is {days} old and not ready")
                    }
                    Left::SodPests => format!(
                        "wireworms of the sod may still be in the soil, {days} after {previous} was broken"
                    ),
                    Left::Soil => format!("the soil after {previous} is not ready after {days}"),
                }
            }
            Claim::ManureToHarvest { spread, days } => format!(
                "raw manure was spread on {spread}: only {} to the first harvest",
                words::days(*days)
            ),
            Claim::Grafted { rootstock } => {
                format!("grafted on {rootstock}: with no disease on record a gain is not sure")
            }
            Claim::HistoryUnknown { from: Some(from) } => {
                format!("nothing is on record before {from}: that is not a clean history")
            }
            Claim::HistoryUnknown { from: None } => {
                "nothing is on record here: that is not a clean history".to_owned()
            }
            Claim::Season { crop, season } => self.season_claim(*crop, season),
            Claim::NitrogenShort { need, within_reach, shortfall } => format!(
                "nitrogen runs short if nothing is put on: needs {}, can reach {}, short {}",
                self.units.nutrient_figures(*need),
                self.units.nutrient_figures(*within_reach),
                self.units.nutrients(*shortfall)
            ),
            Claim::NitrogenEnough { need, within_reach } => format!(
                "the bed holds the nitrogen it needs: needs {}, can reach {}",
                self.units.nutrient_figures(*need),
                self.units.nutrients(*within_reach)
            ),
        }
    }

    /// What a reason does, in words.
    #[must_use]
    pub fn effect(self, effect: Effect) -> String {
        match effect {
            Effect::Wait { until: Some(until) } => format!("wait until {until}"),
            Effect::Wait { until: None } => "waiting will not clear this".to_owned(),
            Effect::Care { until: Some(until) } => format!("care until {until}"),
            Effect::Care { until: None } => "care, with no end in sight".to_owned(),
            Effect::Allows => "does not stand in the way".to_owned(),
            Effect::Helps => "helps".to_owned(),
            Effect::YieldOnly => "bears on the yield".to_owned(),
            Effect::NoBearing => "does not bear on the bed".to_owned(),
            Effect::Unknown => "not known".to_owned(),
        }
    }

    /// A reason for a table cell.
    #[must_use]
    pub fn short(self, reason: &Reason) -> ShortReason {
        match &reason.claim {
            Claim::Disease { pathogen, status, presence, .. } => {
                let disease = self.short_disease(*pathogen);
                let maybe = if matches!(presence, Presence::Candidate(_)) { "may be " } else { "" };
                match status {
                    HostStatus::Host => format!("host: {maybe}{disease}"),
                    HostStatus::WeakHost => format!("weak or contested host: {maybe}{disease}"),
                    HostStatus::InferredHost => format!("related to hosts: {maybe}{disease}"),
                    HostStatus::Carrier => format!("carries {maybe}{disease} unseen"),
                    HostStatus::PoorHost => format!("poor host: {maybe}{disease}"),
                    HostStatus::Ungraded | HostStatus::Unrecorded => {
                        format!("host status unknown: {maybe}{disease}")
                    }
                    HostStatus::AdvisedBreak => format!("advised break: {disease}"),
                    HostStatus::OutsideRange => format!("outside the range of {disease}"),
                    HostStatus::NonHost => format!("no host of {disease}"),
                }
            }
            Claim::NotOfTheBed { pathogen } => {
                format!("{} does not stay with the bed", self.short_disease(*pathogen))
            }
            Claim::UnknownDisease { barred, .. } if *barred < 0.01 => {
                "unknown disease that it may keep".to_owned()
            }
            Claim::UnknownDisease { barred, .. } => {
                format!("unknown disease, {:.0} % bars it", barred * 100.0)
            }
            Claim::Return { previous, years, .. } => {
                format!("{} here {} before", self.crop(*previous), words::years(*years))
            }
            Claim::Predecessor { previous, helps: true, .. } => {
                format!("good after {}", self.crop(*previous))
            }
            Claim::Predecessor { previous, helps: false, .. } => {
                format!("bad after {}", self.crop(*previous))
            }
            Claim::ResidueNotReady { previous, left, .. } => {
                let previous = self.crop(*previous);
                match left {
                    Left::Residue => format!("residue of {previous} not ready"),
                    Left::SodPests => format!("wireworms after {previous}"),
                    Left::Soil => format!("soil after {previous} not ready"),
                }
            }
            Claim::ManureToHarvest { .. } => "raw manure too close to harvest".to_owned(),
            Claim::Grafted { rootstock } => format!("grafted on {rootstock}"),
            Claim::HistoryUnknown { .. } => "history unknown".to_owned(),
            Claim::Season { season, .. } => season_short(self.units, season, reason.yield_fraction),
            Claim::NitrogenShort { shortfall, .. } => {
                format!(
                    "short of {} {} N",
                    self.units.nutrient_figure(shortfall.likely),
                    self.units.over_ground_sign()
                )
            }
            Claim::NitrogenEnough { .. } => "nitrogen enough".to_owned(),
        }
    }

    /// A change and what it does.
    #[must_use]
    pub fn change(self, change: &Change) -> String {
        let what = match &change.what {
            What::LaterDate(day) => format!("plant on {day} or later"),
            What::ResistantVariety(pathogen) => {
                format!("a variety with recorded resistance to {}", self.disease(*pathogen))
            }
            What::Rootstock(name, pathogen) => {
                format!("grafted on {name} (against {})", self.disease(*pathogen))
            }
            What::OtherSection(section) => format!("section {section} of the same bed"),
            What::SuppressiveCropFirst { crop, pathogen, plant_on } => format!(
                "{} grown first and dug in (lowers {}), planting from {plant_on}",
                self.crop(*crop),
                self.disease(*pathogen)
            ),
            What::Treatment { practice, pathogen, from, to, plant_on } => format!(
                "{} from {from} to {to} (lowers {}), planting from {plant_on}; effects vary, ask \
                 local advice and follow local rules first",
                practice.replace('_', " "),
                self.disease(*pathogen)
            ),
        };
        let from = change
            .season_opens
            .map_or(String::new(), |day| format!(", from {day} when its season opens"));
        format!("{what}{from}: {}", change.verdict.word())
    }
}

fn status_counts_years(reason: &Reason) -> bool {
    matches!(reason.effect, Effect::Wait { .. } | Effect::Care { .. })
}

fn status_words(status: HostStatus) -> &'static str {
    match status {
        HostStatus::Host => "is a host",
        HostStatus::WeakHost => "is a host by weak or contested evidence",
        HostStatus::InferredHost => "is related to hosts (inferred, no row of its own)",
        HostStatus::Carrier => "carries it without symptoms",
        HostStatus::PoorHost => "is a poor host",
        HostStatus::Ungraded => "is named with it, without a grade",
        HostStatus::Unrecorded => "has no record either way",
        HostStatus::AdvisedBreak => "is advised as a break",
        HostStatus::OutsideRange => "lies outside its host range",
        HostStatus::NonHost => "is not a host",
    }
}

/// The word for a confidence.
#[must_use]
pub(super) fn confidence_words(confidence: Confidence) -> &'static str {
    confidence.word()
}
