//! Figures in long form: one crop, one field, one figure a row, each with its own source.
//!
//! Two tables have this form, the crops' (temperatures, days, distances, nutrients) and the
//! covers' (winter kill, biomass, seed). They are large and one answer needs few of their rows,
//! so each is read at the first question.

use std::sync::OnceLock;

use super::citation::Citation;
use super::crops::Crops;
use super::ids::CropId;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, rows};
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// Which of several figures for the same thing to use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Preference {
    /// The one to use.
    Preferred,
    /// A second source.
    Second,
    /// A weaker stand-in.
    Weak,
}

/// One figure.
#[derive(Clone, Debug)]
pub struct Figure {
    /// The crop.
    pub crop: CropId,
    /// What is measured; the unit is part of the name, or stands in `unit`.
    pub field: Box<str>,
    /// The range, if the figure is a number.
    pub range: Option<Estimate>,
    /// The figure as printed, or a word.
    pub text: Box<str>,
    /// Whether to prefer it.
    pub preference: Preference,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const STANDINGS: &[&str] = &[
    "preferred",
    "second_source",
    "weaker_stand_in",
    "weaker_stand_in;_only_figure_found",
    "second",
    "weak",
];

pub(super) const CROP_COLUMNS: &[Column] = &[
    Column::required(
        "table",
        Kind::Choice(&["growth", "spacing", "nutrients"]),
        "which kind of figure",
    ),
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("field", Kind::Text(60), "what is measured, with its unit"),
    Column::required("value", Kind::Text(400), "the figure, a range low-high, or a word"),
    Column::required(
        "standing",
        Kind::Choice(STANDINGS),
        "preferred, second source, weaker stand-in",
    ),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) const COVER_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key of the cover"),
    Column::required("field", Kind::Text(60), "what is measured"),
    Column::optional("low", ANY, "low end"),
    Column::optional("high", ANY, "high end"),
    Column::optional("text", Kind::Text(400), "a word, where the figure is not a number"),
    Column::optional("unit", Kind::Text(30), "unit"),
    Column::required("standing", Kind::Choice(STANDINGS), "preferred, second, weak"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

fn preference(at: usize) -> Preference {
    match at {
        0 => Preference::Preferred,
        1 | 4 => Preference::Second,
        _ => Preference::Weak,
    }
}

/// `45.7-61` or `80` or `-8`; `None` for words.
pub(super) fn parse_range(value: &str) -> Option<Estimate> {
    if let Ok(number) = value.parse::<f64>() {
        return Some(Estimate::exact(number));
    }
    let dash = value.get(1..)?.find('-')? + 1;
    let low = value[..dash].trim().parse::<f64>().ok()?;
    let high = value[dash + 1..].trim().parse::<f64>().ok()?;
    Some(Estimate::between(low, high))
}

#[derive(Clone, Copy, Debug)]
enum Form {
    Crops,
    Covers,
}

/// One long table.
#[derive(Debug)]
pub(super) struct Figures {
    text: &'static str,
    form: Form,
    rows: OnceLock<Vec<Figure>>,
}

impl Figures {
    pub(super) fn of_crops(text: &'static str) -> Self {
        Self { text, form: Form::Crops, rows: OnceLock::new() }
    }

    pub(super) fn of_covers(text: &'static str) -> Self {
        Self { text, form: Form::Covers, rows: OnceLock::new() }
    }

    pub(super) fn rows(&self, crops: &Crops) -> &[Figure] {
        self.rows.get_or_init(|| {
            let mut problems = Problems::default();
            self.read(crops, &mut problems)
        })
    }

    pub(super) fn read(&self, crops: &Crops, problems: &mut Problems) -> Vec<Figure> {
        let mut figures = match self.form {
            Form::Crops => rows("crop_figures.csv", self.text, CROP_COLUMNS, problems, |cells| {
                cells.choice("table")?;
                let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
                let field = cells.text("field")?.into();
                let value = cells.text("value")?;
                Some(Figure {
                    crop: crop?,
                    field,
                    range: parse_range(value),
                    text: value.into(),
                    preference: preference(cells.choice("standing")?),
                    note: Box::default(),
                    citation: citation(cells)?,
                })
            }),
            Form::Covers => {
                rows("cover_figures.csv", self.text, COVER_COLUMNS, problems, |cells| {
                    let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
                    let field = cells.text("field")?.into();
                    let range = super::table::range(cells, "low", "high");
                    let text = cells.text("text").unwrap_or_default().into();
                    let preference = preference(cells.choice("standing")?);
                    let citation = citation(cells)?;
                    let note = cells.text("note").unwrap_or_default().into();
                    Some(Figure { crop: crop?, field, range, text, preference, note, citation })
                })
            }
        };
        figures.sort_by(|a, b| {
            (a.crop, &a.field, a.preference).cmp(&(b.crop, &b.field, b.preference))
        });
        figures
    }
}

/// The figures of one crop in one field, preferred first.
pub(super) fn of<'k>(rows: &'k [Figure], crop: CropId, field: &str) -> &'k [Figure] {
    let begins = rows.partition_point(|row| (row.crop, &*row.field) < (crop, field));
    let length = rows[begins..].partition_point(|row| row.crop == crop && &*row.field == field);
    &rows[begins..begins + length]
}

#[cfg(test)]
mod tests {
    use super::parse_range;

    #[test]
    fn ranges_and_negative_figures_are_told_apart() {
        let range = |text| parse_range(text).map(|range| (range.low, range.high));
        assert_eq!(range("45.7-61"), Some((45.7, 61.0)));
        assert_eq!(range("-8"), Some((-8.0, -8.0)));
        assert_eq!(range("-12--8"), Some((-12.0, -8.0)));
        assert_eq!(range("medium"), None);
    }
}
