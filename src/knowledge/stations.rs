//! Monthly climate of published stations, and frost dates with their risk.

use super::citation::Citation;
use super::later::Look;
use super::month_day::MonthDay;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problems};

/// One month at one station.
#[derive(Clone, Debug)]
pub struct ClimateMonth {
    /// The station.
    pub station: Box<str>,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Metres above the sea.
    pub elevation_m: f64,
    /// 1 to 12.
    pub month: u8,
    /// Mean of the daily lows, degrees Celsius.
    pub low_c: f64,
    /// Mean of the daily highs.
    pub high_c: f64,
    /// Rain, mm, if known.
    pub rain_mm: Option<f64>,
    /// Where from.
    pub citation: Citation,
}

const LATITUDE: Kind = Kind::Number(-90.0, 90.0);
const LONGITUDE: Kind = Kind::Number(-180.0, 180.0);
const CELSIUS: Kind = Kind::Number(-70.0, 60.0);

const NORMAL_COLUMNS: &[Column] = &[
    Column::required("station", Kind::Text(80), "station"),
    Column::required("lat", LATITUDE, "degrees north"),
    Column::required("lon", LONGITUDE, "degrees east"),
    Column::required("elev_m", Kind::Number(-430.0, 6000.0), "metres above the sea"),
    Column::required("month", Kind::Whole(1, 12), "month"),
    Column::required("tmin_c", CELSIUS, "mean of the daily lows"),
    Column::required("tmax_c", CELSIUS, "mean of the daily highs"),
    Column::optional("precip_mm", Kind::Number(0.0, 3000.0), "rain of the month"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static CLIMATE_NORMALS: Table = Table {
    file: "climate_normals.csv",
    text: include_str!("tables/climate_normals.csv"),
    columns: NORMAL_COLUMNS,
    subject: &["station", "month"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn normals(look: &Look<'_>, problems: &mut Problems) -> Vec<ClimateMonth> {
    look.tables.read(&CLIMATE_NORMALS, problems, |cells| {
        Some(ClimateMonth {
            station: cells.text("station")?.into(),
            latitude: cells.number("lat")?,
            longitude: cells.number("lon")?,
            elevation_m: cells.number("elev_m")?,
            month: u8::try_from(cells.whole("month")?).ok()?,
            low_c: cells.number("tmin_c")?,
            high_c: cells.number("tmax_c")?,
            rain_mm: cells.number("precip_mm"),
            citation: citation(cells)?,
        })
    })
}

/// Frost dates of one place. A blank date means that frost came in too few years for the date to
/// be given, or that the source does not print it; the note tells which.
#[derive(Clone, Debug)]
pub struct FrostDates {
    /// The place.
    pub place: Box<str>,
    /// Degrees north.
    pub latitude: Option<f64>,
    /// Degrees east.
    pub longitude: Option<f64>,
    /// Day after which frost came in half the springs.
    pub last_spring: Option<MonthDay>,
    /// Day before which frost came in half the autumns.
    pub first_autumn: Option<MonthDay>,
    /// Day after which frost came in one spring of ten.
    pub last_spring_one_in_ten: Option<MonthDay>,
    /// Day before which frost came in one autumn of ten.
    pub first_autumn_one_in_ten: Option<MonthDay>,
    /// Day after which frost came in nine springs of ten.
    pub last_spring_nine_in_ten: Option<MonthDay>,
    /// Day before which frost came in nine autumns of ten.
    pub first_autumn_nine_in_ten: Option<MonthDay>,
    /// Temperature that counts as frost.
    pub threshold_c: f64,
    /// Spread of the spring date, days.
    pub spring_sd_days: Option<f64>,
    /// Days free of 0 degrees.
    pub frost_free_days: Option<f64>,
    /// Days free of -2.2 degrees.
    pub frost_free_days_hard: Option<f64>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const DAYS: Kind = Kind::Number(0.0, 366.0);
const DAY: Kind = Kind::Text(5);

const FROST_COLUMNS: &[Column] = &[
    Column::required("place", Kind::Text(80), "place"),
    Column::optional("lat", LATITUDE, "degrees north"),
    Column::optional("lon", LONGITUDE, "degrees east"),
    Column::optional("last_spring_frost_50pct", DAY, "mm-dd, half the springs"),
    Column::optional("first_fall_frost_50pct", DAY, "mm-dd, half the autumns"),
    Column::optional("last_spring_frost_10pct_risk", DAY, "mm-dd, one spring of ten"),
    Column::optional("first_fall_frost_10pct_risk", DAY, "mm-dd, one autumn of ten"),
    Column::optional("last_spring_frost_90pct_risk", DAY, "mm-dd, nine springs of ten"),
    Column::optional("first_fall_frost_90pct_risk", DAY, "mm-dd, nine autumns of ten"),
    Column::required("threshold_c", Kind::Number(-10.0, 10.0), "what counts as frost"),
    Column::optional("sd_spring_days", DAYS, "spread of the spring date"),
    Column::optional("sd_fall_days", DAYS, "spread of the autumn date"),
    Column::optional("frost_free_days_0c", DAYS, "days free of 0 C"),
    Column::optional("frost_free_days_minus2_2c", DAYS, "days free of -2.2 C"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static FROST_DATES: Table = Table {
    file: "frost_dates.csv",
    text: include_str!("tables/frost_dates.csv"),
    columns: FROST_COLUMNS,
    subject: &["place"],
    told_apart_by: &[],
    attributes: None,
};

pub(super) fn frosts(look: &Look<'_>, problems: &mut Problems) -> Vec<FrostDates> {
    look.tables.read(&FROST_DATES, problems, |cells| {
        Some(FrostDates {
            place: cells.text("place")?.into(),
            latitude: cells.number("lat"),
            longitude: cells.number("lon"),
            last_spring: MonthDay::read(cells, "last_spring_frost_50pct"),
            first_autumn: MonthDay::read(cells, "first_fall_frost_50pct"),
            last_spring_one_in_ten: MonthDay::read(cells, "last_spring_frost_10pct_risk"),
            first_autumn_one_in_ten: MonthDay::read(cells, "first_fall_frost_10pct_risk"),
            last_spring_nine_in_ten: MonthDay::read(cells, "last_spring_frost_90pct_risk"),
            first_autumn_nine_in_ten: MonthDay::read(cells, "first_fall_frost_90pct_risk"),
            threshold_c: cells.number("threshold_c")?,
            spring_sd_days: cells.number("sd_spring_days"),
            frost_free_days: cells.number("frost_free_days_0c"),
            frost_free_days_hard: cells.number("frost_free_days_minus2_2c"),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
