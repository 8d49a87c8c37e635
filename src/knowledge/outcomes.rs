//! What surveys found behind wilts, rots and declines: how often each cause, and of what. Causes
//! overlap, so the shares of one survey need not add up to a hundred.

use super::citation::Citation;
use super::ids::{CropId, PathogenId};
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problem, Problems};

/// One share from one survey.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The crop, or `any`.
    pub crop: Meant<CropId>,
    /// What was sampled, in words.
    pub sample_kind: Box<str>,
    /// The cause; `None` where the survey gives no split by cause.
    pub cause: Option<PathogenId>,
    /// Percent of `base`.
    pub percent: Estimate,
    /// Percent of what: fields, plants, samples, farms.
    pub base: Box<str>,
    /// Where.
    pub region: Box<str>,
    /// When, as printed.
    pub years: Box<str>,
    /// How many were looked at.
    pub count: Option<f64>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, or any"),
    Column::required("sample_kind", Kind::Text(120), "what was sampled"),
    Column::optional("cause", Kind::Name("pathogen"), "pathogen key"),
    Column::required("percent", Kind::Text(20), "percent of the base, or a range low-high"),
    Column::required("base", Kind::Text(120), "percent of what"),
    Column::optional("region", Kind::Text(80), "where"),
    Column::optional("years", Kind::Text(20), "when, as printed"),
    Column::optional("n", Kind::Number(1.0, 1e7), "how many were looked at"),
    Column::optional("note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static OUTCOMES: Table = Table {
    file: "garden_disease_outcomes.csv",
    text: include_str!("tables/garden_disease_outcomes.csv"),
    columns: COLUMNS,
    subject: &["crop", "sample_kind", "cause"],
    told_apart_by: &["region", "years", "percent", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Outcome> {
    look.tables.read(&OUTCOMES, problems, |cells| {
        let crop = Meant::crop(look.crops, cells.text("crop")?);
        let sample_kind = cells.text("sample_kind")?.into();
        let cause = cells.name("cause", |key| look.pathogens.find(key).ok_or_else(Vec::new));
        let Some(percent) = written_range(cells.text("percent")?) else {
            cells.problem("percent", Problem::NotANumber, Some("write 40 or 40-60".to_owned()));
            return None;
        };
        Some(Outcome {
            crop,
            sample_kind,
            cause,
            percent,
            base: cells.text("base")?.into(),
            region: note(cells, "region"),
            years: note(cells, "years"),
            count: cells.number("n"),
            note: note(cells, "note"),
            citation: citation(cells)?,
        })
    })
}
