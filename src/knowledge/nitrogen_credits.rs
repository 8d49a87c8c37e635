//! Nitrogen that a previous crop or a cover leaves, as the sources print it and per hectare.

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One credit.
#[derive(Clone, Debug)]
pub struct NitrogenCredit {
    /// The crop, or the group or mix.
    pub crop: Meant<CropId>,
    /// Under which condition.
    pub condition: Box<str>,
    /// What is measured: `first_year_credit`, `residue_credit`, `total_n`, `fixed`, ...
    pub measure: Box<str>,
    /// As printed, in `unit`. A credit below nothing is a tie-up or a deduction.
    pub printed: Option<Estimate>,
    /// Unit as printed.
    pub unit: Box<str>,
    /// kg N per hectare, where the unit can be converted.
    pub kg_per_ha: Option<Estimate>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl NitrogenCredit {
    /// The credit in grams a square metre; `None` for a share of another credit, which has no mass
    /// of its own.
    #[must_use]
    pub fn grams_m2(&self) -> Option<Estimate> {
        self.kg_per_ha.map(|kg| kg.map(|kg| kg / 10.0))
    }
}

const MEASURES: &[&str] = &[
    "first_year_credit",
    "residue_credit",
    "adjustment",
    "share_of_first_year_credit",
    "scavenged",
    "fixed",
    "total_n",
    "plant_available",
    "soil_mineral",
    "fertiliser_value",
    "residue",
    "share_of_crop_need",
];
const PRINTED: Kind = Kind::Number(-500.0, 1000.0);

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, group key or mix"),
    Column::optional("condition", Kind::Text(200), "under which condition"),
    Column::required("measure", Kind::Choice(MEASURES), "what is measured"),
    Column::optional("n_credit_low", PRINTED, "as printed, low"),
    Column::optional("n_credit_high", PRINTED, "as printed, high"),
    Column::required("unit", Kind::Text(30), "unit as printed"),
    Column::optional("n_credit_kg_ha_low", PRINTED, "kg N per hectare, low"),
    Column::optional("n_credit_kg_ha_high", PRINTED, "kg N per hectare, high"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static N_CREDITS: Table = Table {
    file: "n_credits.csv",
    text: include_str!("tables/n_credits.csv"),
    columns: COLUMNS,
    subject: &["crop", "condition", "measure"],
    told_apart_by: &["source", "n_credit_low"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<NitrogenCredit> {
    look.tables.read(&N_CREDITS, problems, |cells| {
        let crop = Meant::crop(look.crops, cells.text("crop")?);
        let condition = note(cells, "condition");
        let measure = MEASURES[cells.choice("measure")?].into();
        Some(NitrogenCredit {
            crop,
            condition,
            measure,
            printed: range(cells, "n_credit_low", "n_credit_high"),
            unit: cells.text("unit")?.into(),
            kg_per_ha: range(cells, "n_credit_kg_ha_low", "n_credit_kg_ha_high"),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
