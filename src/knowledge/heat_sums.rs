//! Printed heat sums from start to first harvest, each with the way its source counts.
//!
//! A sum holds only with its base, its limit, its method and its start: a sum of one method counted
//! by another is off by a fifth. So a row keeps them together, and rows are not mixed. They rest on
//! trials and crop models, not on the days to maturity of seed lists: those serve as a check of them.

use super::Knowledge;
use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// How a source counts the heat of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counting {
    /// The mean of the extremes less the base.
    Mean,
    /// The same, the mean held down to the limit.
    MeanHeld,
    /// The mean of the extremes, each held down to the limit, less the base.
    ExtremesHeld,
    /// The mean of the extremes, each held between base and limit, less the base.
    Modified,
    /// A sine through the extremes, what lies above the limit cut off level.
    SineHeld,
}

/// Which cultivars a sum was found with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cultivars {
    /// Early ones: late ones need more.
    Early,
    /// One of middle earliness, or several about it.
    Middle,
}

/// A heat sum.
#[derive(Clone, Debug)]
pub struct HeatSum {
    /// The crop.
    pub crop: CropId,
    /// Whether it is counted from set-out plants, not from sowing.
    pub from_transplant: bool,
    /// How a day is counted.
    pub counting: Counting,
    /// Temperature from which heat counts, Celsius.
    pub base_c: f64,
    /// Temperature above which a day gives no more, Celsius; `None` with [`Counting::Mean`].
    pub upper_c: Option<f64>,
    /// Degree-days (Celsius) to the first harvest.
    pub degree_days: Estimate,
    /// Which cultivars it was found with.
    pub cultivars: Cultivars,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const DEGREES: Kind = Kind::Number(-5.0, 50.0);
const SUM: Kind = Kind::Number(50.0, 6000.0);

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("start", Kind::Choice(&["seed", "transplant"]), "from when it is counted"),
    Column::required(
        "method",
        Kind::Choice(&["mean", "mean_held", "extremes_held", "modified", "sine_held"]),
        "how a day is counted",
    ),
    Column::required("base_c", DEGREES, "temperature from which heat counts"),
    Column::optional("upper_c", DEGREES, "temperature above which a day gives no more"),
    Column::required("low", SUM, "least sum, degree-days"),
    Column::required("high", SUM, "greatest sum, degree-days"),
    Column::required(
        "cultivars",
        Kind::Choice(&["early", "middle"]),
        "which cultivars it was found with",
    ),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static HEAT_SUMS: Table = Table {
    file: "heat_sums.csv",
    text: include_str!("tables/heat_sums.csv"),
    columns: COLUMNS,
    subject: &["crop"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<HeatSum> {
    look.tables.read(&HEAT_SUMS, problems, |cells| {
        let crop = cells.name("crop", |key| look.crops.find(key).ok_or_else(Vec::new));
        let from_transplant = cells.choice("start")? == 1;
        let counting = [
            Counting::Mean,
            Counting::MeanHeld,
            Counting::ExtremesHeld,
            Counting::Modified,
            Counting::SineHeld,
        ][cells.choice("method")?];
        let cultivars = [Cultivars::Early, Cultivars::Middle][cells.choice("cultivars")?];
        Some(HeatSum {
            crop: crop?,
            from_transplant,
            counting,
            base_c: cells.number("base_c")?,
            upper_c: cells.number("upper_c"),
            degree_days: Estimate::between(cells.number("low")?, cells.number("high")?),
            cultivars,
            note: note(cells, "note"),
            citation: citation(cells)?,
        })
    })
}

impl Knowledge {
    /// The printed heat sum of a crop; `None` where none is in the tables.
    #[must_use]
    pub fn heat_sum(&self, crop: CropId) -> Option<&HeatSum> {
        self.heat_sums().iter().find(|row| row.crop == crop)
    }
}
