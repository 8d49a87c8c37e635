//! Published planting windows, to hold the derived ones against. A month that is missing was not
//! seen; it does not say "do not plant".

use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::month_day::MonthDay;
use super::table::{HOW, LOCATOR, SOURCE, citation};
use super::tables::Table;
use crate::tabular::{Column, Kind, Problems};

/// One window. It wraps the year where its end lies before its start.
#[derive(Clone, Debug)]
pub struct PlantingWindow {
    /// The crop.
    pub crop: CropId,
    /// Where.
    pub region: Box<str>,
    /// Whether plants are set out; seed is sown otherwise.
    pub transplanted: bool,
    /// First day.
    pub start: MonthDay,
    /// Last day.
    pub end: MonthDay,
    /// Where from.
    pub citation: Citation,
}

impl PlantingWindow {
    /// Whether a day lies within.
    #[must_use]
    pub fn holds(&self, day: MonthDay) -> bool {
        if self.start <= self.end {
            self.start <= day && day <= self.end
        } else {
            self.start <= day || day <= self.end
        }
    }
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("region", Kind::Text(80), "where"),
    Column::required("method", Kind::Choice(&["seed", "transplant"]), "seed or transplant"),
    Column::required("start_month_day", Kind::Text(5), "first day, mm-dd"),
    Column::required("end_month_day", Kind::Text(5), "last day, mm-dd"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static WINDOWS: Table = Table {
    file: "windows.csv",
    text: include_str!("tables/windows.csv"),
    columns: COLUMNS,
    subject: &["crop", "region", "method"],
    told_apart_by: &["start_month_day", "end_month_day", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<PlantingWindow> {
    look.tables.read(&WINDOWS, problems, |cells| {
        let crop = cells.name("crop", |key| look.crops.find(key).ok_or_else(Vec::new));
        let region = cells.text("region")?.into();
        let transplanted = cells.choice("method")? == 1;
        let start = MonthDay::read(cells, "start_month_day");
        let end = MonthDay::read(cells, "end_month_day");
        let citation = citation(cells)?;
        Some(PlantingWindow {
            crop: crop?,
            region,
            transplanted,
            start: start?,
            end: end?,
            citation,
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knowledge::How;

    #[test]
    fn a_window_may_wrap_the_year() {
        let day = |text| MonthDay::parse(text).unwrap();
        let window = PlantingWindow {
            crop: CropId(0),
            region: "anywhere".into(),
            transplanted: false,
            start: day("10-15"),
            end: day("02-28"),
            citation: Citation::new("memory", "", How::Memory),
        };
        assert!(window.holds(day("12-31")));
        assert!(window.holds(day("02-28")));
        assert!(!window.holds(day("03-01")));
    }
}
