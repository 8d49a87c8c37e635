//! How soon seed comes up: trials at constant soil temperatures, and thermal times.
//!
//! Both tables serve sowing questions only, so each is read at the first one.

use super::Knowledge;
use super::citation::{Citation, How};
use super::ids::CropId;
use super::later::Look;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problems};

/// What came of a trial.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Trial {
    /// It came up after so many days.
    Emerged(f64),
    /// It did not come up.
    NoGermination,
    /// Not tried at this temperature: not the same as not coming up.
    NotTested,
}

/// Seed of one crop at one soil temperature.
#[derive(Clone, Debug)]
pub struct EmergenceTrial {
    /// The crop.
    pub crop: CropId,
    /// Constant temperature of the soil.
    pub soil_c: f64,
    /// What came of it.
    pub result: Trial,
    /// Percent of seed that grew into normal seedlings.
    pub normal_percent: Option<f64>,
    /// Where from.
    pub citation: Citation,
}

/// A thermal time of germination or emergence.
#[derive(Clone, Debug)]
pub struct ThermalTime {
    /// Key of the plant, as in the table; not all are crops of the garden.
    pub crop: Box<str>,
    /// Temperature at which development begins.
    pub base_c: Option<f64>,
    /// Degree-days above it.
    pub degree_days: Option<f64>,
    /// What they lead to.
    pub event: Box<str>,
    /// Temperature above which it goes no faster.
    pub optimum_c: Option<f64>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

/// What is known of one crop's emergence.
#[derive(Clone, Debug)]
pub struct Emergence<'k> {
    /// Trials, coldest first.
    pub trials: &'k [EmergenceTrial],
    /// Thermal times of emergence from a depth, best first: those fitted to trials, then others,
    /// last the settings of field-crop models, some of which start from set-out plants. Times of
    /// mere germination and of leaves are left out.
    pub thermal: Vec<&'k ThermalTime>,
}

const THERMAL_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::optional("tb_c", Kind::Number(-15.0, 25.0), "base temperature"),
    Column::optional("theta_dd", Kind::Number(1.0, 2000.0), "heat sum, degree-days"),
    Column::required("event", Kind::Text(40), "what is reached"),
    Column::optional("t_opt_c", Kind::Number(0.0, 50.0), "best temperature"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static THERMAL_GERMINATION: Table = Table {
    file: "thermal_germination.csv",
    text: include_str!("tables/thermal_germination.csv"),
    columns: THERMAL_COLUMNS,
    subject: &["crop", "event"],
    told_apart_by: &["source", "tb_c", "theta_dd"],
    attributes: None,
};

const EMERGENCE_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("soil_temp_c", Kind::Number(-5.0, 50.0), "soil temperature"),
    Column::optional("days_to_emerge", Kind::Text(10), "days, a figure or low-high"),
    Column::required(
        "status",
        Kind::Choice(&["emerged", "no_germination", "not_tested"]),
        "what became of it",
    ),
    Column::optional("pct_normal_seedlings", Kind::Number(0.0, 100.0), "normal seedlings"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static EMERGENCE_DAYS: Table = Table {
    file: "emergence_days.csv",
    text: include_str!("tables/emergence_days.csv"),
    columns: EMERGENCE_COLUMNS,
    subject: &["crop", "soil_temp_c"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn trials(look: &Look<'_>, problems: &mut Problems) -> Vec<EmergenceTrial> {
    let mut trials = look.tables.read(&EMERGENCE_DAYS, problems, |cells| {
        let crop = cells.name("crop", |key| look.crops.find(key).ok_or_else(Vec::new));
        let soil_c = cells.number("soil_temp_c");
        let days = cells.text("days_to_emerge").and_then(written_range);
        let result = match cells.choice("status")? {
            0 => Trial::Emerged(days?.likely),
            1 => Trial::NoGermination,
            _ => Trial::NotTested,
        };
        Some(EmergenceTrial {
            crop: crop?,
            soil_c: soil_c?,
            result,
            normal_percent: cells.number("pct_normal_seedlings"),
            citation: citation(cells)?,
        })
    });
    trials.sort_by(|a, b| a.crop.cmp(&b.crop).then(a.soil_c.total_cmp(&b.soil_c)));
    trials
}

pub(super) fn thermal_times(look: &Look<'_>, problems: &mut Problems) -> Vec<ThermalTime> {
    look.tables.read(&THERMAL_GERMINATION, problems, |cells| {
        Some(ThermalTime {
            crop: cells.text("crop")?.into(),
            base_c: cells.number("tb_c"),
            degree_days: cells.number("theta_dd"),
            event: cells.text("event")?.into(),
            optimum_c: cells.number("t_opt_c"),
            note: note(cells, "note"),
            citation: citation(cells)?,
        })
    })
}

impl Knowledge {
    /// What is known of how soon a crop's seed comes up.
    #[must_use]
    pub fn emergence(&self, crop: CropId) -> Emergence<'_> {
        let trials = self.emergence_trials();
        let begins = trials.partition_point(|trial| trial.crop < crop);
        let ends = trials.partition_point(|trial| trial.crop <= crop);
        let key = &self.crops[crop].key;
        let mut thermal: Vec<&ThermalTime> = self
            .thermal_times()
            .iter()
            .filter(|row| row.crop == *key && row.event.contains("emergence"))
            .collect();
        thermal.sort_by_key(|row| {
            let model = row.event.starts_with("crop_model");
            (model, row.citation.how != How::Computed, row.citation.how)
        });
        Emergence { trials: &trials[begins..ends], thermal }
    }
}
