//! What the years show, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{EvidenceJson, evidence};
use crate::assess::Evidence;
use crate::estimate::Estimate;
use crate::records::Planting;
use crate::season::Date;
use crate::state::nutrients::Nutrient;
use crate::trend::{Balance, Contest, Return, Side, Sides, Trend};

/// A nutrient that came and went, g/m2.
#[derive(Clone, Debug, Serialize)]
pub struct NutrientBalanceJson {
    /// `nitrogen`, `phosphorus`, `potassium`.
    pub nutrient: Nutrient,
    /// Came.
    pub came: Estimate,
    /// Left.
    pub left: Estimate,
    /// Came less left.
    pub net: Estimate,
}

/// A year of the garden.
#[derive(Clone, Debug, Serialize)]
pub struct YearTrendJson {
    /// Calendar year.
    pub year: i32,
    /// Days on record.
    pub days: f64,
    /// Bare days of a whole year.
    pub bare_days: f64,
    /// Share of the planted time with a legume.
    pub legumes: Option<f64>,
    /// N, P, K.
    pub balance: Vec<NutrientBalanceJson>,
}

/// A return of a family.
#[derive(Clone, Debug, Serialize)]
pub struct ReturnJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Family.
    pub family: String,
    /// What stood before.
    pub previous: PlantingJson,
    /// What came.
    pub next: PlantingJson,
    /// Years free of the family.
    pub free_years: f64,
    /// Published free years: least, median, most.
    pub published: Option<Estimate>,
    /// Whether it is less than the least published.
    pub too_soon: bool,
}

/// A planting by its record.
#[derive(Clone, Debug, Serialize)]
pub struct PlantingJson {
    /// Crop key.
    pub crop: String,
    /// Variety.
    pub variety: String,
    /// Rootstock.
    pub rootstock: String,
    /// Day planted.
    pub planted: Date,
    /// File of the record.
    pub file: String,
    /// Line of the record.
    pub line: u32,
}

/// A bed over the years.
#[derive(Clone, Debug, Serialize)]
pub struct BedTrendJson {
    /// Bed.
    pub bed: String,
    /// First day on record.
    pub from: Date,
    /// Bare days of a mean year.
    pub bare_days: f64,
    /// Share of the planted time with a legume.
    pub legumes: Option<f64>,
    /// N, P, K of a mean year.
    pub balance: Vec<NutrientBalanceJson>,
    /// Returns of families.
    pub returns: Vec<ReturnJson>,
}

/// The returns of a family.
#[derive(Clone, Debug, Serialize)]
pub struct FamilyReturnsJson {
    /// Family.
    pub family: String,
    /// How often it came back.
    pub returns: usize,
    /// Free years: soonest, middle, latest.
    pub free_years: Estimate,
    /// How often sooner than the least published.
    pub too_soon: usize,
}

/// A dose at the end of a year.
#[derive(Clone, Debug, Serialize)]
pub struct DoseYearJson {
    /// Calendar year.
    pub year: i32,
    /// The day.
    pub on: Date,
    /// Share of a fully susceptible crop lost.
    pub loss: Estimate,
}

/// How a disease went at a place.
#[derive(Clone, Debug, Serialize)]
pub struct DoseTrendJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Pathogen key.
    pub pathogen: String,
    /// The years.
    pub years: Vec<DoseYearJson>,
}

/// One side of a season.
#[derive(Clone, Debug, Serialize)]
pub struct SideJson {
    /// Plantings.
    pub plantings: Vec<PlantingJson>,
    /// Picked by the age, kg/m2.
    pub picked_kg_m2: Option<f64>,
    /// Whether it was looked at.
    pub looked_at: bool,
    /// The worst that was seen of a disease of the bed.
    pub sick: Option<EvidenceJson>,
}

/// A season of a contest.
#[derive(Clone, Debug, Serialize)]
pub struct MatchJson {
    /// Calendar year.
    pub year: i32,
    /// Age to which both are compared, days.
    pub age_days: i64,
    /// Whether both stood in one bed.
    pub same_bed: bool,
    /// The one.
    pub one: SideJson,
    /// The other.
    pub other: SideJson,
    /// What the one gave for each part of the other.
    pub ratio: Option<f64>,
}

/// A contest.
#[derive(Clone, Debug, Serialize)]
pub struct ContestJson {
    /// Crop key.
    pub crop: String,
    /// `grafted` or `varieties`.
    pub kind: &'static str,
    /// The one: a variety, or `grafted`.
    pub one: String,
    /// The other: a variety, or `own roots`.
    pub other: String,
    /// The seasons.
    pub seasons: Vec<MatchJson>,
    /// Mean ratio with its interval (95 %); null for fewer than two seasons.
    pub ratio: Option<Estimate>,
}

/// The years.
#[derive(Clone, Debug, Serialize)]
pub struct TrendJson {
    /// Format number.
    pub format: u32,
    /// By year.
    pub years: Vec<YearTrendJson>,
    /// By bed.
    pub beds: Vec<BedTrendJson>,
    /// By family.
    pub families: Vec<FamilyReturnsJson>,
    /// Doses.
    pub doses: Vec<DoseTrendJson>,
    /// Side by side.
    pub contests: Vec<ContestJson>,
}

fn balance(of: &Balance) -> Vec<NutrientBalanceJson> {
    Nutrient::ALL
        .into_iter()
        .map(|nutrient| NutrientBalanceJson {
            nutrient,
            came: of.came(nutrient),
            left: of.left(nutrient),
            net: of.net(nutrient),
        })
        .collect()
}

fn planting(phrases: Phrases<'_>, one: &Planting) -> PlantingJson {
    PlantingJson {
        crop: phrases.knowledge.crops[one.crop].key.to_string(),
        variety: one.variety.to_string(),
        rootstock: one.rootstock.to_string(),
        planted: one.planted(),
        file: one.origin.file.to_string(),
        line: one.origin.line,
    }
}

fn returned(phrases: Phrases<'_>, one: &Return<'_>) -> ReturnJson {
    ReturnJson {
        bed: one.next.place.bed.to_string(),
        section: one.next.place.section.as_deref().map(str::to_owned),
        family: one.family.to_string(),
        previous: planting(phrases, one.previous),
        next: planting(phrases, one.next),
        free_years: one.free_years,
        published: one.published,
        too_soon: one.is_too_soon(),
    }
}

fn side(phrases: Phrases<'_>, of: &Side<'_>) -> SideJson {
    SideJson {
        plantings: of.plantings.iter().map(|one| planting(phrases, one)).collect(),
        picked_kg_m2: of.picked,
        looked_at: of.looked_at,
        sick: of.sick.map(|seen| evidence(phrases, &Evidence::sighting(seen))),
    }
}

fn contest(phrases: Phrases<'_>, of: &Contest<'_>) -> ContestJson {
    let (kind, one, other) = match &of.sides {
        Sides::Grafted => ("grafted", "grafted".to_owned(), "own roots".to_owned()),
        Sides::Varieties(one, other) => ("varieties", one.to_string(), other.to_string()),
    };
    ContestJson {
        crop: phrases.knowledge.crops[of.crop].key.to_string(),
        kind,
        one,
        other,
        seasons: of
            .matches
            .iter()
            .map(|season| MatchJson {
                year: season.year,
                age_days: season.age_days,
                same_bed: season.same_bed,
                one: side(phrases, &season.one),
                other: side(phrases, &season.other),
                ratio: season.ratio(),
            })
            .collect(),
        ratio: of.ratio(),
    }
}

/// The years for going out.
#[must_use]
pub fn trend(phrases: Phrases<'_>, of: &Trend<'_>) -> TrendJson {
    TrendJson {
        format: FORMAT,
        years: of
            .years
            .iter()
            .map(|year| YearTrendJson {
                year: year.year,
                days: year.days,
                bare_days: year.bare_days,
                legumes: year.legumes,
                balance: balance(&year.balance),
            })
            .collect(),
        beds: of
            .beds
            .iter()
            .map(|bed| BedTrendJson {
                bed: bed.bed.name.to_string(),
                from: bed.from,
                bare_days: bed.bare_days(),
                legumes: bed.legumes(),
                balance: balance(&bed.balance()),
                returns: bed.returns.iter().map(|one| returned(phrases, one)).collect(),
            })
            .collect(),
        families: of
            .families
            .iter()
            .map(|family| FamilyReturnsJson {
                family: family.family.to_string(),
                returns: family.returns.len(),
                free_years: family.free_years,
                too_soon: family.too_soon,
            })
            .collect(),
        doses: of
            .doses
            .iter()
            .map(|dose| DoseTrendJson {
                bed: dose.place.bed.to_string(),
                section: dose.place.section.as_deref().map(str::to_owned),
                pathogen: phrases.knowledge.pathogens[dose.pathogen].key.to_string(),
                years: dose
                    .years
                    .iter()
                    .map(|held| DoseYearJson { year: held.year, on: held.on, loss: held.loss })
                    .collect(),
            })
            .collect(),
        contests: of.contests.iter().map(|one| contest(phrases, one)).collect(),
    }
}
