//! What was picked.

use super::{Lookup, Place, columns};
use crate::knowledge::CropId;
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind};
use crate::units::{Dimension, Kilograms};

/// One picking.
#[derive(Clone, Debug, PartialEq)]
pub struct Harvest {
    /// Bed and section.
    pub place: Place,
    /// Day.
    pub date: Date,
    /// Crop.
    pub crop: CropId,
    /// Mass.
    pub mass: Kilograms,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Harvest {
    /// Columns of `harvests.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        columns::DATE,
        columns::CROP,
        Column::required("mass_kg", Kind::Measured(Dimension::Mass, 0.0, 100_000.0), "mass picked"),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let date = cells.date("date");
        let crop = super::crop(cells, lookup);
        let mass = cells.number("mass_kg").map(Kilograms);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self { place: place?, date: date?, crop: crop?, mass: mass?, note, origin })
    }
}
