//! How soon seed comes up: trials at constant soil temperatures, and thermal times.
//!
//! Both tables serve sowing questions only, so each is read at the first one.

use std::sync::OnceLock;

use super::citation::{Citation, How};
use super::crops::Crops;
use super::figures::parse_range;
use super::ids::CropId;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, rows};
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

const STATUS: &[&str] = &["emerged", "no_germination", "not_tested"];

pub(super) const TRIAL_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("soil_temp_c", ANY, "constant soil temperature"),
    Column::optional("days_to_emerge", Kind::Text(20), "days from sowing, or a range"),
    Column::required("status", Kind::Choice(STATUS), "what came of it"),
    Column::optional("pct_normal_seedlings", Kind::Number(0.0, 100.0), "percent normal seedlings"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) const THERMAL_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, or another plant"),
    Column::optional("tb_c", ANY, "base temperature"),
    Column::optional("theta_dd", Kind::Number(0.0, 2000.0), "degree-days above it"),
    Column::required("event", Kind::Text(60), "what they lead to"),
    Column::optional("t_opt_c", ANY, "temperature above which it goes no faster"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

/// The two tables.
#[derive(Debug)]
pub(super) struct Emergences {
    trials_text: &'static str,
    thermal_text: &'static str,
    rows: OnceLock<(Vec<EmergenceTrial>, Vec<ThermalTime>)>,
}

impl Emergences {
    pub(super) fn of(trials_text: &'static str, thermal_text: &'static str) -> Self {
        Self { trials_text, thermal_text, rows: OnceLock::new() }
    }

    fn rows(&self, crops: &Crops) -> &(Vec<EmergenceTrial>, Vec<ThermalTime>) {
        self.rows.get_or_init(|| self.read(crops, &mut Problems::default()))
    }

    pub(super) fn read(
        &self,
        crops: &Crops,
        problems: &mut Problems,
    ) -> (Vec<EmergenceTrial>, Vec<ThermalTime>) {
        let file = "emergence_days.csv";
        let mut trials = rows(file, self.trials_text, TRIAL_COLUMNS, problems, |cells| {
            let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
            let soil_c = cells.number("soil_temp_c");
            let days = cells.text("days_to_emerge").and_then(parse_range);
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
        let file = "thermal_germination.csv";
        let thermal = rows(file, self.thermal_text, THERMAL_COLUMNS, problems, |cells| {
            Some(ThermalTime {
                crop: cells.text("crop")?.into(),
                base_c: cells.number("tb_c"),
                degree_days: cells.number("theta_dd"),
                event: cells.text("event")?.into(),
                optimum_c: cells.number("t_opt_c"),
                note: cells.text("note").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        (trials, thermal)
    }

    pub(super) fn of_crop<'k>(&'k self, crops: &Crops, crop: CropId) -> Emergence<'k> {
        let (trials, thermal) = self.rows(crops);
        let begins = trials.partition_point(|trial| trial.crop < crop);
        let ends = trials.partition_point(|trial| trial.crop <= crop);
        let key = &crops[crop].key;
        let mut thermal: Vec<&ThermalTime> = thermal
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
