//! Resistance codes of the seed trade. The same letters mean another disease on another crop, so
//! a code is read together with its crop.

use super::citation::Citation;
use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::names::fold;
use super::pathogens::Pathogens;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, words};
use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problems};

/// One code on one crop.
#[derive(Clone, Debug)]
pub struct ResistanceCode {
    /// The crop.
    pub crop: CropId,
    /// The code of today.
    pub code: Box<str>,
    /// Codes used before.
    pub older: Vec<Box<str>>,
    /// The pathogen, if the pathogens table has it.
    pub pathogen: Option<PathogenId>,
    /// Races covered, as printed.
    pub races: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl ResistanceCode {
    /// Whether a folded code is this one: the whole code or its part before the colon that numbers
    /// the races, of today or of before.
    #[must_use]
    pub fn is_written(&self, folded: &str) -> bool {
        let stem = |code: &str| fold(code.split(':').next().unwrap_or(code));
        let wanted = folded.split(':').next().unwrap_or(folded);
        stem(&self.code) == wanted || self.older.iter().any(|code| stem(code) == wanted)
    }
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("code", Kind::Text(60), "code"),
    Column::optional("older_codes", Kind::Text(120), "codes used before, joined by ;"),
    Column::optional("pathogen", Kind::Name("pathogen"), "pathogen key"),
    Column::optional("races", Kind::Text(120), "races covered"),
    Column::optional("level_note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static RESISTANCE_CODES: Table = Table {
    file: "resistance_codes.csv",
    text: include_str!("tables/resistance_codes.csv"),
    columns: COLUMNS,
    subject: &["crop", "code"],
    told_apart_by: &[],
    attributes: None,
};

/// The codes.
#[derive(Debug)]
pub struct Resistances {
    rows: Vec<ResistanceCode>,
}

impl Resistances {
    pub(super) fn read(
        tables: &Tables,
        crops: &Crops,
        pathogens: &Pathogens,
        problems: &mut Problems,
    ) -> Self {
        let rows = tables.read(&RESISTANCE_CODES, problems, |cells| {
            let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
            let code = cells.text("code")?.into();
            let older = words(cells.text("older_codes"));
            let pathogen = cells.name("pathogen", |key| pathogens.find(key).ok_or_else(Vec::new));
            Some(ResistanceCode {
                crop: crop?,
                code,
                older,
                pathogen,
                races: cells.text("races").unwrap_or_default().into(),
                note: cells.text("level_note").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        Self { rows }
    }

    /// The rows that a written code means on a crop: the whole code, or its part before the colon
    /// that numbers the races.
    pub fn meant<'k>(
        &'k self,
        crop: CropId,
        written: &'k str,
    ) -> impl Iterator<Item = &'k ResistanceCode> {
        let stem = |code: &str| fold(code.split(':').next().unwrap_or(code));
        let wanted = stem(written);
        self.rows.iter().filter(move |row| {
            row.crop == crop
                && (stem(&row.code) == wanted || row.older.iter().any(|code| stem(code) == wanted))
        })
    }

    /// All codes.
    #[must_use]
    pub fn rows(&self) -> &[ResistanceCode] {
        &self.rows
    }
}
