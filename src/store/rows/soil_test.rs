//! Soil tests.

use super::values::{Entry, day, optional_text, real, text};
use super::{BED, Columns, DAY, NOTE, Reading, SECTION, Stored};
use crate::knowledge::Knowledge;
use crate::origin::Origin;
use crate::records::SoilTest;
use crate::store::terms::Terms;
use crate::units::{Percent, Ppm};

impl Stored for SoilTest {
    const SQL: Columns = &[
        BED,
        SECTION,
        DAY,
        ("ph", "REAL"),
        ("organic_matter_percent", "REAL"),
        ("nitrate_n_ppm", "REAL"),
        ("p_ppm", "REAL"),
        ("p_method", "TEXT"),
        ("k_ppm", "REAL"),
        NOTE,
    ];

    fn values<'v>(
        &'v self,
        _knowledge: &'v Knowledge,
        terms: &mut Terms<'_>,
    ) -> rusqlite::Result<Vec<Entry<'v>>> {
        Ok(vec![
            terms.bed(&self.place.bed)?,
            optional_text(self.place.section.as_deref()),
            day(self.date),
            real(self.ph),
            real(self.organic_matter.map(|share| share.0)),
            real(self.nitrate_n.map(|ppm| ppm.0)),
            real(self.p.map(|ppm| ppm.0)),
            optional_text(self.p_method.map(|at| SoilTest::P_METHODS[at])),
            real(self.k.map(|ppm| ppm.0)),
            text(&self.note),
        ])
    }

    fn read(reading: &Reading<'_, '_>, origin: Origin) -> rusqlite::Result<Self> {
        Ok(SoilTest {
            place: reading.place(0)?,
            date: reading.day(2)?,
            ph: reading.some_real(3)?,
            organic_matter: reading.some_real(4)?.map(Percent),
            nitrate_n: reading.some_real(5)?.map(Ppm),
            p: reading.some_real(6)?.map(Ppm),
            p_method: reading
                .some_text(7)?
                .and_then(|word| SoilTest::P_METHODS.iter().position(|method| **method == *word)),
            k: reading.some_real(8)?.map(Ppm),
            note: reading.text(9)?,
            origin,
        })
    }
}
