//! The beds.

use super::BedNames;
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind, Problem};
use crate::units::{Centimetres, Dimension, Metres, SquareMetres};

/// What holds the soil.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BedKind {
    /// In the ground.
    Ground,
    /// Raised.
    Raised,
    /// A container.
    Container,
}

impl BedKind {
    const WORDS: &'static [&'static str] = &["ground", "raised", "container"];

    /// Other words that growers write for them.
    const ALSO: &'static [(&'static str, &'static str)] = &[
        ("in_ground", "ground"),
        ("in_the_ground", "ground"),
        ("open_ground", "ground"),
        ("soil", "ground"),
        ("border", "ground"),
        ("flat", "ground"),
        ("raised_bed", "raised"),
        ("box", "raised"),
        ("pot", "container"),
        ("tub", "container"),
        ("trough", "container"),
        ("planter", "container"),
        ("bag", "container"),
        ("grow_bag", "container"),
    ];

    /// The word as written.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// One bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Name.
    pub name: Box<str>,
    /// What holds the soil.
    pub kind: BedKind,
    /// Long side.
    pub length: Metres,
    /// Short side.
    pub width: Metres,
    /// Place in the plan, from the west.
    pub x: Option<Metres>,
    /// Place in the plan, from the south.
    pub y: Option<Metres>,
    /// Depth of soil that roots can use.
    pub soil_depth: Option<Centimetres>,
    /// Day from which the notes on this bed are complete; before it the history is unknown.
    pub records_from: Option<Date>,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Bed {
    /// Columns of `beds.csv`.
    pub const COLUMNS: &'static [Column] = &[
        Column::required("bed", Kind::Text(300), "name of the bed"),
        Column::required("kind", Kind::Choice(BedKind::WORDS), "ground, raised or container"),
        Column::required("length_m", Kind::Measured(Dimension::Length, 0.05, 1000.0), "long side"),
        Column::required("width_m", Kind::Measured(Dimension::Length, 0.05, 1000.0), "short side"),
        Column::optional(
            "x_m",
            Kind::Measured(Dimension::Length, -10_000.0, 10_000.0),
            "place in the plan, from the west",
        ),
        Column::optional(
            "y_m",
            Kind::Measured(Dimension::Length, -10_000.0, 10_000.0),
            "place in the plan, from the south",
        ),
        Column::optional(
            "soil_depth_cm",
            Kind::Measured(Dimension::ShortLength, 1.0, 500.0),
            "depth roots can use",
        ),
        Column::optional(
            "records_from",
            Kind::Date,
            "day from which the notes on this bed are complete",
        ),
        super::columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, known: &BedNames) -> Option<Self> {
        let name: Option<Box<str>> = cells.text("bed").map(Box::from);
        if let Some(name) = &name
            && known.find(name).is_some()
        {
            let hint = Some("a bed is described once: delete one of the two lines".to_owned());
            cells.problem(
                "bed",
                Problem::Duplicate { earlier: "an earlier line".to_owned() },
                hint,
            );
        }
        let kind = cells
            .choice_also("kind", BedKind::ALSO)
            .map(|at| [BedKind::Ground, BedKind::Raised, BedKind::Container][at]);
        let length = cells.number("length_m").map(Metres);
        let width = cells.number("width_m").map(Metres);
        let x = cells.number("x_m").map(Metres);
        let y = cells.number("y_m").map(Metres);
        let soil_depth = cells.number("soil_depth_cm").map(Centimetres);
        let records_from = cells.date("records_from");
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            name: name?,
            kind: kind?,
            length: length?,
            width: width?,
            x,
            y,
            soil_depth,
            records_from,
            note,
            origin,
        })
    }

    /// Area of the bed.
    #[must_use]
    pub fn area(&self) -> SquareMetres {
        self.length.by(self.width)
    }
}
