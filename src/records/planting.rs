//! What stood or stands where.

use super::{Lookup, Place, columns};
use crate::knowledge::{CropId, Knowledge, Piece};
use crate::origin::Origin;
use crate::season::{Date, Interval};
use crate::tabular::{Cells, Column, Kind, Problem};
use crate::units::{Centimetres, Dimension, SquareMetres};

/// How the plants came to stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// Sown in place.
    Sown,
    /// Set out as plants, or planted as cloves, bulbs, tubers and the like.
    Transplanted,
    /// Came by itself: a volunteer or a weed.
    Volunteer,
}

impl Method {
    /// The words of the column.
    pub const WORDS: &'static [&'static str] = &["sown", "transplanted", "volunteer"];

    /// Other words that growers write for them.
    const ALSO: &'static [(&'static str, &'static str)] = &[
        ("sowed", "sown"),
        ("seed", "sown"),
        ("seeds", "sown"),
        ("direct", "sown"),
        ("direct_sown", "sown"),
        ("broadcast", "sown"),
        ("planted", "transplanted"),
        ("planted_out", "transplanted"),
        ("set_out", "transplanted"),
        ("transplant", "transplanted"),
        ("transplants", "transplanted"),
        ("plants", "transplanted"),
        ("plugs", "transplanted"),
        ("seedlings", "transplanted"),
        ("cloves", "transplanted"),
        ("sets", "transplanted"),
        ("bulbs", "transplanted"),
        ("tubers", "transplanted"),
        ("crowns", "transplanted"),
        ("roots", "transplanted"),
        ("runners", "transplanted"),
        ("slips", "transplanted"),
        ("self_sown", "volunteer"),
        ("self_seeded", "volunteer"),
    ];

    /// The word as written.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// The variant of a place in [`Method::WORDS`].
    #[must_use]
    pub fn at(index: usize) -> Self {
        [Self::Sown, Self::Transplanted, Self::Volunteer][index]
    }
}

/// A start in the word a grower has for it: seed is sown, plants are set out, pieces are planted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Started {
    /// Seed, in place.
    Sown,
    /// Plants raised elsewhere, or rooted shoots.
    SetOut,
    /// Cloves, bulbs, tubers and the like, which come up where they are put.
    Planted(Piece),
}

impl Started {
    /// How a crop is started. What has pieces is started from them, whatever word a record has.
    #[must_use]
    pub fn of(knowledge: &Knowledge, crop: CropId, method: Method) -> Self {
        match (knowledge.piece(crop), method) {
            (Some(Piece::Slips), _) | (None, Method::Transplanted) => Self::SetOut,
            (Some(piece), _) => Self::Planted(piece),
            (None, Method::Sown | Method::Volunteer) => Self::Sown,
        }
    }

    /// The method by which the records know it.
    #[must_use]
    pub fn method(self) -> Method {
        match self {
            Self::Sown => Method::Sown,
            Self::SetOut | Self::Planted(_) => Method::Transplanted,
        }
    }
}

/// What became of the plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Residue {
    /// Carried off.
    Removed,
    /// Composted.
    Composted,
    /// Left on the surface.
    Left,
    /// Dug in.
    DugIn,
}

impl Residue {
    const WORDS: &'static [&'static str] = &["removed", "composted", "left", "dug_in"];
    const ALL: [Self; 4] = [Self::Removed, Self::Composted, Self::Left, Self::DugIn];

    /// The word as written.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// One planting.
#[derive(Clone, Debug, PartialEq)]
pub struct Planting {
    /// Bed and section.
    pub place: Place,
    /// Crop.
    pub crop: CropId,
    /// Variety in the grower's words.
    pub variety: Box<str>,
    /// Rootstock, if grafted.
    pub rootstock: Box<str>,
    /// Resistance codes of the seed trade.
    pub resistance: Box<str>,
    /// How it came to stand.
    pub method: Option<Method>,
    /// From when to when it stood.
    pub stood: Interval,
    /// Number of plants.
    pub plants: Option<i64>,
    /// Area taken.
    pub area: Option<SquareMetres>,
    /// Distance between rows.
    pub row_spacing: Option<Centimetres>,
    /// Distance in the row.
    pub plant_spacing: Option<Centimetres>,
    /// What became of the plants.
    pub residue: Option<Residue>,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Planting {
    /// Columns of `plantings.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        columns::CROP,
        Column::optional("variety", Kind::Text(80), "variety, in your own words"),
        Column::optional("rootstock", Kind::Text(80), "rootstock, if grafted"),
        Column::optional(
            "resistance",
            Kind::Text(120),
            "resistance codes from the seed packet, separated by blanks",
        ),
        Column::optional(
            "method",
            Kind::Choice(Method::WORDS),
            "sown; transplanted (plants, sets, cloves, tubers ...); volunteer (came by itself)",
        ),
        Column::required("planted", Kind::Date, "day sown, set out or first seen, yyyy-mm-dd"),
        Column::optional("removed", Kind::Date, "day cleared; blank while it still stands"),
        Column::optional("plants", Kind::Whole(1, 1_000_000), "number of plants"),
        Column::optional(
            "area_m2",
            Kind::Measured(Dimension::Area, 0.01, 1_000_000.0),
            "area taken",
        ),
        Column::optional(
            "row_spacing_cm",
            Kind::Measured(Dimension::ShortLength, 1.0, 1000.0),
            "distance between rows",
        ),
        Column::optional(
            "plant_spacing_cm",
            Kind::Measured(Dimension::ShortLength, 1.0, 1000.0),
            "distance in the row",
        ),
        Column::optional(
            "residue",
            Kind::Choice(Residue::WORDS),
            "removed, composted, left or dug_in",
        ),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let crop = super::crop(cells, lookup);
        let variety = cells.text("variety").unwrap_or_default().into();
        let rootstock = cells.text("rootstock").unwrap_or_default().into();
        let resistance = cells.text("resistance").unwrap_or_default().into();
        let method = cells.choice_also("method", Method::ALSO).map(Method::at);
        let planted = cells.date("planted");
        let removed = cells.date("removed");
        if let (Some(planted), Some(removed)) = (planted, removed)
            && removed < planted
        {
            let start = planted.to_string();
            let hint = Some("are the two days exchanged, or is a year wrong?".to_owned());
            cells.problem("removed", Problem::EndsBeforeStart { start }, hint);
        }
        let plants = cells.whole("plants");
        let area = cells.number("area_m2").map(SquareMetres);
        let row_spacing = cells.number("row_spacing_cm").map(Centimetres);
        let plant_spacing = cells.number("plant_spacing_cm").map(Centimetres);
        let residue = cells.choice("residue").map(|at| Residue::ALL[at]);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            place: place?,
            crop: crop?,
            variety,
            rootstock,
            resistance,
            method,
            stood: Interval { start: planted?, end: removed },
            plants,
            area,
            row_spacing,
            plant_spacing,
            residue,
            note,
            origin,
        })
    }

    /// Day planted.
    #[must_use]
    pub fn planted(&self) -> Date {
        self.stood.start
    }

    /// Whether it came by itself.
    #[must_use]
    pub fn is_volunteer(&self) -> bool {
        self.method == Some(Method::Volunteer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_other_word_means_one_of_ours() {
        for (other, word) in Method::ALSO {
            assert!(Method::WORDS.contains(word), "{other}: {word}");
            assert!(!Method::WORDS.contains(other), "{other}");
        }
    }
}
