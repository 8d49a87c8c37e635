//! Limits of growth: temperatures of fruit set, ripening, bolting and killing, light, daylength.
//!
//! Rows are keyed by the words of the table, because a few speak of a kind within a crop
//! (`tomato_cherry`, `onion_short_day`) that is no crop of its own in the crops table.

use super::Knowledge;
use super::citation::Citation;
use super::later::Look;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, written_range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// One limit.
#[derive(Clone, Debug)]
pub struct Threshold {
    /// Key of the crop or of a kind within it.
    pub subject: Box<str>,
    /// What is limited, with its unit (`fruit_set_night_min_c`, ...).
    pub limit: Box<str>,
    /// The figure; `None` where it is a word.
    pub range: Option<Estimate>,
    /// As printed.
    pub text: Box<str>,
    /// Unit.
    pub unit: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl Threshold {
    /// Whether the table itself marks the row as one to confirm.
    #[must_use]
    pub fn is_weak(&self) -> bool {
        self.note.contains("weak source")
    }
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Text(60), "crop key, or a kind within a crop"),
    Column::required("trait", Kind::Text(60), "what is limited, with its unit"),
    Column::required("value", Kind::Text(400), "the figure, a range low-high, or words"),
    Column::required("unit", Kind::Text(20), "unit"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static CROP_THRESHOLDS: Table = Table {
    file: "crop_thresholds.csv",
    text: include_str!("tables/crop_thresholds.csv"),
    columns: COLUMNS,
    subject: &["crop", "trait"],
    told_apart_by: &["value", "source", "note"],
    attributes: None,
};

/// `-2 to -3`, `14+`, or what the figures read.
fn parse(value: &str) -> Option<Estimate> {
    if let Some((low, high)) = value.split_once(" to ") {
        return Some(Estimate::between(low.trim().parse().ok()?, high.trim().parse().ok()?));
    }
    written_range(value.strip_suffix('+').unwrap_or(value))
}

/// The rows by subject and limit: weak rows last, and among equals the order of the table, which
/// puts the better first.
pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Threshold> {
    let mut all = look.tables.read(&CROP_THRESHOLDS, problems, |cells| {
        let subject = cells.text("crop")?.into();
        let limit = cells.text("trait")?.into();
        let text = cells.text("value")?;
        Some(Threshold {
            subject,
            limit,
            range: parse(text),
            text: text.into(),
            unit: cells.text("unit")?.into(),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    });
    all.sort_by(|a, b| {
        (&a.subject, &a.limit, a.is_weak(), a.citation.how).cmp(&(
            &b.subject,
            &b.limit,
            b.is_weak(),
            b.citation.how,
        ))
    });
    all
}

impl Knowledge {
    /// Limits of a crop, or of a kind within it (`tomato_cherry`), in one respect
    /// (`fruit_set_night_min_c`, `bolting_trigger_temp_c`, ...), best known first.
    #[must_use]
    pub fn thresholds(&self, subject: &str, limit: &str) -> &[Threshold] {
        let all = self.threshold_rows();
        let begins = all.partition_point(|row| (&*row.subject, &*row.limit) < (subject, limit));
        let ends = all.partition_point(|row| (&*row.subject, &*row.limit) <= (subject, limit));
        &all[begins..ends]
    }
}

#[cfg(test)]
mod tests {
    use super::parse;

    #[test]
    fn the_three_ways_of_writing_a_limit() {
        let ends = |text| parse(text).map(|range| (range.low, range.high));
        assert_eq!(ends("-2 to -3"), Some((-3.0, -2.0)));
        assert_eq!(ends("14+"), Some((14.0, 14.0)));
        assert_eq!(ends("12.8-23.9"), Some((12.8, 23.9)));
        assert_eq!(ends("high temperature"), None);
    }
}
