//! Diseases, nematodes and soil pests: where their inoculum sits, how long it lasts, whom it takes.

use super::citation::Citation;
use super::ids::PathogenId;
use super::table::{FLAG, HOW, LOCATOR, NOTE, SOURCE, YEARS, citation, range, words};
use super::tables::{Table, Tables};
use crate::estimate::Estimate;
use crate::tabular::{Cells, Column, Kind, Problems};

/// How far what matters of a pathogen travels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spread {
    /// Moves with the soil of the bed only.
    Bed,
    /// Splash and short wind: the garden.
    Garden,
    /// Spores over miles, flies over hundreds of metres: moving beds does not help.
    Wide,
}

/// How wide the host range is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HostRange {
    /// One crop species (a forma specialis).
    Species,
    /// One genus.
    Genus,
    /// One family.
    Family,
    /// A named handful of families.
    Families,
    /// Many families.
    Broad,
}

/// One pathogen.
#[derive(Clone, Debug)]
pub struct Pathogen {
    /// Key in every table.
    pub key: Box<str>,
    /// Common name of the disease or pest.
    pub name: Box<str>,
    /// Scientific name.
    pub scientific_name: Box<str>,
    /// `fungus`, `oomycete`, `bacterium`, `nematode`, `insect`, `virus`, ...
    pub kind: Box<str>,
    /// EPPO code, blank where unsure.
    pub eppo_code: Box<str>,
    /// Where the inoculum sits: `soil`, `residue`, `seed`, `airborne`, `vector`.
    pub inoculum: Vec<Box<str>>,
    /// How far it travels.
    pub spread: Spread,
    /// How wide its host range is.
    pub host_range: HostRange,
    /// The families of a limited host range.
    pub host_families: Vec<Box<str>>,
    /// The structure that survives.
    pub survival_structure: Box<str>,
    /// Published survival without a host, in years.
    pub survival_years: Option<Estimate>,
    /// Whether the upper end of survival is open ("indefinitely").
    pub survival_open: bool,
    /// Published half-life of the inoculum without a host, in years.
    pub half_life_years: Option<Estimate>,
    /// What the tables do not hold of it, said so that a gap is not taken for an answer: `hosts`,
    /// `survival`.
    pub unrecorded: Vec<Box<str>>,
    /// What leaving the hosts out does: `effective`, `partial`, `ineffective` (a judgement).
    pub rotation_effect: Box<str>,
    /// Temperatures that favour disease.
    pub optimum_c: Option<Estimate>,
    /// Mean temperature under which little disease develops, degrees Celsius.
    pub least_c: Option<f64>,
    /// What the sources say.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl Pathogen {
    /// Whether it waits in the soil or the residue of a bed, so that the bed's history counts.
    #[must_use]
    pub fn is_bound_to_bed(&self) -> bool {
        self.inoculum.iter().any(|place| matches!(&**place, "soil" | "residue"))
    }

    /// Whether it is a nematode: for these a poor host is a break.
    #[must_use]
    pub fn is_nematode(&self) -> bool {
        &*self.kind == "nematode"
    }
}

const SPREADS: &[&str] = &["bed", "garden", "wide"];
const RANGES: &[&str] = &["species", "genus", "family", "families", "broad"];

const COLUMNS: &[Column] = &[
    Column::required("key", Kind::Text(60), "key in every table"),
    Column::required("name", Kind::Text(120), "common name of the disease or pest"),
    Column::optional("scientific_name", Kind::Text(160), "scientific name"),
    Column::required(
        "kind",
        Kind::Text(30),
        "fungus, oomycete, bacterium, nematode, insect, virus ...",
    ),
    Column::optional("eppo_code", Kind::Text(6), "EPPO code, blank where unsure"),
    Column::required(
        "inoculum",
        Kind::Text(60),
        "soil, residue, seed, airborne, vector, joined by ;",
    ),
    Column::required("spread", Kind::Choice(SPREADS), "how far it travels"),
    Column::required("host_range", Kind::Choice(RANGES), "how wide the host range is"),
    Column::optional(
        "host_range_families",
        Kind::Text(300),
        "families of a limited range, joined by ;",
    ),
    Column::optional("survival_structure", Kind::Text(200), "the structure that survives"),
    Column::optional("survival_years_min", YEARS, "survival without a host, low"),
    Column::optional("survival_years_max", YEARS, "survival without a host, high"),
    Column::optional("survival_open", FLAG, "whether the upper end is open"),
    Column::optional("half_life_years_min", YEARS, "half-life without a host, low"),
    Column::optional("half_life_years_max", YEARS, "half-life without a host, high"),
    Column::optional(
        "unrecorded",
        Kind::Text(40),
        "what the tables do not hold: hosts, survival, joined by ;",
    ),
    Column::required(
        "rotation_effect",
        Kind::Text(20),
        "effective, partial, ineffective (judgement)",
    ),
    Column::optional(
        "optimum_c_min",
        Kind::Number(-10.0, 60.0),
        "temperature that favours it, low",
    ),
    Column::optional(
        "optimum_c_max",
        Kind::Number(-10.0, 60.0),
        "temperature that favours it, high",
    ),
    Column::optional(
        "least_c",
        Kind::Number(-10.0, 60.0),
        "mean temperature under which little disease develops",
    ),
    Column::optional("note", NOTE, "what the sources say"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static PATHOGENS: Table = Table {
    file: "pathogens.csv",
    text: include_str!("tables/pathogens.csv"),
    columns: COLUMNS,
    subject: &["key"],
    told_apart_by: &[],
    attributes: None,
};

fn pathogen(cells: &mut Cells<'_>) -> Option<Pathogen> {
    Some(Pathogen {
        key: cells.text("key")?.into(),
        name: cells.text("name")?.into(),
        scientific_name: cells.text("scientific_name").unwrap_or_default().into(),
        kind: cells.text("kind")?.into(),
        eppo_code: cells.text("eppo_code").unwrap_or_default().into(),
        inoculum: words(cells.text("inoculum")),
        spread: [Spread::Bed, Spread::Garden, Spread::Wide][cells.choice("spread")?],
        host_range: [
            HostRange::Species,
            HostRange::Genus,
            HostRange::Family,
            HostRange::Families,
            HostRange::Broad,
        ][cells.choice("host_range")?],
        host_families: words(cells.text("host_range_families")),
        survival_structure: cells.text("survival_structure").unwrap_or_default().into(),
        survival_years: range(cells, "survival_years_min", "survival_years_max"),
        survival_open: cells.choice("survival_open") == Some(1),
        half_life_years: range(cells, "half_life_years_min", "half_life_years_max"),
        unrecorded: words(cells.text("unrecorded")),
        rotation_effect: cells.text("rotation_effect").unwrap_or_default().into(),
        optimum_c: range(cells, "optimum_c_min", "optimum_c_max"),
        least_c: cells.number("least_c"),
        note: cells.text("note").unwrap_or_default().into(),
        citation: citation(cells)?,
    })
}

const GROUP_COLUMNS: &[Column] = &[
    Column::required("group", Kind::Name("pathogen"), "pathogen key of the group"),
    Column::required("member", Kind::Name("pathogen"), "pathogen key of the member"),
    Column::optional("note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static PATHOGEN_GROUPS: Table = Table {
    file: "pathogen_groups.csv",
    text: include_str!("tables/pathogen_groups.csv"),
    columns: GROUP_COLUMNS,
    subject: &["group", "member"],
    told_apart_by: &[],
    attributes: None,
};

/// The table, sorted by key, with the groups: `meloidogyne_spp` is a root-knot nematode of a
/// species nobody has determined.
#[derive(Debug)]
pub struct Pathogens {
    rows: Vec<Pathogen>,
    /// Group and member.
    groups: Vec<(PathogenId, PathogenId)>,
}

impl Pathogens {
    pub(super) fn read(tables: &Tables, problems: &mut Problems) -> Self {
        let mut all = tables.read(&PATHOGENS, problems, pathogen);
        all.sort_by(|a, b| a.key.cmp(&b.key));
        let mut table = Self { rows: all, groups: Vec::new() };
        let groups = tables.read(&PATHOGEN_GROUPS, problems, |cells| {
            let group = cells.name("group", |key| table.find(key).ok_or_else(Vec::new));
            let member = cells.name("member", |key| table.find(key).ok_or_else(Vec::new));
            citation(cells)?;
            Some((group?, member?))
        });
        table.groups = groups;
        table.inherit();
        table
    }

    /// A member without figures of its own lasts as long as its group is said to.
    fn inherit(&mut self) {
        for (group, member) in &self.groups {
            let of_group = self.rows[group.index()].clone();
            let row = &mut self.rows[member.index()];
            if row.survival_years.is_none() && row.half_life_years.is_none() && !row.survival_open {
                row.survival_years = of_group.survival_years;
                row.survival_open = of_group.survival_open;
                row.half_life_years = of_group.half_life_years;
            }
        }
    }

    /// The groups that a pathogen is a member of.
    pub fn groups_of(&self, pathogen: PathogenId) -> impl Iterator<Item = PathogenId> {
        self.groups.iter().filter(move |(_, member)| *member == pathogen).map(|(group, _)| *group)
    }

    /// The members of a pathogen that is a group.
    pub fn members_of(&self, pathogen: PathogenId) -> impl Iterator<Item = PathogenId> {
        self.groups.iter().filter(move |(group, _)| *group == pathogen).map(|(_, member)| *member)
    }

    /// The pathogen of a key.
    #[must_use]
    pub fn find(&self, key: &str) -> Option<PathogenId> {
        let at = self.rows.binary_search_by(|pathogen| (*pathogen.key).cmp(key)).ok()?;
        u16::try_from(at).ok().map(PathogenId)
    }

    /// All, in the order of their keys.
    pub fn iter(&self) -> impl Iterator<Item = (PathogenId, &Pathogen)> {
        self.rows.iter().zip(0..).map(|(pathogen, at)| (PathogenId(at), pathogen))
    }

    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.rows.len()
    }
}

impl std::ops::Index<PathogenId> for Pathogens {
    type Output = Pathogen;
    fn index(&self, id: PathogenId) -> &Pathogen {
        &self.rows[id.index()]
    }
}
