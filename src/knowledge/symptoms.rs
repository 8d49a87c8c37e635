//! Symptoms, the field checks that tell causes apart, and causes that are not pathogens.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::citation::Citation;
use super::crops::Crops;
use super::ids::CropId;
use super::signs::Signs;
use super::table::{FLAG, HOW, LOCATOR, NOTE, SOURCE, citation, words};
use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problems};

/// How far a symptom points to its cause alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Specificity {
    /// Hardly.
    Low,
    /// Somewhat.
    Medium,
    /// Strongly.
    High,
}

/// One symptom of one cause on one crop.
#[derive(Clone, Debug)]
pub struct Symptom {
    /// The crop.
    pub crop: CropId,
    /// Pathogen key or key of the causes table.
    pub cause: Box<str>,
    /// What is seen.
    pub symptom: Box<str>,
    /// Where on the plant.
    pub part: Box<str>,
    /// How far it points to the cause.
    pub specificity: Specificity,
    /// The check in the field that tells it apart.
    pub field_check: Box<str>,
    /// Causes that look like it, by key, whether or not they have a row on this crop.
    pub look_alikes: Vec<Box<str>>,
    /// Where from.
    pub citation: Citation,
}

impl Symptom {
    /// All that the row says of how it looks.
    #[must_use]
    pub fn in_words(&self) -> String {
        format!("{}; {}", self.symptom, self.field_check)
    }
}

/// A cause that is not a pathogen: a disorder, a lack, an injury.
#[derive(Clone, Debug)]
pub struct Cause {
    /// Key.
    pub key: Box<str>,
    /// Plain name.
    pub name: Box<str>,
    /// `disorder`, `nutrient`, `injury`, `pest`, `virus`.
    pub kind: Box<str>,
    /// Whether it bears on what may follow in the bed.
    pub locks_bed: bool,
    /// What it is.
    pub what_it_is: Box<str>,
    /// What helps.
    pub remedy: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("cause", Kind::Text(60), "pathogen key or cause key"),
    Column::required("symptom", NOTE, "what is seen"),
    Column::optional("part", Kind::Text(30), "where on the plant"),
    Column::required(
        "specificity",
        Kind::Choice(&["low", "medium", "high"]),
        "how far it points to the cause",
    ),
    Column::optional("field_check", NOTE, "the check in the field that tells it apart"),
    Column::optional("look_alikes", NOTE, "what looks like it"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static SYMPTOMS: Table = Table {
    file: "symptoms.csv",
    text: include_str!("tables/symptoms.csv"),
    columns: COLUMNS,
    subject: &["crop", "cause", "symptom"],
    told_apart_by: &[],
    attributes: None,
};

const CAUSE_COLUMNS: &[Column] = &[
    Column::required("key", Kind::Text(60), "key"),
    Column::required("name", Kind::Text(120), "plain name"),
    Column::required("kind", Kind::Text(30), "disorder, nutrient, injury, pest, virus"),
    Column::required("locks_bed", FLAG, "whether it bears on what may follow"),
    Column::optional("what_it_is", NOTE, "what it is"),
    Column::optional("remedy", NOTE, "what helps"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static CAUSES: Table = Table {
    file: "causes.csv",
    text: include_str!("tables/causes.csv"),
    columns: CAUSE_COLUMNS,
    subject: &["key"],
    told_apart_by: &[],
    attributes: None,
};

/// Both tables.
#[derive(Debug)]
pub struct Symptoms {
    rows: Vec<Symptom>,
    causes: Vec<Cause>,
    signs: OnceLock<SignTable>,
}

/// The signs of every row, and how rare each sign is; made at the first question.
#[derive(Debug)]
struct SignTable {
    of_rows: Vec<Signs>,
    rarity: BTreeMap<String, f64>,
}

impl Symptoms {
    pub(super) fn read(tables: &Tables, crops: &Crops, problems: &mut Problems) -> Self {
        let symptoms = tables.read(&SYMPTOMS, problems, |cells| {
            let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
            Some(Symptom {
                crop: crop?,
                cause: cells.text("cause")?.into(),
                symptom: cells.text("symptom")?.into(),
                part: cells.text("part").unwrap_or_default().into(),
                specificity: [Specificity::Low, Specificity::Medium, Specificity::High]
                    [cells.choice("specificity")?],
                field_check: cells.text("field_check").unwrap_or_default().into(),
                look_alikes: words(cells.text("look_alikes")),
                citation: citation(cells)?,
            })
        });
        let causes = tables.read(&CAUSES, problems, |cells| {
            Some(Cause {
                key: cells.text("key")?.into(),
                name: cells.text("name")?.into(),
                kind: cells.text("kind")?.into(),
                locks_bed: cells.choice("locks_bed")? == 1,
                what_it_is: cells.text("what_it_is").unwrap_or_default().into(),
                remedy: cells.text("remedy").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        Self { rows: symptoms, causes, signs: OnceLock::new() }
    }

    /// Symptoms on a crop.
    pub fn on(&self, crop: CropId) -> impl Iterator<Item = &Symptom> {
        self.rows.iter().filter(move |row| row.crop == crop)
    }

    /// Symptoms on a crop, with the signs of their words and field checks.
    pub fn with_signs(&self, crop: CropId) -> impl Iterator<Item = (&Symptom, &Signs)> {
        self.rows.iter().zip(&self.signs().of_rows).filter(move |(row, _)| row.crop == crop)
    }

    /// How rare each sign is among the rows: the logarithm of the rows for each that has it.
    #[must_use]
    pub fn rarity(&self) -> &BTreeMap<String, f64> {
        &self.signs().rarity
    }

    fn signs(&self) -> &SignTable {
        self.signs.get_or_init(|| {
            let of_rows: Vec<Signs> =
                self.rows.iter().map(|row| Signs::of(&row.in_words())).collect();
            let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
            for sign in of_rows.iter().flat_map(|signs| &signs.seen) {
                *counts.entry(sign).or_default() += 1;
            }
            let total = of_rows.len() as f64;
            let rarity = counts
                .into_iter()
                .map(|(sign, count)| (sign.to_owned(), (total / count as f64).ln()))
                .collect();
            SignTable { of_rows, rarity }
        })
    }

    /// All symptoms.
    #[must_use]
    pub fn rows(&self) -> &[Symptom] {
        &self.rows
    }

    /// A cause that is not a pathogen.
    #[must_use]
    pub fn cause(&self, key: &str) -> Option<&Cause> {
        self.causes.iter().find(|cause| &*cause.key == key)
    }

    /// All such causes.
    #[must_use]
    pub fn causes(&self) -> &[Cause] {
        &self.causes
    }
}
