//! Which crop hosts which pathogen, as the sources say it. What follows where they disagree or are
//! silent is settled in `standings`.

use std::ops::Range;

use super::citation::{Citation, How};
use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::pathogens::Pathogens;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation};
use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problem, Problems};

/// What one row says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Says {
    /// Gets the disease and multiplies the pathogen. The most cautious comes first.
    Host,
    /// Shows nothing, yet keeps or multiplies it.
    Carrier,
    /// Multiplies it little.
    PoorHost,
    /// Seen, but the source allows no grade.
    Unknown,
    /// A source recommends it as a break; its host status is untested.
    AdvisedBreak,
    /// Is not a host.
    NonHost,
    /// Attribute: cultivars with resistance exist.
    ResistantCultivars,
    /// Attribute: its root or residue lowers the pathogen. Says nothing of being a host.
    Suppressive,
}

/// How directly a row shows what it says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// Seen in the field, or the crop is named as one that must not follow.
    Field,
    /// Named in a list of hosts.
    List,
    /// After inoculation, in pots or a greenhouse.
    Inoculated,
    /// A statement about a genus, a family or a group.
    Group,
    /// Remembered.
    Memory,
    /// By some isolates, races or cultivars only, or at a low grade.
    Partial,
}

const SAYS: &[&str] = &[
    "host",
    "carrier",
    "poor_host",
    "unknown",
    "advised_break",
    "non_host",
    "resistant_cultivars_exist",
    "suppressive",
];
const BASES: &[&str] = &["field", "list", "inoculated", "group", "memory", "partial"];

/// The variants in the order of [`SAYS`] and [`BASES`].
const ORDER: [Says; 8] = [
    Says::Host,
    Says::Carrier,
    Says::PoorHost,
    Says::Unknown,
    Says::AdvisedBreak,
    Says::NonHost,
    Says::ResistantCultivars,
    Says::Suppressive,
];
const DIRECT: [Basis; 6] =
    [Basis::Field, Basis::List, Basis::Inoculated, Basis::Group, Basis::Memory, Basis::Partial];

/// One statement of one source about one pair.
#[derive(Clone, Debug)]
pub struct HostRow {
    /// The pathogen.
    pub pathogen: PathogenId,
    /// The crop.
    pub crop: CropId,
    /// What is said.
    pub says: Says,
    /// How directly.
    pub basis: Basis,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

impl HostRow {
    /// Whether it speaks of this very crop, from the field or a host list.
    #[must_use]
    pub fn is_direct(&self) -> bool {
        matches!(self.basis, Basis::Field | Basis::List)
    }
}

const COLUMNS: &[Column] = &[
    Column::required("pathogen", Kind::Name("pathogen"), "pathogen key"),
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("status", Kind::Choice(SAYS), "what the source says of the pair"),
    Column::required("basis", Kind::Choice(BASES), "how directly it shows it"),
    Column::optional(
        "trust",
        Kind::Text(20),
        "grade of the collection: named, group, weak, memory",
    ),
    Column::optional("note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static HOSTS: Table = Table {
    file: "hosts.csv",
    text: include_str!("tables/hosts.csv"),
    columns: COLUMNS,
    subject: &["pathogen", "crop"],
    told_apart_by: &["status", "source", "note"],
    attributes: Some(("status", &["resistant_cultivars_exist", "suppressive"])),
};

/// What the tables together say of a crop under a pathogen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HostStatus {
    /// A host by direct evidence.
    Host,
    /// A host by weak or contested evidence: inoculation, a group statement, some isolates only,
    /// or another source says otherwise.
    WeakHost,
    /// No row of its own; its relatives are hosts. The number of relatives is in the standing.
    InferredHost,
    /// Symptomless, but keeps or multiplies the pathogen.
    Carrier,
    /// Multiplies it little.
    PoorHost,
    /// Sources mention the pair without a grade.
    Ungraded,
    /// No row, and nothing to infer from: absence of data is not absence of disease.
    Unrecorded,
    /// Recommended as a break, untested.
    AdvisedBreak,
    /// Outside the pathogen's known host range.
    OutsideRange,
    /// Not a host.
    NonHost,
}

impl HostStatus {
    /// Whether the crop itself may be harmed.
    #[must_use]
    pub fn may_suffer(self) -> bool {
        matches!(self, Self::Host | Self::WeakHost | Self::InferredHost)
    }

    /// Whether it keeps the pathogen alive or raises it while it stands.
    #[must_use]
    pub fn keeps_it(self) -> bool {
        self.may_suffer() || matches!(self, Self::Carrier)
    }
}

/// The status of a pair with the evidence behind it.
#[derive(Clone, Copy, Debug)]
pub struct HostStanding<'k> {
    /// The status that the verdict uses: the cautious one where sources disagree.
    pub status: HostStatus,
    /// All rows on the pair, attributes included.
    pub rows: &'k [HostRow],
    /// For an inferred status: relatives of the crop that are recorded hosts, and the rank
    /// (`genus` or `family`) by which they are related.
    pub relatives: &'k [CropId],
    /// Rank of the inference.
    pub inferred_by: Option<&'static str>,
}

impl<'k> HostStanding<'k> {
    /// Whether a source says that its root or residue lowers the pathogen.
    #[must_use]
    pub fn is_suppressive(&self) -> bool {
        self.rows.iter().any(|row| row.says == Says::Suppressive)
    }

    /// Whether a source calls the crop, or its genus, a host though others outweigh it.
    #[must_use]
    pub fn is_contested(&self) -> bool {
        !self.status.may_suffer() && self.rows.iter().any(|row| row.says == Says::Host)
    }

    /// Whether resistant cultivars are recorded.
    #[must_use]
    pub fn has_resistant_cultivars(&self) -> bool {
        self.rows.iter().any(|row| row.says == Says::ResistantCultivars)
    }

    /// The rows that say what the status says.
    pub fn witnesses(&self) -> impl Iterator<Item = &'k HostRow> + use<'k> {
        let wanted: &[Says] = match self.status {
            HostStatus::Host | HostStatus::WeakHost | HostStatus::InferredHost => &[Says::Host],
            HostStatus::Carrier => &[Says::Carrier],
            HostStatus::PoorHost => &[Says::PoorHost],
            HostStatus::Ungraded => &[Says::Unknown],
            HostStatus::AdvisedBreak => &[Says::AdvisedBreak, Says::Suppressive],
            HostStatus::NonHost => &[Says::NonHost],
            HostStatus::OutsideRange | HostStatus::Unrecorded => &[],
        };
        self.rows.iter().filter(|row| wanted.contains(&row.says))
    }

    /// The best row for the status: the one to cite.
    #[must_use]
    pub fn witness(&self) -> Option<&'k HostRow> {
        self.witnesses().min_by_key(|row| (row.citation.how == How::Memory, row.basis))
    }

    /// Whether the status rests on direct, read evidence.
    #[must_use]
    pub fn is_well_founded(&self) -> bool {
        self.witness().is_some_and(|row| row.citation.how == How::Read && row.is_direct())
    }
}

/// The table, sorted by pathogen and crop.
#[derive(Debug)]
pub struct Hosts {
    rows: Vec<HostRow>,
}

impl Hosts {
    pub(super) fn read(
        tables: &Tables,
        crops: &Crops,
        pathogens: &Pathogens,
        problems: &mut Problems,
    ) -> Self {
        let mut rows = tables.read(&HOSTS, problems, |cells| {
            let pathogen = cells.name("pathogen", |key| pathogens.find(key).ok_or_else(Vec::new));
            let crop = cells.name("crop", |key| crops.find(key).ok_or_else(Vec::new));
            let says = cells.choice("status").map(|at| ORDER[at]);
            let basis = cells.choice("basis").map(|at| DIRECT[at]);
            let note = cells.text("note").unwrap_or_default().into();
            let citation = citation(cells)?;
            if basis == Some(Basis::Memory) && citation.how != How::Memory {
                cells.problem("basis", Problem::Other("basis memory needs how memory"), None);
            }
            Some(HostRow {
                pathogen: pathogen?,
                crop: crop?,
                says: says?,
                basis: basis?,
                note,
                citation,
            })
        });
        rows.sort_by_key(|row| (row.pathogen, row.crop, row.says, row.basis));
        Self { rows }
    }

    /// All rows on a pair.
    #[must_use]
    pub fn on(&self, pathogen: PathogenId, crop: CropId) -> &[HostRow] {
        &self.rows[self.places_on(pathogen, crop)]
    }

    /// Where the rows on a pair stand.
    pub(super) fn places_on(&self, pathogen: PathogenId, crop: CropId) -> Range<usize> {
        let begins = self.rows.partition_point(|row| (row.pathogen, row.crop) < (pathogen, crop));
        let length =
            self.rows[begins..].partition_point(|row| (row.pathogen, row.crop) == (pathogen, crop));
        begins..begins + length
    }

    /// All rows on a pathogen, by crop.
    #[must_use]
    pub fn of(&self, pathogen: PathogenId) -> &[HostRow] {
        let begins = self.rows.partition_point(|row| row.pathogen < pathogen);
        let length = self.rows[begins..].partition_point(|row| row.pathogen == pathogen);
        &self.rows[begins..begins + length]
    }

    /// All rows.
    #[must_use]
    pub fn rows(&self) -> &[HostRow] {
        &self.rows
    }
}
