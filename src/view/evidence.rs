//! Leaves of the reasons in words: records, facts, figures, what is missing.

use super::hazard::hazard_words;
use super::phrase::Phrases;
use super::season_words::season_yield_words;
use super::units::Units;
use super::words;
use crate::assess::{Evidence, FactNote, FigureNote, MissingNote, RecordNote};
use crate::estimate::Estimate;
use crate::knowledge::{Basis, BridgeEvidence, Clears, PhosphorusClass, Says, Turn};
use crate::records::{Certainty, Extent};
use crate::season::Date;
use crate::state::NotLowered;
use crate::state::nutrients::{NeedBasis, Nutrient, Supply};

impl Phrases<'_> {
    /// A leaf in words, and where it stands.
    #[must_use]
    pub fn evidence(self, evidence: &Evidence) -> (String, String) {
        match evidence {
            Evidence::Record(origin, note) => (self.record(note), origin.to_string()),
            Evidence::Fact(note, citation) => (self.fact(note), self.source(citation)),
            Evidence::Figure(note) => (self.figure(note), "computed".to_owned()),
            Evidence::Missing(note) => (self.missing_note(note), "missing".to_owned()),
        }
    }

    fn record(self, note: &RecordNote) -> String {
        match note {
            RecordNote::Sighting { date, crop, seen, extent, certainty } => {
                let on = crop.map_or(String::new(), |crop| format!(" on {}", self.crop(crop)));
                let extent =
                    extent.map_or(String::new(), |extent| format!(", {}", extent_words(extent)));
                format!("{date}: {}{on}{extent}, {}", self.seen(seen), certainty_words(*certainty))
            }
            RecordNote::Planting { crop, from, to, method } => {
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
            RecordNote::Treatment { date, practice, left } => {
                format!("{date}: {}{}", practice.replace('_', " "), lowered_words(self.units, left))
            }
            RecordNote::SuppressiveCrop { date, crop, left } => {
                format!("{date}: {}{}", self.crop(*crop), lowered_words(self.units, &Ok(*left)))
            }
            RecordNote::SoilTest { date } => format!("{date}: soil test"),
            RecordNote::Climate => "the climate normals of the site".to_owned(),
            RecordNote::Harvest { date, crop } => format!("{date}: picked {}", self.crop(*crop)),
            RecordNote::Exception { rule, until } => format!("exception from {rule} until {until}"),
        }
    }

    fn fact(self, note: &FactNote) -> String {
        match note {
            FactNote::Host { .. } | FactNote::Relatives { .. } | FactNote::OutsideRange { .. } => {
                self.host_fact(note)
            }
            FactNote::Interval { .. } | FactNote::Survival { .. } | FactNote::Spread { .. } => {
                self.time_fact(note)
            }
            FactNote::SeasonOfDisease { from, to, share, least_c, full_c } => format!(
                "little of it under {} mean, all from {}: from {from} to {to} it can do {} of its \
                 harm",
                self.units.whole_degrees(*least_c),
                self.units.whole_degree_figure(*full_c),
                words::percent_range(*share)
            ),
            FactNote::ReturnTime { subject, gap_min, gap_max } => {
                let years = words::years_range(*gap_min, *gap_max, false);
                format!("{subject}: {years} free between two growings")
            }
            FactNote::Sequence { previous, next, effect, wait_days, note } => {
                let wait = wait_days.map_or(String::new(), |wait| {
                    format!(", wait {} days", words::range(wait.low, wait.high))
                });
                let (previous, next) = (previous.replace('_', " "), next.replace('_', " "));
                with_note(format!("{previous} before {next}: {effect}{wait}"), note)
            }
            FactNote::Resistance { code, note } => with_note(format!("resistance `{code}`"), note),
            FactNote::NitrogenNeed { crop, grams, basis, fixed_share } => {
                let from = match basis {
                    NeedBasis::Printed => "a printed need",
                    NeedBasis::Removal => "what a typical harvest removes",
                    NeedBasis::Class => "its class as a feeder",
                };
                let air = if fixed_share.high > 0.0 {
                    format!(", {} of it from the air", words::percent_range(*fixed_share))
                } else {
                    String::new()
                };
                format!(
                    "{} takes up {} of nitrogen by {from}{air}",
                    self.crop(*crop),
                    self.units.nutrients(*grams)
                )
            }
            FactNote::PhosphorusClass { method, value, class } => {
                format!("{value} ppm by {method} is {}", phosphorus_words(*class))
            }
            FactNote::SeasonLimit { hazard } => hazard_words(self.units, hazard),
            FactNote::Clause { clause, demands } => format!("{clause}: {demands}"),
            FactNote::Rootstock { name, limits } => with_note(format!("rootstock {name}"), limits),
            FactNote::Days { crop, days } => {
                let days = words::range(days.low, days.high);
                format!("{} takes {days} days to the first harvest", self.crop(*crop))
            }
            FactNote::Cover { .. }
            | FactNote::Bridge { .. }
            | FactNote::Timing { .. }
            | FactNote::Undersown { .. } => self.cover_fact(note),
        }
    }

    /// What sources say of a crop under a pathogen.
    fn host_fact(self, note: &FactNote) -> String {
        match note {
            FactNote::Host { pathogen, crop, says, basis, note } => {
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
                with_note(format!("{says}{basis}"), note)
            }
            FactNote::Relatives { relatives, rank } => {
                let names: Vec<String> =
                    relatives.iter().map(|crop| self.crop(*crop).to_owned()).collect();
                let names = words::list(&names);
                format!("no row of its own; inferred from the {rank}: hosts are {names}")
            }
            FactNote::OutsideRange { pathogen } => {
                let families = &self.knowledge.pathogens[*pathogen].host_families;
                let disease = self.disease(*pathogen);
                if families.is_empty() {
                    format!("{disease} has a narrow host range that leaves it out")
                } else {
                    format!("{disease} keeps to {}", families.join(", "))
                }
            }
            _ => String::new(),
        }
    }

    /// What sources say of covers and of company.
    fn cover_fact(self, note: &FactNote) -> String {
        match note {
            FactNote::Cover { crop, field, range, text } => {
                let (field, unit) = unit_of(field);
                let figure = match range {
                    Some(range) => self.units.tabled(*range, unit),
                    None => text.to_string(),
                };
                format!("{}: {field} {figure}", self.crop(*crop))
            }
            FactNote::Bridge { cover, pathogen, turn, backing, finding } => {
                let backing = match backing {
                    BridgeEvidence::Measured => "measured",
                    BridgeEvidence::HostStatus => "by host status",
                    BridgeEvidence::Statement => "said",
                };
                let (cover, pathogen) = (cover.replace('_', " "), pathogen.replace('_', " "));
                let turn = match turn {
                    Turn::Raises => "raises",
                    Turn::Neutral => "neither raises nor lowers",
                    Turn::Lowers => "lowers",
                };
                format!("{cover} {turn} {pathogen} ({backing}): {finding}")
            }
            FactNote::Timing { rule, applies_to, range, at_least, text, unit } => {
                let figure = match range {
                    Some(range) if *at_least => {
                        format!("at least {}", self.units.tabled(Estimate::exact(range.low), unit))
                    }
                    Some(range) => self.units.tabled(*range, unit),
                    None => text.to_string(),
                };
                let of = if applies_to.is_empty() {
                    String::new()
                } else {
                    format!(" ({})", applies_to.replace('_', " "))
                };
                format!("{}{of}: {figure}", rule.replace('_', " "))
            }
            FactNote::Undersown { main_crop, covers, timing, result, region } => {
                let parts: Vec<&str> = [&**timing, &**result, &**region]
                    .into_iter()
                    .filter(|part| !part.is_empty())
                    .collect();
                let under =
                    if covers.is_empty() { String::new() } else { format!("{covers} under ") };
                format!("{under}{main_crop}: {}", parts.join("; ")).replace('_', " ")
            }
            _ => String::new(),
        }
    }

    /// What sources say of waiting and of how a pathogen lives.
    fn time_fact(self, note: &FactNote) -> String {
        match note {
            FactNote::Interval { disease, years_min, years_max, open_ended, enough, clears } => {
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
            FactNote::Survival { pathogen, years, open } => {
                let disease = self.disease(*pathogen);
                match (years, open) {
                    (Some(years), false) => {
                        let years = words::years_range(Some(years.low), Some(years.high), false);
                        format!("{disease} survives {years}")
                    }
                    (Some(years), true) => {
                        let years = words::years_range(Some(years.high), None, true);
                        format!("{disease} survives {years} and no end is known")
                    }
                    (None, true) => format!("{disease}: no end of survival is known"),
                    (None, false) => format!("{disease}: survival is not published"),
                }
            }
            FactNote::Spread { pathogen } => {
                let row = &self.knowledge.pathogens[*pathogen];
                format!("{} lives in: {}", self.disease(*pathogen), row.inoculum.join(", "))
            }
            _ => String::new(),
        }
    }

    fn figure(self, note: &FigureNote) -> String {
        match note {
            FigureNote::YearsWithoutHost { from, to } => years_from(*from, *to),
            FigureNote::ExpectedLoss { half_life, loss } => format!(
                "a susceptible crop would lose {} of its yield (half-life {} years; 1 - exp(-dose))",
                words::percent_range(*loss),
                words::range(half_life.low, half_life.high)
            ),
            FigureNote::CauseWouldMean { pathogen, chance, effect } => format!(
                "{:.0} % {}: {}",
                chance * 100.0,
                self.disease(*pathogen),
                self.effect(*effect)
            ),
            FigureNote::UsualInterval { kind, years, rows } => format!(
                "{years} years without a host are usual for a {kind} (median of {rows} printed intervals)"
            ),
            FigureNote::DaysToHarvest { days } => {
                format!("{} from manure to harvest", words::days(*days))
            }
            FigureNote::NitrogenSupply(supply) => supply_words(self.units, supply),
            FigureNote::LegumeWorth { without, with } => format!(
                "without the nitrogen that legumes fixed the yield would be {:.0} %, with it {:.0} %",
                without * 100.0,
                with * 100.0
            ),
            FigureNote::SeasonHazard { hazard } => hazard_words(self.units, hazard),
            FigureNote::SeasonYield(leaves) => season_yield_words(leaves),
            FigureNote::HeatAndLight { from, to, degree_days, base_c, light_mj } => format!(
                "from {from} to {to}: {:.0} degree-days over {}, leaves catch {:.0} ({:.0} to {:.0}) MJ/m2 of light",
                self.units.heat_sum(degree_days.likely),
                self.units.whole_degrees(*base_c),
                light_mj.likely,
                light_mj.low,
                light_mj.high
            ),
            FigureNote::KillingNight { from, to, kill_c, chance } => format!(
                "a night at {} or below from {from} to {to}: in {} of years",
                self.units.whole_degree_range(*kill_c),
                words::percent_range(*chance)
            ),
            FigureNote::Booked { nutrient, grams } => {
                format!(
                    "the books have {} of {}",
                    self.units.nutrients(*grams),
                    nutrient_words(*nutrient)
                )
            }
        }
    }

    /// A record that is missing, in words.
    pub(super) fn missing_note(self, note: &MissingNote) -> String {
        match note {
            MissingNote::HistoryBefore { from: Some(from) } => {
                format!("what stood and ailed here before {from}")
            }
            MissingNote::HistoryBefore { from: None } => "any record of this place".to_owned(),
            MissingNote::HostStatus { pathogen, crop } => {
                format!("whether {} hosts {}", self.crop(*crop), self.disease(*pathogen))
            }
            MissingNote::Cause { field_check } => format!("the cause; look for: {field_check}"),
            MissingNote::SoilTest { last: Some(last) } => {
                format!("a fresh soil test (the last is of {last})")
            }
            MissingNote::SoilTest { last: None } => "a soil test of this place".to_owned(),
            MissingNote::AmendmentAmount { date, material } => {
                format!(
                    "how much {} was put on {date}, or what it holds",
                    material.replace('_', " ")
                )
            }
            MissingNote::SiteAndClimate => {
                "site.csv with the latitude and climate.csv with twelve months".to_owned()
            }
            MissingNote::Species { pathogen, test } => {
                format!("which species of {} it is: {test}", self.disease(*pathogen))
            }
            MissingNote::PlantsAndSpacing => {
                "the number of plants, or row and plant spacing, in plantings.csv".to_owned()
            }
            MissingNote::Rain => "rain by month in climate.csv: washing-out is a guess".to_owned(),
            MissingNote::Climate => {
                "the site's climate: twelve months in climate.csv (`breakcrop new climate`)"
                    .to_owned()
            }
            MissingNote::Growth { crop } => {
                format!("published temperatures at which {} grows", self.crop(*crop))
            }
            MissingNote::Interval { pathogen } => {
                format!("published years without a host for {}", self.disease(*pathogen))
            }
        }
    }
}

/// What a treatment or a suppressive crop did, or which of the causes kept it from doing anything,
/// to be set behind its name.
pub(in crate::view) fn lowered_words(units: Units, left: &Result<Estimate, NotLowered>) -> String {
    match left {
        Ok(left) => format!(" leaves {} of the harm", words::percent_range(*left)),
        Err(NotLowered::NonePublished) => {
            "; no effect counted: none is published against this".to_owned()
        }
        Err(NotLowered::FoundWithoutEffect) => {
            "; no effect counted: it was tried against this and did not work".to_owned()
        }
        Err(NotLowered::CarriedOff) => {
            "; no effect counted: it acts by what is dug in, and was carried off".to_owned()
        }
        Err(NotLowered::TooCold { mean_c, needed_c }) => format!(
            "; no effect counted: too cold ({} mean in the middle of it, {} needed)",
            units.whole_degrees(*mean_c),
            units.whole_degree_figure(*needed_c)
        ),
        Err(NotLowered::TooShort { days, needed }) => {
            format!("; no effect counted: too short ({}, {needed:.0} needed)", words::days(*days))
        }
    }
}

/// A field of the tables in words without its unit, and the unit as printed: `between_row_cm_max` is
/// `between row max` in `cm`.
pub(super) fn unit_of(field: &str) -> (String, &'static str) {
    const UNITS: [(&str, &str); 9] = [
        ("_kg_m2", "kg/m2"),
        ("_g_mj", "g/MJ"),
        ("_g_m2", "g/m2"),
        ("_kg_ha", "kg/ha"),
        ("_t_ha", "t/ha"),
        ("_percent", "%"),
        ("_cm", "cm"),
        ("_c", "C"),
        ("_g", "g"),
    ];
    const ENDS: [&str; 5] = ["", "_min", "_max", "_low", "_high"];
    let parted = ENDS.iter().find_map(|end| {
        let bare = field.strip_suffix(end)?;
        let (name, unit) =
            UNITS.iter().find_map(|(suffix, unit)| Some((bare.strip_suffix(suffix)?, *unit)))?;
        Some((format!("{name}{end}"), unit))
    });
    let (name, unit) = parted.unwrap_or_else(|| (field.to_owned(), ""));
    (name.replace('_', " "), unit)
}

fn with_note(text: String, note: &str) -> String {
    if note.is_empty() { text } else { format!("{text}: {note}") }
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

/// A nutrient's name.
#[must_use]
pub(super) fn nutrient_words(nutrient: Nutrient) -> &'static str {
    match nutrient {
        Nutrient::Nitrogen => "nitrogen",
        Nutrient::Phosphorus => "phosphorus",
        Nutrient::Potassium => "potassium",
    }
}

/// A class of phosphorus in words.
#[must_use]
pub(super) fn phosphorus_words(class: PhosphorusClass) -> &'static str {
    match class {
        PhosphorusClass::NotHigh => "not high",
        PhosphorusClass::High => "high",
        PhosphorusClass::Excessive => "excessive",
    }
}

/// Where a crop's nitrogen comes from and goes, the parts that amount to something.
#[must_use]
pub(super) fn supply_words(units: Units, supply: &Supply) -> String {
    let parts = [
        ("free at the start", supply.at_start),
        ("from soil organic matter", supply.mineralised),
        ("from amendments", supply.amendments),
        ("from residue", supply.recycled),
        ("fixed by legumes before", supply.fixed),
        ("tied up", supply.tied_up),
        ("washed out", supply.leached),
    ];
    let told: Vec<String> = parts
        .into_iter()
        .filter(|(_, amount)| amount.range().high >= 0.05)
        .map(|(words, amount)| format!("{} {words}", units.nutrient_figures(amount.range())))
        .collect();
    format!(
        "nitrogen from {} to {}, {}: {}",
        supply.from,
        supply.to,
        units.over_ground_sign(),
        words::list(&told)
    )
}

fn years_from(from: Date, to: Date) -> String {
    let years = words::years(crate::season::years_between(from, to));
    format!("{years} without a host, from {from} to {to}")
}
