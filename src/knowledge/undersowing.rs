//! Covers between standing plants: trials, practice, and the weeks in which a crop bears no
//! company.

use super::bridges::Turn;
use super::citation::Citation;
use super::ids::CropId;
use super::later::Look;
use super::meant::Meant;
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, note, range, words};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};

/// What a row is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum UndersowingKind {
    /// A trial.
    Trial,
    /// Several trials summed up.
    Review,
    /// What growers do.
    Practice,
    /// From when the crop must be free of company.
    WeedFreeFrom,
    /// Until when.
    WeedFreeUntil,
    /// From when company no longer harms.
    WeedsTolerated,
    /// How the crop itself goes through the winter.
    Overwintering,
    /// A source advises against it.
    NotAdvised,
}

/// One statement.
#[derive(Clone, Debug)]
pub struct Undersowing {
    /// The crop that stands, or a group or `any`.
    pub main_crop: Meant<CropId>,
    /// What is sown under it; several for a mixture.
    pub covers: Vec<Meant<CropId>>,
    /// What the row is.
    pub kind: UndersowingKind,
    /// Where between the plants.
    pub placement: Box<str>,
    /// Distance from the stems, cm.
    pub offset_cm: Option<Estimate>,
    /// When, in words.
    pub timing: Box<str>,
    /// When, in `timing_unit`.
    pub timing_range: Option<Estimate>,
    /// Unit of the timing.
    pub timing_unit: Box<str>,
    /// What it did to the yield of the crop.
    pub effect: Option<Turn>,
    /// Change of the yield as a fraction.
    pub yield_change: Option<Estimate>,
    /// Dry matter of the cover, kg a hectare.
    pub dry_matter_kg_ha: Option<Estimate>,
    /// Nitrogen in the cover, kg a hectare.
    pub nitrogen_kg_ha: Option<Estimate>,
    /// The result in words.
    pub result: Box<str>,
    /// Where.
    pub region: Box<str>,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const KINDS: &[&str] = &[
    "trial",
    "review",
    "practice",
    "critical_weed_free_start",
    "critical_weed_free_end",
    "weeds_tolerated",
    "overwintering",
    "not_advised",
];
const KG_HA: Kind = Kind::Number(0.0, 30_000.0);

const COLUMNS: &[Column] = &[
    Column::required("main_crop", Kind::Text(60), "crop key, group key or any"),
    Column::optional("cover", Kind::Text(200), "crop or group keys, joined by ;"),
    Column::required("kind", Kind::Choice(KINDS), "what the row is"),
    Column::optional("placement", Kind::Text(120), "where between the plants"),
    Column::optional("offset_cm_low", Kind::Number(0.0, 300.0), "from the stems, low"),
    Column::optional("offset_cm_high", Kind::Number(0.0, 300.0), "from the stems, high"),
    Column::optional("timing", Kind::Text(200), "when, in words"),
    Column::optional("timing_low", Kind::Number(-60.0, 3000.0), "when, low"),
    Column::optional("timing_high", Kind::Number(-60.0, 3000.0), "when, high"),
    Column::optional("timing_unit", Kind::Text(60), "unit of the timing"),
    Column::optional("effect", Kind::Choice(Turn::WORDS), "on the yield of the crop"),
    Column::optional("yield_change_low", Kind::Number(-1.0, 3.0), "as a fraction, low"),
    Column::optional("yield_change_high", Kind::Number(-1.0, 3.0), "as a fraction, high"),
    Column::optional("cover_dry_matter_kg_ha_low", KG_HA, "dry matter of the cover, low"),
    Column::optional("cover_dry_matter_kg_ha_high", KG_HA, "dry matter of the cover, high"),
    Column::optional("cover_n_kg_ha_low", KG_HA, "nitrogen in the cover, low"),
    Column::optional("cover_n_kg_ha_high", KG_HA, "nitrogen in the cover, high"),
    Column::optional("result", Kind::Text(300), "the result in words"),
    Column::optional("region", Kind::Text(80), "where"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static INTERSOW: Table = Table {
    file: "intersow.csv",
    text: include_str!("tables/intersow.csv"),
    columns: COLUMNS,
    subject: &["main_crop", "cover", "kind"],
    told_apart_by: &["timing", "timing_low", "effect", "result", "region", "source"],
    attributes: None,
};

pub(super) fn read(look: &Look<'_>, problems: &mut Problems) -> Vec<Undersowing> {
    const ORDER: [UndersowingKind; 8] = [
        UndersowingKind::Trial,
        UndersowingKind::Review,
        UndersowingKind::Practice,
        UndersowingKind::WeedFreeFrom,
        UndersowingKind::WeedFreeUntil,
        UndersowingKind::WeedsTolerated,
        UndersowingKind::Overwintering,
        UndersowingKind::NotAdvised,
    ];
    look.tables.read(&INTERSOW, problems, |cells| {
        Some(Undersowing {
            main_crop: Meant::crop(look.crops, cells.text("main_crop")?),
            covers: words(cells.text("cover"))
                .iter()
                .map(|cover| Meant::crop(look.crops, cover))
                .collect(),
            kind: ORDER[cells.choice("kind")?],
            placement: note(cells, "placement"),
            offset_cm: range(cells, "offset_cm_low", "offset_cm_high"),
            timing: note(cells, "timing"),
            timing_range: range(cells, "timing_low", "timing_high"),
            timing_unit: note(cells, "timing_unit"),
            effect: cells.choice("effect").map(Turn::at),
            yield_change: range(cells, "yield_change_low", "yield_change_high"),
            dry_matter_kg_ha: range(
                cells,
                "cover_dry_matter_kg_ha_low",
                "cover_dry_matter_kg_ha_high",
            ),
            nitrogen_kg_ha: range(cells, "cover_n_kg_ha_low", "cover_n_kg_ha_high"),
            result: note(cells, "result"),
            region: note(cells, "region"),
            citation: citation(cells)?,
            note: note(cells, "note"),
        })
    })
}
