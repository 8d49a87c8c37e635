//! What the grower would like to pick.

use super::{Lookup, columns};
use crate::knowledge::CropId;
use crate::origin::Origin;
use crate::tabular::{Cells, Column, Kind, Problem};
use crate::units::{Dimension, Kilograms, SquareMetres};

/// When.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Season {
    /// A month, 1 to 12.
    Month(u32),
    /// March to May in the north, September to November in the south.
    Spring,
    /// The three months after spring.
    Summer,
    /// The three months after summer.
    Autumn,
    /// The three months after autumn.
    Winter,
    /// Any time.
    Any,
}

impl Season {
    /// The word as written: a month's number or a season.
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Self::Month(month) => month.to_string(),
            Self::Spring => "spring".to_owned(),
            Self::Summer => "summer".to_owned(),
            Self::Autumn => "autumn".to_owned(),
            Self::Winter => "winter".to_owned(),
            Self::Any => String::new(),
        }
    }
}

/// One wish.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// Crop.
    pub crop: CropId,
    /// Mass wished.
    pub mass: Option<Kilograms>,
    /// Area wished.
    pub area: Option<SquareMetres>,
    /// When.
    pub season: Season,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Wish {
    /// Columns of `wishes.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::CROP,
        Column::optional("mass_kg", Kind::Measured(Dimension::Mass, 0.0, 100_000.0), "mass wished"),
        Column::optional(
            "area_m2",
            Kind::Measured(Dimension::Area, 0.0, 1_000_000.0),
            "area wished",
        ),
        Column::optional(
            "month",
            Kind::Text(10),
            "month 1 to 12, or spring, summer, autumn, winter",
        ),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let crop = super::crop(cells, lookup);
        let mass = cells.number("mass_kg").map(Kilograms);
        let area = cells.number("area_m2").map(SquareMetres);
        let season = season(cells);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self { crop: crop?, mass, area, season, note, origin })
    }
}

fn season(cells: &mut Cells<'_>) -> Season {
    let Some(written) = cells.text("month") else {
        return Season::Any;
    };
    match written.to_ascii_lowercase().as_str() {
        "spring" => Season::Spring,
        "summer" => Season::Summer,
        "autumn" | "fall" => Season::Autumn,
        "winter" => Season::Winter,
        number => match number.parse::<u32>() {
            Ok(month) if (1..=12).contains(&month) => Season::Month(month),
            _ => {
                let hint = Some("write 1 to 12, or spring, summer, autumn, winter".to_owned());
                cells.problem("month", Problem::OutOfRange { least: 1.0, most: 12.0 }, hint);
                Season::Any
            }
        },
    }
}
