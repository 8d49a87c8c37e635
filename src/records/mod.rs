//! What a grower writes: immutable records, each with the line it was read from.
//!
//! One file a kind of record: its columns (from which header checks, schemas and templates are
//! made), its type, and how a row becomes one. Rows that cannot become a record leave located
//! problems behind; nothing is guessed.

mod amendment;
mod bed;
mod checkup;
mod exception;
mod garden;
mod harvest;
mod kinds;
mod lookup;
mod names;
mod observation;
mod of_beds;
mod planting;
mod site;
mod soil_test;
mod tally;
mod treatment;
mod wish;

pub use amendment::{Amendment, Amount};
pub use bed::{Bed, BedKind};
pub use checkup::{Check, CheckResult, Checkup};
pub use exception::Exception;
pub use garden::{Garden, Place, natural_order};
pub use harvest::Harvest;
pub(crate) use kinds::Fnv;
pub use kinds::{Record, RecordKind};
pub use lookup::{BedNames, Lookup};
pub use observation::{Certainty, Extent, Observation, Seen};
pub use of_beds::{InBed, OfBeds, Placed};
pub use planting::{Method, Planting, Residue, Started};
pub use site::{ClimateMonth, FrostDay, Site, WeatherDay};
pub use soil_test::SoilTest;
pub use tally::Tally;
pub use treatment::{Practice, Treatment};
pub use wish::{Season, Wish};

use crate::tabular::Cells;

/// The bed and section cells that most records begin with.
fn place(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Place> {
    let bed = cells.name("bed", |written| lookup.bed(written));
    let section = cells.text("section").map(Box::from);
    Some(Place { bed: bed?, section })
}

/// The crop cell.
fn crop(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<crate::knowledge::CropId> {
    let crop = cells.name("crop", |written| lookup.crop(written));
    if crop.is_none()
        && !cells.written("crop").is_empty()
        && let Some(hint) = names::of_no_crop(cells.written("crop"), lookup)
    {
        cells.advise(hint);
    }
    crop
}

mod columns {
    //! Columns that several kinds of record share.
    use crate::tabular::{Column, Kind};

    pub(super) const BED: Column =
        Column::required("bed", Kind::Name("bed"), "name of the bed, as in beds.csv");
    pub(super) const SECTION: Column =
        Column::optional("section", Kind::Text(40), "part of the bed; blank for the whole bed");
    pub(super) const CROP: Column =
        Column::required("crop", Kind::Name("crop"), "crop, cover or weed; any common name");
    pub(super) const NOTE: Column = Column::optional("note", Kind::Text(2000), "anything else");
    pub(super) const DATE: Column = Column::required("date", Kind::Date, "day, yyyy-mm-dd");
}
