//! What grafting, resistance, solarization, lime, residue and other practices do to a disease or
//! to its inoculum. The two are different things: a resistant crop stays well over a full soil.

use super::citation::Citation;
use super::ids::{CropId, PathogenId};
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, SOURCE, citation, note, range, words};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// What a practice acts on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ActsOn {
    /// The disease on the crop.
    Crop,
    /// What waits in the soil.
    Inoculum,
    /// What comes with the seed.
    Seed,
    /// Crop and inoculum.
    Both,
}

/// What a source found of a practice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Worked {
    /// It did something, or is said to.
    Yes,
    /// It was tried, and no effect was found, or none to be sure of.
    No,
    /// It did harm.
    Harmful,
}

/// One statement on a practice against a pathogen.
#[derive(Clone, Debug)]
pub struct Modifier {
    /// The pathogen, or `all` or `nematodes`.
    pub pathogen: Meant<PathogenId>,
    /// The practice.
    pub practice: Box<str>,
    /// The plants that do it, of practices that are done by plants.
    pub by: Vec<CropId>,
    /// The crop it was tried on; `None` where the source names none.
    pub crop: Option<CropId>,
    /// What it acts on.
    pub acts_on: ActsOn,
    /// Whether it was found to do anything.
    pub worked: Worked,
    /// What is left of the disease or the inoculum, as a share of what is there without the
    /// practice, if printed.
    pub relative: Option<Estimate>,
    /// The figure without the practice, as printed.
    pub before: Box<str>,
    /// The figure with it.
    pub after: Box<str>,
    /// What both figures measure.
    pub unit: Box<str>,
    /// The effect in words.
    pub effect: Box<str>,
    /// Under which conditions.
    pub conditions: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("pathogen", Kind::Text(60), "pathogen key, all, or nematodes"),
    Column::required("practice", Kind::Text(60), "practice"),
    Column::optional("by", Kind::Text(120), "crop keys of the plants that do it, joined by ;"),
    Column::optional("crop", Kind::Name("crop"), "crop key"),
    Column::required(
        "acts_on",
        Kind::Choice(&["crop", "inoculum", "seed", "both"]),
        "what the practice acts on",
    ),
    Column::optional(
        "worked",
        Kind::Choice(&["yes", "no", "harmful"]),
        "what was found of it; blank: it works",
    ),
    Column::optional("relative_low", Kind::Number(0.0, 10.0), "share left, low"),
    Column::optional("relative_high", Kind::Number(0.0, 10.0), "share left, high"),
    Column::optional("before", Kind::Text(60), "the figure without the practice"),
    Column::optional("after", Kind::Text(60), "the figure with it"),
    Column::optional("unit", Kind::Text(120), "what both measure"),
    Column::required("effect", Kind::Text(400), "the effect in words"),
    Column::optional("conditions", Kind::Text(400), "under which conditions"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static MODIFIERS: Table = Table {
    file: "modifiers.csv",
    text: include_str!("tables/modifiers.csv"),
    columns: COLUMNS,
    subject: &["pathogen", "practice", "crop", "acts_on"],
    told_apart_by: &["by", "effect", "conditions", "before", "after", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Modifier> {
    look.tables.read(&MODIFIERS, problems, |cells| {
        let pathogen = Meant::pathogen(look.pathogens, cells.text("pathogen")?);
        let practice = cells.text("practice")?.into();
        let by = words(cells.text("by"));
        let by = by.iter().filter_map(|key| look.crops.find(key)).collect();
        let crop = cells.name("crop", |key| look.crops.find(key).ok_or_else(Vec::new));
        let acts_on = [ActsOn::Crop, ActsOn::Inoculum, ActsOn::Seed, ActsOn::Both]
            [cells.choice("acts_on")?];
        let worked = cells
            .choice("worked")
            .map_or(Worked::Yes, |at| [Worked::Yes, Worked::No, Worked::Harmful][at]);
        Some(Modifier {
            pathogen,
            practice,
            by,
            crop,
            acts_on,
            worked,
            relative: range(cells, "relative_low", "relative_high"),
            before: note(cells, "before"),
            after: note(cells, "after"),
            unit: note(cells, "unit"),
            effect: cells.text("effect")?.into(),
            conditions: note(cells, "conditions"),
            citation: citation(cells)?,
        })
    })
}
