//! Figures in long form: one crop, one field, one figure a row, each with its own source.
//!
//! Two tables have this form, the crops' (temperatures, days, distances, nutrients) and the
//! covers' (winter kill, biomass, seed). They are large and one answer needs few of their rows,
//! so each is read at the first question.

use std::sync::OnceLock;

use super::citation::Citation;
use super::crops::Crops;
use super::ids::CropId;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, written_range};
use super::tables::{Table, Tables};
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
    /// Unit, where the field's name does not tell it.
    pub unit: Box<str>,
    /// Whether to prefer it.
    pub preference: Preference,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

pub(super) const STANDINGS: &[&str] = &[
    "preferred",
    "second_source",
    "weaker_stand_in",
    "weaker_stand_in;_only_figure_found",
    "second",
    "weak",
];

const CROP_COLUMNS: &[Column] = &[
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

const COVER_COLUMNS: &[Column] = &[
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

pub(super) static CROP_FIGURES: Table = Table {
    file: "crop_figures.csv",
    text: include_str!("tables/crop_figures.csv"),
    columns: CROP_COLUMNS,
    subject: &["table", "crop", "field"],
    told_apart_by: &["value", "source", "locator"],
    attributes: None,
};

pub(super) static COVER_FIGURES: Table = Table {
    file: "cover_figures.csv",
    text: include_str!("tables/cover_figures.csv"),
    columns: COVER_COLUMNS,
    subject: &["crop", "field"],
    told_apart_by: &["low", "high", "text", "unit", "source", "locator"],
    attributes: None,
};

pub(super) fn preference(at: usize) -> Preference {
    match at {
        0 => Preference::Preferred,
        1 | 4 => Preference::Second,
        _ => Preference::Weak,
    }
}

#[derive(Clone, Copy, Debug)]
enum Form {
    Crops,
    Covers,
}

/// One long table.
#[derive(Debug)]
pub(super) struct Figures {
    tables: Tables,
    form: Form,
    sheet: OnceLock<Sheet>,
}

/// The rows by crop, field and preference, and where those of each crop begin.
#[derive(Debug)]
struct Sheet {
    rows: Vec<Figure>,
    begins: Vec<usize>,
}

impl Figures {
    pub(super) fn of_crops(tables: Tables) -> Self {
        Self { tables, form: Form::Crops, sheet: OnceLock::new() }
    }

    pub(super) fn of_covers(tables: Tables) -> Self {
        Self { tables, form: Form::Covers, sheet: OnceLock::new() }
    }

    pub(super) fn rows(&self, crops: &Crops) -> &[Figure] {
        &self.sheet(crops).rows
    }

    /// All figures of one crop, by field.
    pub(super) fn all_of(&self, crops: &Crops, crop: CropId) -> &[Figure] {
        let Sheet { rows, begins } = self.sheet(crops);
        &rows[begins[crop.index()]..begins[crop.index() + 1]]
    }

    /// The figures of one crop in one field, preferred first.
    pub(super) fn of(&self, crops: &Crops, crop: CropId, field: &str) -> &[Figure] {
        let rows = self.all_of(crops, crop);
        let begins = rows.partition_point(|row| &*row.field < field);
        let length = rows[begins..].iter().take_while(|row| &*row.field == field).count();
        &rows[begins..begins + length]
    }

    fn sheet(&self, crops: &Crops) -> &Sheet {
        self.sheet.get_or_init(|| {
            let rows = self.read(crops, &mut Problems::default());
            let begins = (0..=crops.count())
                .map(|crop| rows.partition_point(|row| row.crop.index() < crop))
                .collect();
            Sheet { rows, begins }
        })
    }

    pub(super) fn read(&self, crops: &Crops, problems: &mut Problems) -> Vec<Figure> {
        // Rows on one crop stand together, so most keys are those of the row before.
        let mut before: Option<CropId> = None;
        let mut find = |key: &str| {
            before = before.filter(|id| *crops[*id].key == *key).or_else(|| crops.find(key));
            before.ok_or_else(Vec::new)
        };
        let mut figures = match self.form {
            Form::Crops => self.tables.read(&CROP_FIGURES, problems, |cells| {
                cells.choice("table")?;
                let crop = cells.name("crop", &mut find);
                let field = cells.text("field")?.into();
                let value = cells.text("value")?;
                Some(Figure {
                    crop: crop?,
                    field,
                    range: written_range(value),
                    text: value.into(),
                    unit: Box::default(),
                    preference: preference(cells.choice("standing")?),
                    note: Box::default(),
                    citation: citation(cells)?,
                })
            }),
            Form::Covers => self.tables.read(&COVER_FIGURES, problems, |cells| {
                let crop = cells.name("crop", &mut find);
                let field = cells.text("field")?.into();
                let range = super::table::range(cells, "low", "high");
                let text = cells.text("text").unwrap_or_default().into();
                let unit = cells.text("unit").unwrap_or_default().into();
                let preference = preference(cells.choice("standing")?);
                let citation = citation(cells)?;
                let note = cells.text("note").unwrap_or_default().into();
                Some(Figure { crop: crop?, field, range, text, unit, preference, note, citation })
            }),
        };
        figures.sort_by(|a, b| {
            (a.crop, &a.field, a.preference).cmp(&(b.crop, &b.field, b.preference))
        });
        figures
    }
}
