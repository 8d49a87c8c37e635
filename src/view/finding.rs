//! Findings of the audit in words, and what to do about them.

use super::evidence::{nutrient_words, phosphorus_words};
use super::hazard::hazard_words;
use super::phrase::Phrases;
use super::words;
use crate::assess::Left;
use crate::audit::{Finding, FindingClaim};
use crate::estimate::Estimate;
use crate::records::Residue;

impl Phrases<'_> {
    /// A finding of the audit as one sentence without its end.
    #[must_use]
    pub fn finding(self, finding: &Finding) -> String {
        self.finding_claim(&finding.claim)
    }

    /// What a finding claims as one sentence without its end.
    #[must_use]
    #[expect(clippy::too_many_lines, reason = "one arm a claim: a table of words")]
    pub fn finding_claim(self, claim: &FindingClaim) -> String {
        match claim {
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
            FindingClaim::ResidueNotReady { crop, previous, days, left } => {
                let (crop, previous) = (self.crop(*crop), self.crop(*previous));
                let days = words::days(*days);
                match left {
                    Left::Residue => format!("{crop} planted {days} after {previous} was cut in"),
                    Left::SodPests => format!(
                        "{crop} planted {days} after {previous} was broken: wireworms of the sod"
                    ),
                    Left::Soil => format!("{crop} planted only {days} after {previous}"),
                }
            }
            FindingClaim::ManureToHarvest { crop, days } => {
                format!("{} picked {} after raw manure", self.crop(*crop), words::days(*days))
            }
            FindingClaim::BareWinterSoil { from, to } => format!("bare from {from} to {to}"),
            FindingClaim::Overlap { crop, other, days } => format!(
                "{} still stood for {2} when {1} was planted over the whole bed",
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
            | FindingClaim::SoilTestContradicts { .. } => self.nutrient_finding(claim),
            FindingClaim::HostAfterSuspected { .. }
            | FindingClaim::NematodeBuildup { .. }
            | FindingClaim::RunWithoutBreak { .. }
            | FindingClaim::BadPredecessor { .. }
            | FindingClaim::SpacingOnCleanLand { .. }
            | FindingClaim::SickResidueKept { .. }
            | FindingClaim::VolunteerInRest { .. }
            | FindingClaim::NotifiableDisease { .. }
            | FindingClaim::StatutoryInterval { .. }
            | FindingClaim::OutOfSeason { .. }
            | FindingClaim::IntersownEarly { .. }
            | FindingClaim::TreatmentOutOfSeason { .. } => self.rotation_finding(claim),
            FindingClaim::NitrogenOnLegume { .. }
            | FindingClaim::ManureNitrogenCap { .. }
            | FindingClaim::NitrogenBeforeRoots { .. }
            | FindingClaim::ManureWhileGrowing { .. }
            | FindingClaim::LegumeMissing { .. }
            | FindingClaim::LegumeNitrogenLost { .. }
            | FindingClaim::UntriedLegumes { .. }
            | FindingClaim::OrganicMatterFalling { .. }
            | FindingClaim::CropShare { .. }
            | FindingClaim::PerennialShare { .. }
            | FindingClaim::CoverMissing { .. } => self.soil_finding(claim),
            FindingClaim::StillStanding { .. }
            | FindingClaim::NoHarvest { .. }
            | FindingClaim::HarvestWithoutPlanting { .. }
            | FindingClaim::ObservationWithoutPlanting { .. }
            | FindingClaim::SicknessOnlyInNote { .. }
            | FindingClaim::CauseNotOfCrop { .. }
            | FindingClaim::ObservationsContradict { .. }
            | FindingClaim::HarvestTooSoon { .. }
            | FindingClaim::HarvestImplausible { .. }
            | FindingClaim::TooManyPlants { .. }
            | FindingClaim::AreaExceedsBed { .. }
            | FindingClaim::SoilTestWithoutMethod
            | FindingClaim::RecordGap { .. }
            | FindingClaim::HistoryUnknown { .. }
            | FindingClaim::DateAhead { .. }
            | FindingClaim::RecordsIncomplete { .. } => self.record_finding(claim),
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
                self.units.nutrients(*free),
                self.units.nutrients(*leached)
            ),
            FindingClaim::PhosphorusLoading { added, removed, years, class } => {
                let soil = class.map_or("untested soil".to_owned(), |class| {
                    format!("soil tested {}", phosphorus_words(class))
                });
                format!(
                    "{} {} of phosphorus put on in {}, {} taken off, on {soil}",
                    self.units.nutrient_figure(*added),
                    self.units.over_ground_sign(),
                    words::years(*years),
                    self.units.nutrient_figure(*removed)
                )
            }
            FindingClaim::NitrogenTieUp { crop, grams } => format!(
                "rotting matter took {} of nitrogen while {} grew",
                self.units.nutrients(*grams),
                self.crop(*crop)
            ),
            FindingClaim::SoilTestStale { last: Some(last) } => {
                format!("fed, and the last soil test is of {last}")
            }
            FindingClaim::SoilTestStale { last: None } => "fed, and never tested".to_owned(),
            FindingClaim::SoilTestContradicts { nutrient, booked, tested } => format!(
                "the soil test found {} of {}, the books had {}",
                self.units.nutrients(*tested),
                nutrient_words(*nutrient),
                self.units.nutrients(*booked)
            ),
            _ => String::new(),
        }
    }

    /// A finding on rotation, disease and season.
    fn rotation_finding(self, claim: &FindingClaim) -> String {
        match claim {
            FindingClaim::HostAfterSuspected { crop, pathogen, years } => format!(
                "{} planted {} after the last host, where {} was suspected and never settled",
                self.crop(*crop),
                words::years(*years),
                self.disease(*pathogen)
            ),
            FindingClaim::NematodeBuildup { crop, pathogen } => {
                format!("{} fed {}, which the bed has", self.crop(*crop), self.disease(*pathogen))
            }
            FindingClaim::RunWithoutBreak { crop, times, since, same_crop: true } => {
                format!("{} {times} times running since {since} without a break", self.crop(*crop))
            }
            FindingClaim::RunWithoutBreak { crop, times, since, same_crop: false } => format!(
                "{} is the {times}th of its family running since {since}, without a break",
                self.crop(*crop)
            ),
            FindingClaim::BadPredecessor { crop, previous, reason } => {
                let why = match &**reason {
                    "" | "unknown" => String::new(),
                    reason => format!(" ({})", reason.replace('_', " ")),
                };
                let (crop, previous) = (self.crop(*crop), self.crop(*previous));
                format!("{crop} after {previous}, a bad predecessor for it{why}")
            }
            FindingClaim::SpacingOnCleanLand { crop, previous, years } => format!(
                "{} {} after {}, which shares diseases with it",
                self.crop(*crop),
                words::years(*years),
                self.crop(*previous)
            ),
            FindingClaim::SickResidueKept { crop, pathogen, residue } => format!(
                "{} with {} was {}: the disease stays with it",
                self.crop(*crop),
                self.disease(*pathogen),
                match residue {
                    Residue::DugIn => "dug in",
                    Residue::Left => "left on the bed",
                    Residue::Removed | Residue::Composted => "taken off",
                }
            ),
            FindingClaim::VolunteerInRest { crop, relative, days } => format!(
                "self-sown {} stood {} in the rest after {}: no break for that family",
                self.crop(*crop),
                words::days(*days),
                self.crop(*relative)
            ),
            FindingClaim::NotifiableDisease { pathogen, clause } => {
                format!("{} is watched by law in some places: {clause}", self.disease(*pathogen))
            }
            FindingClaim::StatutoryInterval { crop, pathogen, years, asked, clause } => format!(
                "{} {} after the last host of {}; {clause} asks for {}",
                self.crop(*crop),
                words::years(*years),
                self.disease(*pathogen),
                words::years(*asked)
            ),
            FindingClaim::OutOfSeason { crop, hazard } => {
                format!(
                    "{} started out of season: {}",
                    self.crop(*crop),
                    hazard_words(self.units, hazard)
                )
            }
            FindingClaim::IntersownEarly { cover, crop, days } => format!(
                "{} sown between {} only {} after it, before it can bear a rival",
                self.crop(*cover),
                self.crop(*crop),
                words::days(*days)
            ),
            FindingClaim::TreatmentOutOfSeason { practice, days, mean_c } => {
                let air = mean_c.map_or(String::new(), |mean_c| {
                    format!(" at a mean of {}", self.units.degrees(mean_c))
                });
                format!(
                    "{} of {}{air} cannot have worked",
                    practice.replace('_', " "),
                    words::days(*days)
                )
            }
            _ => String::new(),
        }
    }

    /// A finding on legumes, manure, covers and shares of the ground.
    fn soil_finding(self, claim: &FindingClaim) -> String {
        let material = |material: &str| material.replace('_', " ");
        match claim {
            FindingClaim::NitrogenOnLegume { crop, material: put_on, grams } => format!(
                "{} of nitrogen in {} for {}, which makes its own",
                self.units.nutrients(*grams),
                material(put_on),
                self.crop(*crop)
            ),
            FindingClaim::ManureNitrogenCap { grams, most } => format!(
                "{} of manure nitrogen within a year; {} is the most of an organic holding",
                self.units.nutrients(*grams),
                self.units.nutrients(Estimate::exact(*most))
            ),
            FindingClaim::NitrogenBeforeRoots { crop, material: put_on, grams } => format!(
                "{} of nitrogen in {} just before {}: forked roots, much leaf",
                self.units.nutrients(*grams),
                material(put_on),
                self.crop(*crop)
            ),
            FindingClaim::ManureWhileGrowing { crop, material: put_on } => {
                format!("{} spread while {} stood", material(put_on), self.crop(*crop))
            }
            FindingClaim::LegumeMissing { years } => {
                format!("no legume in {}", words::years(*years))
            }
            FindingClaim::LegumeNitrogenLost { crop, days } => format!(
                "{} dug in, and nothing took its nitrogen for {}",
                self.crop(*crop),
                words::days(*days)
            ),
            FindingClaim::UntriedLegumes { grown, untried } => {
                let names = |crops: &[crate::knowledge::CropId]| {
                    let names: Vec<String> =
                        crops.iter().map(|crop| self.crop(*crop).to_owned()).collect();
                    words::list(&names)
                };
                let only = if grown.is_empty() {
                    "no legume was grown".to_owned()
                } else {
                    format!("the only legumes are {}", names(grown))
                };
                format!("{only}; not tried, though they stand your winters: {}", names(untried))
            }
            FindingClaim::OrganicMatterFalling { from, to } => {
                format!("organic matter fell from {from} to {to} percent")
            }
            FindingClaim::CropShare { crop, percent } => format!(
                "{} held {} % of the planted ground over the last year",
                self.crop(*crop),
                words::rounded(*percent)
            ),
            FindingClaim::PerennialShare { percent } => {
                format!("perennials held {} % of the recorded time", words::rounded(*percent))
            }
            FindingClaim::CoverMissing { years } => {
                format!("no cover, residue, mulch or compost in {}", words::years(*years))
            }
            _ => String::new(),
        }
    }

    /// A finding on the records themselves.
    fn record_finding(self, claim: &FindingClaim) -> String {
        match claim {
            FindingClaim::StillStanding { crop, days, later } => {
                let over = later.map_or(String::new(), |later| {
                    format!(", though {} was planted over it", self.crop(later))
                });
                format!("{} is still standing after {}{over}", self.crop(*crop), words::days(*days))
            }
            FindingClaim::NoHarvest { crop, days } => {
                format!("{} stood {} and nothing was weighed", self.crop(*crop), words::days(*days))
            }
            FindingClaim::HarvestWithoutPlanting { crop, cleared: Some(days) } => {
                format!("{} picked {} after it was cleared", self.crop(*crop), words::days(*days))
            }
            FindingClaim::HarvestWithoutPlanting { crop, cleared: None } => {
                format!("{} picked where none stood", self.crop(*crop))
            }
            FindingClaim::ObservationWithoutPlanting { crop } => {
                format!("{} looked at where none stood", self.crop(*crop))
            }
            FindingClaim::SicknessOnlyInNote { crop, word } => format!(
                "the note on {} says \"{word}\", and no observation does: nothing is on record",
                self.crop(*crop)
            ),
            FindingClaim::CauseNotOfCrop { crop, pathogen } => format!(
                "{} was noted on {}, which it does not attack",
                self.disease(*pathogen),
                self.crop(*crop)
            ),
            FindingClaim::ObservationsContradict { crop } => format!(
                "{} noted as healthy and as sick on one day",
                crop.map_or("the bed", |crop| self.crop(crop))
            ),
            FindingClaim::HarvestTooSoon { crop, days, usual } => format!(
                "{} picked {} after its start; it takes {} at least",
                self.crop(*crop),
                words::days(*days),
                words::rounded(*usual)
            ),
            FindingClaim::HarvestImplausible { crop, kg_m2, most } => format!(
                "{} {} of {} picked; the most that sources know is {}",
                self.units.figure(self.units.harvest_over_ground(*kg_m2)),
                self.units.harvest_over_ground_sign(),
                self.crop(*crop),
                self.units.figure(self.units.harvest_over_ground(*most))
            ),
            FindingClaim::TooManyPlants { crop, plants, room } => format!(
                "{plants} plants of {} where its spacing has room for {}",
                self.crop(*crop),
                words::rounded(*room)
            ),
            FindingClaim::AreaExceedsBed { crop, area, bed } => format!(
                "{} {sign} of {} in a bed of {} {sign}",
                words::rounded(self.units.area(*area)),
                self.crop(*crop),
                words::rounded(self.units.area(*bed)),
                sign = self.units.area_sign()
            ),
            FindingClaim::SoilTestWithoutMethod => {
                "the phosphorus of the soil test has no method, so it is neither high nor low"
                    .to_owned()
            }
            FindingClaim::RecordGap { from, to } => {
                format!("nothing is written from {from} to {to}")
            }
            FindingClaim::HistoryUnknown { from, wanted } => {
                let wanted = words::years(*wanted);
                from.map_or_else(
                    || format!("nothing is on record; {wanted} of history are wanted"),
                    |from| format!("records begin on {from}; {wanted} of history are wanted"),
                )
            }
            FindingClaim::DateAhead { what } => {
                format!("a record ({what}) is dated after the day of the audit")
            }
            FindingClaim::RecordsIncomplete { plantings, variety, method, residue, amount } => {
                let parts = [
                    (*variety, "without a variety"),
                    (*method, "without a method"),
                    (*residue, "cleared without a word on the plants"),
                ];
                let mut told: Vec<String> = parts
                    .iter()
                    .filter(|(count, _)| *count > 0)
                    .map(|(count, what)| format!("{count} {what}"))
                    .collect();
                if *amount > 0 {
                    told.push(format!("{} without an amount", words::count(*amount, "load")));
                }
                format!("of {}: {}", words::count(*plantings, "planting"), words::list(&told))
            }
            _ => String::new(),
        }
    }

    /// What to do about a finding.
    #[must_use]
    #[expect(clippy::too_many_lines, reason = "one arm a claim: a table of words")]
    pub fn remedy(self, finding: &Finding) -> &'static str {
        match &finding.claim {
            FindingClaim::HostAfterConfirmed { .. } => {
                "watch it, take sick plants out with their roots, and count the wait anew"
            }
            FindingClaim::FamilyInterval { .. } => "give the bed to other families for longer",
            FindingClaim::GreenBridge { .. } => "pull them and count the wait anew from then",
            FindingClaim::SharedHostCover { .. } => {
                "ask `cover` for one that the bed's diseases allow"
            }
            FindingClaim::ResidueNotReady { left: Left::Residue, .. } => {
                "wait longer, or set plants instead of seed"
            }
            FindingClaim::ResidueNotReady { left: Left::SodPests, .. } => {
                "grow there what wireworms spare until the years are over"
            }
            FindingClaim::ResidueNotReady { left: Left::Soil, .. } => {
                "choose another bed, or wait longer"
            }
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
            FindingClaim::HostAfterSuspected { .. } => {
                "have the cause named before another host stands there"
            }
            FindingClaim::NematodeBuildup { .. } => {
                "give the bed a season of what it cannot feed on: ask `reference breaks`"
            }
            FindingClaim::RunWithoutBreak { .. } => "give the bed to another family for two years",
            FindingClaim::SpacingOnCleanLand { .. } => "keep the two further apart",
            FindingClaim::BadPredecessor { .. } => "put another crop between, or swap beds",
            FindingClaim::SickResidueKept { .. } => {
                "carry sick plants off with their roots; do not dig them in or put them on the heap"
            }
            FindingClaim::VolunteerInRest { .. } => "pull them young",
            FindingClaim::NotifiableDisease { .. } => {
                "ask the plant health office of your place; keep soil, tools and plants in the bed"
            }
            FindingClaim::StatutoryInterval { .. } => {
                "if that law is yours, ask its office before the next host"
            }
            FindingClaim::OutOfSeason { .. } => "ask `season` for the days that fit",
            FindingClaim::IntersownEarly { .. } => "ask `intersow` for the first day",
            FindingClaim::TreatmentOutOfSeason { .. } => {
                "lay film for four weeks or more of the hottest season; licensed advice first"
            }
            FindingClaim::NitrogenOnLegume { .. } => "keep it for a hungry crop",
            FindingClaim::ManureNitrogenCap { .. } => {
                "spread it over more beds, or feed with legumes"
            }
            FindingClaim::NitrogenBeforeRoots { .. } => {
                "feed a hungry crop first and put roots in the year after"
            }
            FindingClaim::ManureWhileGrowing { .. } => {
                "do not eat it raw; spread manure on empty ground and dig it in; local food rules come first"
            }
            FindingClaim::LegumeMissing { .. } => "ask `cover` for one that fits the next gap",
            FindingClaim::LegumeNitrogenLost { .. } => {
                "cut it in two to four weeks before the next hungry crop"
            }
            FindingClaim::UntriedLegumes { .. } => "try one in the next winter gap",
            FindingClaim::OrganicMatterFalling { .. } => {
                "grow covers, leave residue, put on compost, dig less"
            }
            FindingClaim::CropShare { .. } => "grow less of it, or more of what it can turn with",
            FindingClaim::PerennialShare { .. } => "give perennials a bed of their own",
            FindingClaim::CoverMissing { .. } => "sow a cover in the next gap, or spread compost",
            FindingClaim::StillStanding { .. } => "write the day it was cleared",
            FindingClaim::NoHarvest { .. } => "write what was picked, or what went wrong",
            FindingClaim::HarvestWithoutPlanting { .. }
            | FindingClaim::ObservationWithoutPlanting { .. } => {
                "correct the bed, the crop or the day"
            }
            FindingClaim::SicknessOnlyInNote { .. } => {
                "write it into observations.csv, cause `unknown` if nobody knows"
            }
            FindingClaim::CauseNotOfCrop { .. } => "correct the cause, or have it named",
            FindingClaim::ObservationsContradict { .. } => "delete one, or write the sections",
            FindingClaim::HarvestTooSoon { .. } => "correct the day, the bed or the crop",
            FindingClaim::HarvestImplausible { .. } => "look for a slipped point or a unit",
            FindingClaim::TooManyPlants { .. } | FindingClaim::AreaExceedsBed { .. } => {
                "correct plants, spacing or area"
            }
            FindingClaim::SoilTestWithoutMethod => "ask the laboratory for the method and write it",
            FindingClaim::RecordGap { .. } | FindingClaim::HistoryUnknown { .. } => {
                "write what is remembered, and from which day the notes are complete"
            }
            FindingClaim::DateAhead { .. } => "correct the day",
            FindingClaim::RecordsIncomplete { .. } => {
                "fill them in; `audit --evidence` lists the lines"
            }
            FindingClaim::ExceptionExpired { .. } => "renew it with a reason, or delete the line",
            FindingClaim::ExceptionUnmatched { .. } => {
                "delete the line, or correct its rule or bed"
            }
        }
    }
}
