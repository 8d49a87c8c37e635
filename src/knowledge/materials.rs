//! Amendments: which are raw manure (a matter of food safety) and what they hold.

use super::citation::Citation;
use super::table::{HOW, LOCATOR, SOURCE, citation};
use super::tables::{Table, Tables};
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// What a material is, as far as rules depend on it.
#[derive(Clone, Debug)]
pub struct Material {
    /// Key.
    pub key: Box<str>,
    /// `compost`, `manure_raw`, `manure_composted`, `meal`, `mineral`, `plant`, `mulch`, `other`.
    pub kind: Box<str>,
    /// Nitrogen, percent of the material as `basis` tells.
    pub n_percent: Option<Estimate>,
    /// Phosphorus (elemental), percent.
    pub p_percent: Option<Estimate>,
    /// Potassium (elemental), percent.
    pub k_percent: Option<Estimate>,
    /// `fresh`, `dry`, `label` or `unstated`.
    pub basis: Box<str>,
    /// Where from.
    pub citation: Citation,
}

/// What loose plant matter is built like, as far as its water and its rotting go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Build {
    /// Straw, hay, stover, hulls, shells: keeps only dry, rots within weeks.
    Straw,
    /// Wood and bark: rots over years.
    Wood,
    /// Leaves of trees: rot over seasons, five months to two years by themselves.
    Leaves,
}

impl Build {
    pub(super) const WORDS: &'static [&'static str] = &["straw", "wood", "leaves"];
    const ALL: [Self; 3] = [Self::Straw, Self::Wood, Self::Leaves];

    /// The one at a place among the words.
    pub(super) fn at(place: usize) -> Self {
        Self::ALL[place]
    }
}

const PERCENT: Kind = Kind::Number(0.0, 100.0);

const COLUMNS: &[Column] = &[
    Column::required("material", Kind::Text(60), "material key"),
    Column::optional("n_percent_low", PERCENT, "nitrogen, low"),
    Column::optional("n_percent_high", PERCENT, "nitrogen, high"),
    Column::optional("p_percent_low", PERCENT, "phosphorus, low"),
    Column::optional("p_percent_high", PERCENT, "phosphorus, high"),
    Column::optional("k_percent_low", PERCENT, "potassium, low"),
    Column::optional("k_percent_high", PERCENT, "potassium, high"),
    Column::optional("dry_matter_percent_low", PERCENT, "dry matter, low"),
    Column::optional("dry_matter_percent_high", PERCENT, "dry matter, high"),
    Column::optional("bulk_density_kg_m3_low", Kind::Number(0.0, 5000.0), "bulk density, low"),
    Column::optional("bulk_density_kg_m3_high", Kind::Number(0.0, 5000.0), "bulk density, high"),
    Column::optional(
        "pan_year1_fraction_low",
        Kind::Number(-2.0, 2.0),
        "plant-available N, first year, low",
    ),
    Column::optional(
        "pan_year1_fraction_high",
        Kind::Number(-2.0, 2.0),
        "plant-available N, first year, high",
    ),
    Column::optional("pan_year2_fraction_low", Kind::Number(-2.0, 2.0), "second year, low"),
    Column::optional("pan_year2_fraction_high", Kind::Number(-2.0, 2.0), "second year, high"),
    Column::optional("c_to_n_low", Kind::Number(0.0, 2000.0), "carbon to nitrogen, low"),
    Column::optional("c_to_n_high", Kind::Number(0.0, 2000.0), "carbon to nitrogen, high"),
    Column::optional("basis", Kind::Text(20), "fresh, dry, label, unstated"),
    Column::optional("standing", Kind::Text(20), "preferred, second, weak"),
    Column::optional(
        "kind",
        Kind::Text(30),
        "compost, manure_raw, manure_composted, meal, mineral ...",
    ),
    Column::optional(
        "build",
        Kind::Choice(Build::WORDS),
        "plant matter: straw (also hay, hulls, shells), wood, leaves",
    ),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", super::table::NOTE, "what the source adds"),
];

pub(super) static AMENDMENTS: Table = Table {
    file: "amendments.csv",
    text: include_str!("tables/amendments.csv"),
    columns: COLUMNS,
    subject: &["material"],
    told_apart_by: &["basis", "n_percent_low", "c_to_n_low", "source", "locator", "note"],
    attributes: None,
};

/// One row a material: the preferred one.
#[derive(Debug)]
pub struct Materials {
    rows: Vec<Material>,
}

impl Materials {
    pub(super) fn read(tables: &Tables, problems: &mut Problems) -> Self {
        let mut all = tables.read(&AMENDMENTS, problems, |cells| {
            let key = cells.text("material")?.into();
            let n_percent = super::table::range(cells, "n_percent_low", "n_percent_high");
            let p_percent = super::table::range(cells, "p_percent_low", "p_percent_high");
            let k_percent = super::table::range(cells, "k_percent_low", "k_percent_high");
            let basis = cells.text("basis").unwrap_or_default().into();
            let preferred = cells.text("standing") == Some("preferred");
            let kind = cells.text("kind").unwrap_or_default().into();
            let citation = citation(cells)?;
            Some((
                preferred,
                Material { key, kind, n_percent, p_percent, k_percent, basis, citation },
            ))
        });
        all.sort_by(|a, b| (&a.1.key, !a.0).cmp(&(&b.1.key, !b.0)));
        all.dedup_by(|a, b| a.1.key == b.1.key);
        Self { rows: all.into_iter().map(|(_, material)| material).collect() }
    }

    /// The material of a key.
    #[must_use]
    pub fn find(&self, key: &str) -> Option<&Material> {
        let at = self.rows.binary_search_by(|row| (*row.key).cmp(key)).ok()?;
        Some(&self.rows[at])
    }

    /// All, by key.
    #[must_use]
    pub fn rows(&self) -> &[Material] {
        &self.rows
    }
}
