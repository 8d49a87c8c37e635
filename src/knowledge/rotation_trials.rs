//! Yields by previous crop, length of break, cover and grafting. Each trial has a reference
//! treatment of its own, so figures of different trials are never averaged.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, SOURCE, citation, note};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// What a trial gives as the cause of the difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CauseGiven {
    /// Disease.
    Disease,
    /// Nutrients.
    Nutrients,
    /// None.
    Unknown,
}

/// One yield against its reference.
#[derive(Clone, Debug)]
pub struct RotationTrial {
    /// The study.
    pub study: Box<str>,
    /// The crop that was weighed.
    pub crop: Meant<CropId>,
    /// What stood before, or how long the break was.
    pub previous: Meant<CropId>,
    /// What is compared.
    pub comparison: Box<str>,
    /// Percent of the reference; `None` where only an absolute effect is printed.
    pub relative_percent: Option<Estimate>,
    /// The treatment that counts as 100.
    pub reference: Box<str>,
    /// How long, as printed.
    pub years: Box<str>,
    /// Where.
    pub site: Box<str>,
    /// The cause given.
    pub cause: CauseGiven,
    /// How the percentage was come by: stated, computed from yields.
    pub derivation: Box<str>,
    /// Absolute effect as printed.
    pub absolute_effect: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const PERCENT: Kind = Kind::Number(0.0, 5000.0);

const COLUMNS: &[Column] = &[
    Column::required("study", Kind::Text(60), "study"),
    Column::required("crop", Kind::Text(60), "crop key, or words for several"),
    Column::required(
        "previous_crop_or_break_years",
        Kind::Text(120),
        "what stood before, or how long the break was",
    ),
    Column::required("comparison", Kind::Text(200), "what is compared"),
    Column::optional("relative_yield_percent", PERCENT, "percent of the reference"),
    Column::required("reference_treatment", Kind::Text(120), "what counts as 100"),
    Column::optional("years", Kind::Text(40), "how long, as printed"),
    Column::optional("site", Kind::Text(80), "where"),
    Column::required(
        "cause_given",
        Kind::Choice(&["disease", "nutrients", "unknown"]),
        "cause of the difference",
    ),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("low_percent", PERCENT, "low end of a printed range"),
    Column::optional("high_percent", PERCENT, "high end of a printed range"),
    Column::optional("derivation", Kind::Text(200), "how the percentage was come by"),
    Column::optional("absolute_effect", Kind::Text(80), "absolute effect as printed"),
];

pub(super) static ROTATION_YIELD: Table = Table {
    file: "rotation_yield.csv",
    text: include_str!("tables/rotation_yield.csv"),
    columns: COLUMNS,
    subject: &["study", "crop", "previous_crop_or_break_years"],
    told_apart_by: &["comparison", "relative_yield_percent", "site"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<RotationTrial> {
    look.tables.read(&ROTATION_YIELD, problems, |cells| {
        let study = cells.text("study")?.into();
        let crop = Meant::crop(look.crops, cells.text("crop")?);
        let previous = Meant::crop(look.crops, cells.text("previous_crop_or_break_years")?);
        let comparison = cells.text("comparison")?.into();
        let likely = cells.number("relative_yield_percent");
        let reference = cells.text("reference_treatment")?.into();
        let (years, site) = (note(cells, "years"), note(cells, "site"));
        let cause = [CauseGiven::Disease, CauseGiven::Nutrients, CauseGiven::Unknown]
            [cells.choice("cause_given")?];
        let citation = citation(cells)?;
        let (low, high) = (cells.number("low_percent"), cells.number("high_percent"));
        let relative_percent = match (low, likely, high) {
            (None, None, None) => None,
            (Some(low), None, Some(high)) => Some(Estimate::between(low, high)),
            (low, likely, high) => {
                let likely = likely.or(low).or(high).unwrap_or_default();
                Some(Estimate::new(low.unwrap_or(likely), likely, high.unwrap_or(likely)))
            }
        };
        Some(RotationTrial {
            study,
            crop,
            previous,
            comparison,
            relative_percent,
            reference,
            years,
            site,
            cause,
            derivation: note(cells, "derivation"),
            absolute_effect: note(cells, "absolute_effect"),
            citation,
        })
    })
}
