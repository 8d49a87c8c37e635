//! Claims and evidence in words. Every reason is worded here and nowhere else.

use super::words;
use crate::assess::{
    Change, Claim, Confidence, Effect, Evidence, FactNote, FigureNote, MissingNote, Reason,
    RecordNote, What,
};
use crate::audit::{Finding, FindingClaim};
use crate::knowledge::{
    Basis, Citation, Clears, CropId, HostStatus, How, Knowledge, PathogenId, Says,
};
use crate::records::{Certainty, Extent, Seen};
use crate::season::Date;
use crate::state::Presence;

/// Wording with the trade's names at hand.
#[derive(Clone, Copy)]
pub struct Phrases<'k> {
    /// The tables with the names.
    pub knowledge: &'k Knowledge,
}

/// A reason in as few words as a table cell holds.
pub type ShortReason = String;

impl<'k> Phrases<'k> {
    /// Words with a knowledge base's names.
    #[must_use]
    pub fn new(knowledge: &'k Knowledge) -> Self {
        Self { knowledge }
    }

    /// A crop's name.
    #[must_use]
    pub fn crop(&self, crop: CropId) -> &'k str {
        &self.knowledge.crops[crop].name
    }

    /// A disease's name, the first of several.
    #[must_use]
    pub fn disease(&self, pathogen: PathogenId) -> &'k str {
        let name: &str = &self.knowledge.pathogens[pathogen].name;
        let end = [" / ", ";", ",", " ("]
            .iter()
            .filter_map(|sign| name.find(sign))
            .min();
        name[..end.unwrap_or(name.len())].trim()
    }

    /// What was seen.
    #[must_use]
    pub fn seen(&self, seen: &Seen) -> String {
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
    pub fn claim(&self, reason: &Reason) -> String {
        match &reason.claim {
            Claim::Disease {
                pathogen,
                presence,
                crop,
                status,
                years,
                resisted,
            } => {
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
                        format!(
                            "the unknown disease may be {disease} ({:.0} %)",
                            chance * 100.0
                        )
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
                let resisted = if *resisted {
                    "; resistance is claimed"
                } else {
                    ""
                };
                format!("{here}; {crop} {status}{time}{resisted}")
            }
            Claim::NotOfTheBed { pathogen } => format!(
                "{} was seen, but it does not stay with the bed: moving beds does nothing against it",
                self.disease(*pathogen)
            ),
            Claim::Return {
                previous,
                years,
                same_crop,
            } => {
                let previous = self.crop(*previous);
                let years = words::years(*years);
                if *same_crop {
                    format!("{previous} itself stood here {years} before, no disease named")
                } else {
                    format!(
                        "{previous}, of the same family, stood here {years} before, no disease named"
                    )
                }
            }
            Claim::Predecessor {
                previous,
                helps,
                reason,
            } => {
                let previous = self.crop(*previous);
                let how = if *helps {
                    "a good predecessor"
                } else {
                    "a bad predecessor"
                };
                format!("{previous} before it is {how} ({reason})")
            }
            Claim::ResidueNotReady { previous, days } => format!(
                "the residue of {} is {} old and not ready",
                self.crop(*previous),
                words::days(*days)
            ),
            Claim::ManureToHarvest { spread, days } => format!(
                "raw manure was spread on {spread}: only {} to the first harvest",
                words::days(*days)
            ),
            Claim::HistoryUnknown { from: Some(from) } => {
                format!("nothing is on record before {from}: that is not a clean history")
            }
            Claim::HistoryUnknown { from: None } => {
                "nothing is on record here: that is not a clean history".to_owned()
            }
        }
    }

    /// What a reason does, in words.
    #[must_use]
    pub fn effect(&self, effect: Effect) -> String {
        match effect {
            Effect::Wait { until: Some(until) } => format!("wait until {until}"),
            Effect::Wait { until: None } => "waiting will not clear this".to_owned(),
            Effect::Care { until: Some(until) } => format!("care until {until}"),
            Effect::Care { until: None } => "care, with no end in sight".to_owned(),
            Effect::Allows => "does not stand in the way".to_owned(),
            Effect::Helps => "helps".to_owned(),
            Effect::NoBearing => "does not bear on the bed".to_owned(),
            Effect::Unknown => "not known".to_owned(),
        }
    }

    /// A reason for a table cell.
    #[must_use]
    pub fn short(&self, reason: &Reason) -> ShortReason {
        match &reason.claim {
            Claim::Disease {
                pathogen,
                status,
                presence,
                ..
            } => {
                let disease = self.disease(*pathogen);
                let maybe = if matches!(presence, Presence::Candidate(_)) {
                    "may be "
                } else {
                    ""
                };
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
                format!("{} does not stay with the bed", self.disease(*pathogen))
            }
            Claim::Return {
                previous, years, ..
            } => {
                format!(
                    "{} here {} before",
                    self.crop(*previous),
                    words::years(*years)
                )
            }
            Claim::Predecessor {
                previous,
                helps: true,
                ..
            } => {
                format!("good after {}", self.crop(*previous))
            }
            Claim::Predecessor {
                previous,
                helps: false,
                ..
            } => {
                format!("bad after {}", self.crop(*previous))
            }
            Claim::ResidueNotReady { previous, .. } => {
                format!("residue of {} not ready", self.crop(*previous))
            }
            Claim::ManureToHarvest { .. } => "raw manure too close to harvest".to_owned(),
            Claim::HistoryUnknown { .. } => "history unknown".to_owned(),
        }
    }

    /// A leaf in words, and where it stands.
    #[must_use]
    pub fn evidence(&self, evidence: &Evidence) -> (String, String) {
        match evidence {
            Evidence::Record(origin, note) => (self.record(note), origin.to_string()),
            Evidence::Fact(note, citation) => (self.fact(note), source_words(citation)),
            Evidence::Figure(note) => (figure(note), "computed".to_owned()),
            Evidence::Missing(note) => (self.missing(note), "missing".to_owned()),
        }
    }

    fn record(&self, note: &RecordNote) -> String {
        match note {
            RecordNote::Sighting {
                date,
                crop,
                seen,
                extent,
                certainty,
            } => {
                let on = crop.map_or(String::new(), |crop| format!(" on {}", self.crop(crop)));
                let extent = extent.map_or(String::new(), |extent| {
                    format!(", {}", extent_words(extent))
                });
                format!(
                    "{date}: {}{on}{extent}, {}",
                    self.seen(seen),
                    certainty_words(*certainty)
                )
            }
            RecordNote::Planting {
                crop,
                from,
                to,
                method,
            } => {
                let to = to.map_or_else(|| "still standing".to_owned(), |to| format!("to {to}"));
                let method = method.map_or(String::new(), |method| match method {
                    crate::records::Method::Volunteer => " (came by itself)".to_owned(),
                    crate::records::Method::Sown | crate::records::Method::Transplanted => {
                        String::new()
                    }
                });
                format!("{}{method} from {from} {to}", self.crop(*crop))
            }
            RecordNote::Amendment { date, material } => {
                format!("{date}: {}", material.replace('_', " "))
            }
            RecordNote::Treatment { date, practice } => {
                format!("{date}: {}", practice.replace('_', " "))
            }
            RecordNote::Harvest { date, crop } => format!("{date}: picked {}", self.crop(*crop)),
            RecordNote::Exception { rule, until } => format!("exception from {rule} until {until}"),
        }
    }

    fn fact(&self, note: &FactNote) -> String {
        match note {
            FactNote::Host {
                pathogen,
                crop,
                says,
                basis,
                note,
            } => {
                let (crop, disease) = (self.crop(*crop), self.disease(*pathogen));
                let says = match says {
                    Says::Host => format!("{crop} is a host of {disease}"),
                    Says::Carrier => format!("{crop} carries {disease} without symptoms"),
                    Says::PoorHost => format!("{crop} is a poor host of {disease}"),
                    Says::Unknown => format!("{crop} and {disease}: no grade given"),
                    Says::AdvisedBreak => format!("{crop} is advised as a break from {disease}"),
                    Says::NonHost => format!("{crop} is not a host of {disease}"),
                    Says::ResistantCultivars => {
                        format!("{crop} cultivars that resist {disease} exist")
                    }
                    Says::Suppressive => format!("{crop} lowers {disease}"),
                };
                let basis = match basis {
                    Basis::Field | Basis::List => "",
                    Basis::Inoculated => " (pot test)",
                    Basis::Partial => " (some isolates or cultivars, or a low grade)",
                    Basis::Group => " (said of its group)",
                    Basis::Memory => " (remembered, not read)",
                };
                if note.is_empty() {
                    format!("{says}{basis}")
                } else {
                    format!("{says}{basis}: {note}")
                }
            }
            FactNote::Relatives { relatives, rank } => {
                let names: Vec<String> = relatives
                    .iter()
                    .map(|crop| self.crop(*crop).to_owned())
                    .collect();
                format!(
                    "no row of its own; inferred from the {rank}: {} are hosts",
                    words::list(&names)
                )
            }
            FactNote::OutsideRange { pathogen } => {
                let families = &self.knowledge.pathogens[*pathogen].host_families;
                if families.is_empty() {
                    format!(
                        "{} has a narrow host range that leaves it out",
                        self.disease(*pathogen)
                    )
                } else {
                    format!(
                        "{} keeps to {}",
                        self.disease(*pathogen),
                        families.join(", ")
                    )
                }
            }
            FactNote::Interval {
                disease,
                years_min,
                years_max,
                open_ended,
                enough,
                clears,
            } => {
                let years = words::years_range(*years_min, *years_max, *open_ended);
                let mut text = match (years_min, years_max) {
                    (None, None) => format!("{disease}: no number of years given"),
                    _ => format!("{disease}: {years} without a host"),
                };
                if !*enough {
                    text.push_str(", held not to be enough");
                }
                match clears {
                    Clears::No => text.push_str("; waiting does not clear it"),
                    Clears::Yes => text.push_str("; clears the bed"),
                    Clears::Unstated => {}
                }
                text
            }
            FactNote::Survival {
                pathogen,
                years,
                open,
            } => {
                let disease = self.disease(*pathogen);
                match (years, open) {
                    (Some(years), false) => {
                        format!(
                            "{disease} survives {}",
                            words::years_range(Some(years.low), Some(years.high), false)
                        )
                    }
                    (Some(years), true) => {
                        format!(
                            "{disease} survives {} and no end is known",
                            words::years_range(Some(years.high), None, true)
                        )
                    }
                    (None, true) => format!("{disease}: no end of survival is known"),
                    (None, false) => format!("{disease}: survival is not published"),
                }
            }
            FactNote::Spread { pathogen } => {
                let row = &self.knowledge.pathogens[*pathogen];
                format!(
                    "{} lives in: {}",
                    self.disease(*pathogen),
                    row.inoculum.join(", ")
                )
            }
            FactNote::ReturnTime {
                subject,
                gap_min,
                gap_max,
            } => {
                format!(
                    "{subject}: {} free between two growings",
                    words::years_range(*gap_min, *gap_max, false)
                )
            }
            FactNote::Sequence {
                previous,
                next,
                effect,
                wait_days,
                note,
            } => {
                let wait = wait_days.map_or(String::new(), |wait| {
                    format!(", wait {} days", words::range(wait.low, wait.high))
                });
                let pair = format!(
                    "{} before {}",
                    previous.replace('_', " "),
                    next.replace('_', " ")
                );
                if note.is_empty() {
                    format!("{pair}: {effect}{wait}")
                } else {
                    format!("{pair}: {effect}{wait}: {note}")
                }
            }
            FactNote::Resistance { code, note } => {
                if note.is_empty() {
                    format!("resistance `{code}`")
                } else {
                    format!("resistance `{code}`: {note}")
                }
            }
            FactNote::Days { crop, days } => {
                format!(
                    "{} takes {} days to the first harvest",
                    self.crop(*crop),
                    words::range(days.low, days.high)
                )
            }
        }
    }

    fn missing(&self, note: &MissingNote) -> String {
        match note {
            MissingNote::HistoryBefore { from: Some(from) } => {
                format!("what stood and ailed here before {from}")
            }
            MissingNote::HistoryBefore { from: None } => "any record of this place".to_owned(),
            MissingNote::HostStatus { pathogen, crop } => {
                format!(
                    "whether {} hosts {}",
                    self.crop(*crop),
                    self.disease(*pathogen)
                )
            }
            MissingNote::Cause { field_check } => format!("the cause; look for: {field_check}"),
            MissingNote::Interval { pathogen } => {
                format!(
                    "published years without a host for {}",
                    self.disease(*pathogen)
                )
            }
        }
    }

    /// A change and what it does.
    #[must_use]
    pub fn change(&self, change: &Change) -> String {
        let what = match &change.what {
            What::LaterDate(day) => format!("plant on {day} or later"),
            What::ResistantVariety(pathogen) => {
                format!(
                    "a variety with recorded resistance to {}",
                    self.disease(*pathogen)
                )
            }
            What::Rootstock(name, pathogen) => {
                format!("grafted on {name} (against {})", self.disease(*pathogen))
            }
            What::OtherSection(section) => format!("section {section} of the same bed"),
        };
        format!("{what}: {}", change.verdict.word())
    }

    /// A finding of the audit as one sentence without its end.
    #[must_use]
    pub fn finding(&self, finding: &Finding) -> String {
        match &finding.claim {
            FindingClaim::HostAfterConfirmed {
                crop,
                pathogen,
                years,
                until,
            } => format!(
                "{} planted {} after the last host, with {} on record; the wait {}",
                self.crop(*crop),
                words::years(*years),
                self.disease(*pathogen),
                until.map_or_else(
                    || "does not end by waiting".to_owned(),
                    |until| format!("ended {until}")
                )
            ),
            FindingClaim::FamilyInterval {
                crop,
                previous,
                years,
            } => format!(
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
            FindingClaim::ResidueNotReady {
                crop,
                previous,
                days,
            } => format!(
                "{} planted {} after {} was cut in",
                self.crop(*crop),
                words::days(*days),
                self.crop(*previous)
            ),
            FindingClaim::ManureToHarvest { crop, days } => format!(
                "{} picked {} after raw manure",
                self.crop(*crop),
                words::days(*days)
            ),
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
    pub fn remedy(&self, finding: &Finding) -> &'static str {
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

/// An extent in words.
#[must_use]
pub(super) fn extent_words(extent: Extent) -> String {
    match extent {
        Extent::Trace => "a trace".to_owned(),
        Extent::Light => "light".to_owned(),
        Extent::Moderate => "moderate".to_owned(),
        Extent::Severe => "severe".to_owned(),
        Extent::Percent(percent) => format!("{percent:.0} % of plants"),
    }
}

/// A certainty in words.
#[must_use]
pub(super) fn certainty_words(certainty: Certainty) -> &'static str {
    match certainty {
        Certainty::Suspected => "suspected",
        Certainty::FieldCheck => "by field check",
        Certainty::Laboratory => "by laboratory",
    }
}

/// A source in words: its keys and how it is known.
#[must_use]
pub(super) fn source_words(citation: &Citation) -> String {
    let keys: Vec<&str> = citation.keys().collect();
    match (keys.as_slice(), citation.how) {
        ([], _) => "the grower".to_owned(),
        (["memory"], _) => "memory".to_owned(),
        (["common_practice"], _) => "common practice".to_owned(),
        (_, How::Read) => keys.join(", "),
        (_, how) => format!("{} ({})", keys.join(", "), how.word()),
    }
}

fn figure(note: &FigureNote) -> String {
    match note {
        FigureNote::YearsWithoutHost { from, to } => years_from(*from, *to),
        FigureNote::ExpectedLoss { half_life, loss } => format!(
            "a susceptible crop would lose {} of its yield (half-life {} years; 1 - exp(-dose))",
            words::percent_range(*loss),
            words::range(half_life.low, half_life.high)
        ),
        FigureNote::Chance { chance } => {
            format!(
                "chance of this cause {:.0} % (words of the symptom against the table)",
                chance * 100.0
            )
        }
        FigureNote::DaysToHarvest { days } => {
            format!("{} from manure to harvest", words::days(*days))
        }
    }
}

fn years_from(from: Date, to: Date) -> String {
    let years = words::years(crate::season::years_between(from, to));
    format!("{years} without a host, from {from} to {to}")
}

/// The word for a confidence.
#[must_use]
pub(super) fn confidence_words(confidence: Confidence) -> &'static str {
    confidence.word()
}
