//! A table's text with its measured columns in other units: header and cells, nothing else.

use super::column::{Column, Kind};
use super::scan::matching;
use crate::units::{UnitSystem, exact_digits};

/// The same table with every measured column in the units of a system. Cells that are no plain
/// number, and columns that are not measured, stay as they are written.
#[must_use]
pub fn in_units(text: &str, columns: &'static [Column], system: UnitSystem) -> String {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let mut measured = Vec::new();
    for (row, record) in reader.records().flatten().enumerate() {
        let cells: Vec<String> = if row == 0 {
            measured = record.iter().map(|name| Measured::of(name, columns, system)).collect();
            record
                .iter()
                .zip(&measured)
                .map(|(name, to)| to.as_ref().map_or_else(|| name.to_owned(), |to| to.name.clone()))
                .collect()
        } else {
            record
                .iter()
                .enumerate()
                .map(|(at, cell)| {
                    let to = measured.get(at).and_then(Option::as_ref);
                    to.and_then(|to| to.cell(cell)).unwrap_or_else(|| cell.to_owned())
                })
                .collect()
        };
        // A vector takes all that is written.
        if writer.write_record(&cells).is_err() {
            return text.to_owned();
        }
    }
    writer
        .into_inner()
        .ok()
        .and_then(|bytes| String::from_utf8(bytes).ok())
        .unwrap_or_else(|| text.to_owned())
}

/// A measured column on its way from one unit to another.
struct Measured {
    name: String,
    from: crate::units::Conversion,
    to: crate::units::Conversion,
}

impl Measured {
    fn of(written: &str, columns: &'static [Column], system: UnitSystem) -> Option<Self> {
        let name = written.trim();
        let (at, from) = matching(name, columns)?;
        let Kind::Measured(dimension, ..) = columns[at].kind else { return None };
        let (suffix, to) = dimension.shown_in(system);
        Some(Self { name: format!("{}_{suffix}", columns[at].bare_name()), from, to })
    }

    fn cell(&self, written: &str) -> Option<String> {
        let number: f64 = written.trim().parse().ok().filter(|number: &f64| number.is_finite())?;
        Some(exact_digits(self.to.back(self.from.apply(number))))
    }
}
