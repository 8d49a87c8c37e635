//! Rootstocks: what each resists, on which crop, and where it fails.

use super::citation::Citation;
use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::names::fold;
use super::pathogens::Pathogens;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, words};
use super::tables::{Table, Tables};
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problem, Problems};

/// One rootstock, or a kind of rootstocks.
#[derive(Clone, Debug)]
pub struct Rootstock {
    /// Key.
    pub key: Box<str>,
    /// Name as written on labels, or the kind in plain words.
    pub name: Box<str>,
    /// Crops that are grafted on it.
    pub scions: Vec<CropId>,
    /// Its species.
    pub species: Box<str>,
    /// Pathogens it resists; races are in the text of the table.
    pub resists: Vec<PathogenId>,
    /// Races resisted, as written.
    pub races: Vec<Box<str>>,
    /// Yield on it where no disease is, relative to the ungrafted plant, if a trial tells.
    pub clean_yield: Option<Estimate>,
    /// Where it fails.
    pub limits: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("key", Kind::Text(60), "key"),
    Column::required("name", Kind::Text(120), "name or kind"),
    Column::required("scion", Kind::Text(120), "crop keys grafted on it, joined by ;"),
    Column::optional("species", Kind::Text(120), "species"),
    Column::optional("resists", Kind::Text(400), "pathogen keys with :race, joined by ;"),
    Column::optional("susceptible", Kind::Text(400), "pathogen keys it falls to, joined by ;"),
    Column::optional("clean_yield_low", ANY, "relative yield without disease, low"),
    Column::optional("clean_yield_high", ANY, "relative yield without disease, high"),
    Column::optional("limits", NOTE, "where it fails"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static ROOTSTOCKS: Table = Table {
    file: "rootstocks.csv",
    text: include_str!("tables/rootstocks.csv"),
    columns: COLUMNS,
    subject: &["key"],
    told_apart_by: &[],
    attributes: None,
};

/// The table.
#[derive(Debug)]
pub struct Rootstocks {
    rows: Vec<Rootstock>,
}

impl Rootstocks {
    pub(super) fn read(
        tables: &Tables,
        crops: &Crops,
        pathogens: &Pathogens,
        problems: &mut Problems,
    ) -> Self {
        let rows = tables.read(&ROOTSTOCKS, problems, |cells| {
            let key = cells.text("key")?.into();
            let name = cells.text("name")?.into();
            let mut scions = Vec::new();
            for scion in words(cells.text("scion")) {
                match crops.find(&scion) {
                    Some(crop) => scions.push(crop),
                    None => cells.problem("scion", Problem::UnknownName { of: "crop" }, None),
                }
            }
            let species = cells.text("species").unwrap_or_default().into();
            let races = words(cells.text("resists"));
            let mut resists = Vec::new();
            for written in &races {
                match pathogens.find(written.split(':').next().unwrap_or_default()) {
                    Some(pathogen) => resists.push(pathogen),
                    None => cells.problem("resists", Problem::UnknownName { of: "pathogen" }, None),
                }
            }
            Some(Rootstock {
                key,
                name,
                scions,
                species,
                resists,
                races,
                clean_yield: super::table::range(cells, "clean_yield_low", "clean_yield_high"),
                limits: cells.text("limits").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        Self { rows }
    }

    /// The rootstock of a name, if it resists the pathogen under the crop.
    #[must_use]
    pub fn resisting(&self, name: &str, crop: CropId, pathogen: PathogenId) -> Option<&Rootstock> {
        let wanted = fold(name);
        self.rows.iter().find(|row| {
            (fold(&row.key) == wanted || fold(&row.name) == wanted)
                && row.scions.contains(&crop)
                && row.resists.contains(&pathogen)
        })
    }

    /// A rootstock for a crop that resists a pathogen, the best documented first.
    #[must_use]
    pub fn for_crop(&self, crop: CropId, pathogen: PathogenId) -> Option<&Rootstock> {
        self.rows
            .iter()
            .filter(|row| row.scions.contains(&crop) && row.resists.contains(&pathogen))
            .min_by_key(|row| row.citation.how)
    }

    /// All rows.
    #[must_use]
    pub fn rows(&self) -> &[Rootstock] {
        &self.rows
    }
}
