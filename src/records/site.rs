//! Where the garden lies and what weather it has.

use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind, Problem};
use crate::units::{Celsius, Dimension, Metres, Millimetres};

/// The site; a garden has one.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Name of the garden.
    pub name: Box<str>,
    /// Degrees, north positive. Its sign gives the hemisphere.
    pub latitude: f64,
    /// Degrees, east positive.
    pub longitude: f64,
    /// Height above sea.
    pub elevation: Option<Metres>,
    /// Last frost of spring.
    pub last_frost: FrostDay,
    /// First frost of autumn.
    pub first_frost: FrostDay,
    /// Where written.
    pub origin: Origin,
}

/// A frost date as the grower gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrostDay {
    /// Not given.
    Unknown,
    /// Frost does not come in most years.
    NoneInMostYears,
    /// Month and day.
    On(u32, u32),
}

impl Site {
    /// Columns of `site.csv`.
    pub const COLUMNS: &'static [Column] = &[
        Column::required("name", Kind::Text(80), "name of the garden"),
        Column::required("latitude", Kind::Number(-90.0, 90.0), "degrees, south negative"),
        Column::required("longitude", Kind::Number(-180.0, 180.0), "degrees, west negative"),
        Column::optional(
            "elevation_m",
            Kind::Measured(Dimension::Length, -450.0, 6000.0),
            "height above sea",
        ),
        Column::optional(
            "last_frost",
            Kind::Text(40),
            "usual last frost, mm-dd, or `none in most years`",
        ),
        Column::optional(
            "first_frost",
            Kind::Text(40),
            "usual first frost, mm-dd, or `none in most years`",
        ),
    ];

    pub(super) fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let name = cells.text("name").map(Box::from);
        let latitude = cells.number("latitude");
        let longitude = cells.number("longitude");
        let elevation = cells.number("elevation_m").map(Metres);
        let last_frost = frost_day(cells, "last_frost");
        let first_frost = frost_day(cells, "first_frost");
        let origin = cells.origin();
        Some(Self {
            name: name?,
            latitude: latitude?,
            longitude: longitude?,
            elevation,
            last_frost,
            first_frost,
            origin,
        })
    }

    /// Whether the garden lies south of the equator.
    #[must_use]
    pub fn is_southern(&self) -> bool {
        self.latitude < 0.0
    }
}

fn frost_day(cells: &mut Cells<'_>, name: &'static str) -> FrostDay {
    let Some(written) = cells.text(name) else {
        return FrostDay::Unknown;
    };
    if written.to_ascii_lowercase().starts_with("none") {
        return FrostDay::NoneInMostYears;
    }
    let day = written.split_once('-').and_then(|(month, day)| {
        let (month, day) = (month.parse().ok()?, day.parse().ok()?);
        // A leap year, so that February 29 is a day.
        Date::from_ymd_opt(2024, month, day).map(|_| FrostDay::On(month, day))
    });
    day.unwrap_or_else(|| {
        let hint = "write month and day like 04-15, or `none in most years`".to_owned();
        cells.problem(name, Problem::NotADay, Some(hint));
        FrostDay::Unknown
    })
}

/// The normals of one month.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateMonth {
    /// 1 to 12.
    pub month: u32,
    /// Mean daily minimum.
    pub tmin: Celsius,
    /// Mean daily maximum.
    pub tmax: Celsius,
    /// Rain of the month.
    pub rain: Option<Millimetres>,
    /// Spread (standard deviation) of daily minima.
    pub tmin_sd: Option<Celsius>,
    /// Where written.
    pub origin: Origin,
}

impl ClimateMonth {
    /// Columns of `climate.csv`.
    pub const COLUMNS: &'static [Column] = &[
        Column::required("month", Kind::Whole(1, 12), "month, 1 to 12"),
        Column::required(
            "tmin_c",
            Kind::Measured(Dimension::Temperature, -70.0, 45.0),
            "mean daily minimum",
        ),
        Column::required(
            "tmax_c",
            Kind::Measured(Dimension::Temperature, -60.0, 60.0),
            "mean daily maximum",
        ),
        Column::optional(
            "rain_mm",
            Kind::Measured(Dimension::Rain, 0.0, 5000.0),
            "rain of the month",
        ),
        Column::optional(
            "tmin_sd_c",
            Kind::Measured(Dimension::TemperatureSpread, 0.0, 20.0),
            "standard deviation of daily minima",
        ),
    ];

    pub(super) fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let month = cells.whole("month").and_then(|month| u32::try_from(month).ok());
        let tmin = cells.number("tmin_c").map(Celsius);
        let tmax = cells.number("tmax_c").map(Celsius);
        let rain = cells.number("rain_mm").map(Millimetres);
        let tmin_sd = cells.number("tmin_sd_c").map(Celsius);
        if let (Some(tmin), Some(tmax)) = (tmin, tmax)
            && tmin > tmax
        {
            let hint = Some("the minimum is above the maximum: are the two exchanged?".to_owned());
            cells.problem("tmin_c", Problem::OutOfRange { least: -70.0, most: tmax.0 }, hint);
        }
        let origin = cells.origin();
        Some(Self { month: month?, tmin: tmin?, tmax: tmax?, rain, tmin_sd, origin })
    }
}

/// The weather of one day; beats the normals.
#[derive(Clone, Debug, PartialEq)]
pub struct WeatherDay {
    /// The day.
    pub date: Date,
    /// Minimum.
    pub tmin: Celsius,
    /// Maximum.
    pub tmax: Celsius,
    /// Rain.
    pub rain: Option<Millimetres>,
    /// Where written.
    pub origin: Origin,
}

impl WeatherDay {
    /// Columns of `weather.csv`.
    pub const COLUMNS: &'static [Column] = &[
        super::columns::DATE,
        Column::required(
            "tmin_c",
            Kind::Measured(Dimension::Temperature, -70.0, 45.0),
            "minimum of the day",
        ),
        Column::required(
            "tmax_c",
            Kind::Measured(Dimension::Temperature, -60.0, 60.0),
            "maximum of the day",
        ),
        Column::optional(
            "rain_mm",
            Kind::Measured(Dimension::Rain, 0.0, 2000.0),
            "rain of the day",
        ),
    ];

    pub(super) fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let date = cells.date("date");
        let tmin = cells.number("tmin_c").map(Celsius);
        let tmax = cells.number("tmax_c").map(Celsius);
        let rain = cells.number("rain_mm").map(Millimetres);
        let origin = cells.origin();
        Some(Self { date: date?, tmin: tmin?, tmax: tmax?, rain, origin })
    }
}
