//! What was put on the soil.

use super::{Lookup, Place, columns};
use crate::knowledge::Named;
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind, Problem};
use crate::units::{Centimetres, Dimension, Kilograms, Litres, Percent};

/// How much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// By mass.
    Mass(Kilograms),
    /// By volume.
    Volume(Litres),
    /// Spread so deep.
    Depth(Centimetres),
    /// Not given.
    Unknown,
}

/// One amendment.
#[derive(Clone, Debug, PartialEq)]
pub struct Amendment {
    /// Bed and section.
    pub place: Place,
    /// Day.
    pub date: Date,
    /// Key of the material.
    pub material: Box<str>,
    /// How much.
    pub amount: Amount,
    /// Nitrogen by analysis.
    pub n: Option<Percent>,
    /// Phosphorus (elemental) by analysis.
    pub p: Option<Percent>,
    /// Potassium (elemental) by analysis.
    pub k: Option<Percent>,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

const PERCENT: Kind = Kind::Number(0.0, 100.0);

impl Amendment {
    /// Columns of `amendments.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        columns::DATE,
        Column::required("material", Kind::Name("material"), "what was put on"),
        Column::optional("mass_kg", Kind::Measured(Dimension::Mass, 0.0, 1_000_000.0), "mass"),
        Column::optional(
            "volume_l",
            Kind::Measured(Dimension::Volume, 0.0, 10_000_000.0),
            "volume",
        ),
        Column::optional(
            "depth_cm",
            Kind::Measured(Dimension::ShortLength, 0.0, 200.0),
            "depth spread",
        ),
        Column::optional("n_percent", PERCENT, "nitrogen by analysis"),
        Column::optional("p_percent", PERCENT, "phosphorus (elemental) by analysis"),
        Column::optional("k_percent", PERCENT, "potassium (elemental) by analysis"),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let date = cells.date("date");
        let knowledge = lookup.knowledge;
        let material = cells.name("material", |written| {
            knowledge.names.find(Named::Material, written).map(Box::<str>::from)
        });
        let mass = cells.number("mass_kg").map(Kilograms);
        let volume = cells.number("volume_l").map(Litres);
        let depth = cells.number("depth_cm").map(Centimetres);
        let given = usize::from(mass.is_some())
            + usize::from(volume.is_some())
            + usize::from(depth.is_some());
        if given > 1 {
            let problem = Problem::Other("the amount is given twice");
            cells.problem(
                "volume_l",
                problem,
                Some("keep mass, volume or depth, and leave the others blank".to_owned()),
            );
        }
        let amount = match (mass, volume, depth) {
            (Some(mass), ..) => Amount::Mass(mass),
            (_, Some(volume), _) => Amount::Volume(volume),
            (_, _, Some(depth)) => Amount::Depth(depth),
            (None, None, None) => Amount::Unknown,
        };
        let n = cells.number("n_percent").map(Percent);
        let p = cells.number("p_percent").map(Percent);
        let k = cells.number("k_percent").map(Percent);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            place: place?,
            date: date?,
            material: material?,
            amount,
            n,
            p,
            k,
            note,
            origin,
        })
    }
}
