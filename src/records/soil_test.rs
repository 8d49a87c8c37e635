//! What a laboratory found in the soil: an assertion that checks the ledger and resets it.

use super::{Lookup, Place, columns};
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind};
use crate::units::{Percent, Ppm};

/// One soil test.
#[derive(Clone, Debug, PartialEq)]
pub struct SoilTest {
    /// Bed and section.
    pub place: Place,
    /// Day of sampling.
    pub date: Date,
    /// Acidity.
    pub ph: Option<f64>,
    /// Organic matter.
    pub organic_matter: Option<Percent>,
    /// Nitrate nitrogen.
    pub nitrate_n: Option<Ppm>,
    /// Phosphorus.
    pub p: Option<Ppm>,
    /// Extraction method of phosphorus, as a place in [`SoilTest::P_METHODS`].
    pub p_method: Option<usize>,
    /// Potassium.
    pub k: Option<Ppm>,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

const PPM: Kind = Kind::Number(0.0, 20_000.0);

impl SoilTest {
    /// Extraction methods for phosphorus; their figures are not comparable.
    pub const P_METHODS: &'static [&'static str] = &["olsen", "bray1", "mehlich3", "morgan"];

    /// Columns of `soil_tests.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        columns::DATE,
        Column::optional("ph", Kind::Number(2.0, 11.0), "acidity"),
        Column::optional("organic_matter_percent", Kind::Number(0.0, 100.0), "organic matter"),
        Column::optional("nitrate_n_ppm", PPM, "nitrate nitrogen"),
        Column::optional("p_ppm", PPM, "phosphorus"),
        Column::optional("p_method", Kind::Choice(Self::P_METHODS), "how phosphorus was extracted"),
        Column::optional("k_ppm", PPM, "potassium"),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let date = cells.date("date");
        let ph = cells.number("ph");
        let organic_matter = cells.number("organic_matter_percent").map(Percent);
        let nitrate_n = cells.number("nitrate_n_ppm").map(Ppm);
        let p = cells.number("p_ppm").map(Ppm);
        let p_method = cells.choice("p_method");
        let k = cells.number("k_ppm").map(Ppm);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            place: place?,
            date: date?,
            ph,
            organic_matter,
            nitrate_n,
            p,
            p_method,
            k,
            note,
            origin,
        })
    }
}
