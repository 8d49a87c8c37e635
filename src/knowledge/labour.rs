//! Hours of work by task: what a square metre or a kilogram of a crop asks of the grower's hands.

use super::Knowledge;
use super::citation::Citation;
use super::crops::Role;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// What is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LabourTask {
    /// Ground made ready.
    Prepare,
    /// Sowing.
    Sow,
    /// Setting out plants, or planting cloves, bulbs, tubers and the like.
    SetOut,
    /// Stakes, sticks, netting.
    Support,
    /// Weeding.
    Weed,
    /// Watering, feeding, looking over.
    Tend,
    /// Picking, and what follows it at once.
    Pick,
    /// Clearing what stood.
    Clear,
    /// Cutting a cover down and digging it in.
    CutDown,
    /// All of it: a figure to hold the parts against, never added to them.
    Total,
}

impl LabourTask {
    const ALL: [Self; 10] = [
        Self::Prepare,
        Self::Sow,
        Self::SetOut,
        Self::Support,
        Self::Weed,
        Self::Tend,
        Self::Pick,
        Self::Clear,
        Self::CutDown,
        Self::Total,
    ];
    const WORDS: &'static [&'static str] = &[
        "prepare", "sow", "set_out", "support", "weed", "tend", "pick", "clear", "cut_down",
        "total",
    ];

    /// The word as written in the table and in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// What the hours are counted on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LabourPer {
    /// A square metre, once.
    SquareMetre,
    /// A kilogram picked.
    Kilogram,
    /// A square metre of garden a year, whatever grows there.
    SquareMetreYear,
}

impl LabourPer {
    const ALL: [Self; 3] = [Self::SquareMetre, Self::Kilogram, Self::SquareMetreYear];
    const WORDS: &'static [&'static str] = &["h/m2", "h/kg", "h/m2 a year"];
}

/// Hours of one task.
#[derive(Clone, Debug)]
pub struct Labour {
    /// The crop, `cover_crop` for all covers, `any` for all crops.
    pub crop: Meant<CropId>,
    /// The task.
    pub task: LabourTask,
    /// What the hours are counted on.
    pub per: LabourPer,
    /// Hours.
    pub hours: Estimate,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, cover_crop, or any"),
    Column::required("task", Kind::Choice(LabourTask::WORDS), "what is done"),
    Column::required("unit", Kind::Choice(LabourPer::WORDS), "what the hours are counted on"),
    Column::required("low", Kind::Number(0.0, 10.0), "hours, low end"),
    Column::required("high", Kind::Number(0.0, 10.0), "hours, high end"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static LABOUR: Table = Table {
    file: "labour.csv",
    text: include_str!("tables/labour.csv"),
    columns: COLUMNS,
    subject: &["crop", "task"],
    told_apart_by: &["unit", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Labour> {
    look.tables.read(&LABOUR, problems, |cells| {
        Some(Labour {
            crop: Meant::crop(look.crops, cells.text("crop")?),
            task: LabourTask::ALL[cells.choice("task")?],
            per: LabourPer::ALL[cells.choice("unit")?],
            hours: range(cells, "low", "high")?,
            note: note(cells, "note"),
            citation: citation(cells)?,
        })
    })
}

impl Knowledge {
    /// Hours that a task asks of a crop: its own row, else that of all covers for a cover, else that
    /// of all crops. `None` where the task does not arise: nobody stakes a lettuce.
    #[must_use]
    pub fn labour(&self, crop: CropId, task: LabourTask) -> Option<&Labour> {
        let rows = || self.labour_rows().iter().filter(|row| row.task == task);
        let means = |words: &'static str| move |row: &&Labour| matches!(&row.crop, Meant::Words(meant) if **meant == *words);
        let own = rows().find(|row| row.crop.is(crop));
        if self.crops[crop].role == Role::Cover {
            return own.or_else(|| rows().find(means("cover_crop")));
        }
        own.or_else(|| rows().find(means("any")))
    }
}
