//! Covers as bridges: which cover raises, leaves or lowers which pathogen before the next crop.

use super::citation::Citation;
use super::ids::{CropId, PathogenId};
use super::later::Look;
use super::meant::Meant;
use super::table::{ANY, HOW, LOCATOR, NOTE, SOURCE, citation, note, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// Which way something is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// Up.
    Raises,
    /// Neither way.
    Neutral,
    /// Down.
    Lowers,
}

impl Turn {
    pub(super) const WORDS: &'static [&'static str] = &["raises", "neutral", "lowers"];

    pub(super) fn at(index: usize) -> Self {
        [Self::Raises, Self::Neutral, Self::Lowers][index]
    }

    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// How a statement on a cover is backed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BridgeEvidence {
    /// Counted after the cover.
    Measured,
    /// Graded as a host or not.
    HostStatus,
    /// Said.
    Statement,
}

/// One statement.
#[derive(Clone, Debug)]
pub struct Bridge {
    /// The cover, or a group.
    pub cover: Meant<CropId>,
    /// The pathogen, or words for several.
    pub pathogen: Meant<PathogenId>,
    /// What the cover does to it.
    pub effect: Turn,
    /// How that is backed.
    pub evidence: BridgeEvidence,
    /// The figure, in `figure_unit`.
    pub figure: Option<Estimate>,
    /// What the figure measures.
    pub figure_unit: Box<str>,
    /// The finding in words.
    pub finding: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const COLUMNS: &[Column] = &[
    Column::required("cover", Kind::Text(60), "crop key or group key"),
    Column::required("pathogen", Kind::Text(60), "pathogen key, or words for several"),
    Column::required("effect", Kind::Choice(Turn::WORDS), "what the cover does to it"),
    Column::required(
        "evidence",
        Kind::Choice(&["measured", "host_status", "statement"]),
        "how that is backed",
    ),
    Column::optional("figure_low", ANY, "the figure, low"),
    Column::optional("figure_high", ANY, "the figure, high"),
    Column::optional("figure_unit", Kind::Text(60), "what the figure measures"),
    Column::required("finding", Kind::Text(200), "the finding in words"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static COVER_DISEASE_BRIDGE: Table = Table {
    file: "cover_disease_bridge.csv",
    text: include_str!("tables/cover_disease_bridge.csv"),
    columns: COLUMNS,
    subject: &["cover", "pathogen"],
    told_apart_by: &["effect", "finding", "source", "note"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Bridge> {
    look.tables.read(&COVER_DISEASE_BRIDGE, problems, |cells| {
        Some(Bridge {
            cover: Meant::crop(look.crops, cells.text("cover")?),
            pathogen: Meant::pathogen(look.pathogens, cells.text("pathogen")?),
            effect: Turn::at(cells.choice("effect")?),
            evidence: [
                BridgeEvidence::Measured,
                BridgeEvidence::HostStatus,
                BridgeEvidence::Statement,
            ][cells.choice("evidence")?],
            figure: range(cells, "figure_low", "figure_high"),
            figure_unit: note(cells, "figure_unit"),
            finding: cells.text("finding")?.into(),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
