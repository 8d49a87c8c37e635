//! Crops, covers, weeds and other plants, with their place in the families.

use super::citation::Citation;
use super::ids::CropId;
use super::table::{HOW, LOCATOR, SOURCE, citation};
use super::tables::{Table, Tables};
use crate::tabular::{Cells, Column, Kind, Problems};

/// What a plant is grown for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Harvested, annual or grown as one.
    Cash,
    /// Grown for the soil.
    Cover,
    /// Harvested for years from one planting.
    Perennial,
    /// Grown for bloom.
    Flower,
    /// Comes by itself.
    Weed,
    /// A field crop, in the tables as host or break.
    Field,
    /// An edible fungus: hosts no plant disease.
    Fungus,
}

impl Role {
    const WORDS: &'static [&'static str] =
        &["cash", "cover", "perennial", "flower", "weed", "field", "fungus"];

    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// One plant.
#[derive(Clone, Debug)]
pub struct Crop {
    /// Key in every table.
    pub key: Box<str>,
    /// Plain English name.
    pub name: Box<str>,
    /// Scientific name; its first word is the genus.
    pub scientific_name: Box<str>,
    /// Botanical family.
    pub family: Box<str>,
    /// EPPO code, blank where unsure.
    pub eppo_code: Box<str>,
    /// What it is grown for.
    pub role: Role,
    /// `annual`, `biennial` or `perennial`.
    pub life_cycle: Box<str>,
    /// The part eaten, blank if none.
    pub edible_part: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl Crop {
    /// The genus.
    #[must_use]
    pub fn genus(&self) -> &str {
        self.scientific_name.split(' ').next().unwrap_or_default()
    }

    /// Whether it fixes nitrogen with root nodules.
    #[must_use]
    pub fn is_legume(&self) -> bool {
        &*self.family == "Fabaceae"
    }
}

const COLUMNS: &[Column] = &[
    Column::required("key", Kind::Text(60), "key in every table"),
    Column::required("name", Kind::Text(80), "plain English name"),
    Column::optional("scientific_name", Kind::Text(120), "scientific name, genus first"),
    Column::optional("family", Kind::Text(60), "botanical family"),
    Column::optional("eppo_code", Kind::Text(6), "EPPO code, blank where unsure"),
    Column::required("role", Kind::Choice(Role::WORDS), "what it is grown for"),
    Column::optional("life_cycle", Kind::Text(20), "annual, biennial or perennial"),
    Column::optional("edible_part", Kind::Text(20), "the part eaten"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static CROPS: Table = Table {
    file: "crops.csv",
    text: include_str!("tables/crops.csv"),
    columns: COLUMNS,
    subject: &["key"],
    told_apart_by: &[],
    attributes: None,
};

fn crop(cells: &mut Cells<'_>) -> Option<Crop> {
    const ROLES: [Role; 7] = [
        Role::Cash,
        Role::Cover,
        Role::Perennial,
        Role::Flower,
        Role::Weed,
        Role::Field,
        Role::Fungus,
    ];
    Some(Crop {
        key: cells.text("key")?.into(),
        name: cells.text("name")?.into(),
        scientific_name: cells.text("scientific_name").unwrap_or_default().into(),
        family: cells.text("family").unwrap_or_default().into(),
        eppo_code: cells.text("eppo_code").unwrap_or_default().into(),
        role: ROLES[cells.choice("role")?],
        life_cycle: cells.text("life_cycle").unwrap_or_default().into(),
        edible_part: cells.text("edible_part").unwrap_or_default().into(),
        citation: citation(cells)?,
    })
}

/// The table, sorted by key so that a key finds its row.
#[derive(Debug)]
pub struct Crops {
    rows: Vec<Crop>,
}

impl Crops {
    pub(super) fn read(tables: &Tables, problems: &mut Problems) -> Self {
        let mut rows = tables.read(&CROPS, problems, crop);
        rows.sort_by(|a, b| a.key.cmp(&b.key));
        Self { rows }
    }

    /// The crop of a key.
    #[must_use]
    pub fn find(&self, key: &str) -> Option<CropId> {
        let at = self.rows.binary_search_by(|crop| (*crop.key).cmp(key)).ok()?;
        u16::try_from(at).ok().map(CropId)
    }

    /// All, in the order of their keys.
    pub fn iter(&self) -> impl Iterator<Item = (CropId, &Crop)> {
        self.rows.iter().zip(0..).map(|(crop, at)| (CropId(at), crop))
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.rows.len()
    }
}

impl std::ops::Index<CropId> for Crops {
    type Output = Crop;
    fn index(&self, id: CropId) -> &Crop {
        &self.rows[id.index()]
    }
}
