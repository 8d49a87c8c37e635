//! What was seen. "Healthy" is an observation too.

use super::{Lookup, Place, columns};
use crate::knowledge::{CropId, Knowledge, Named, PathogenId};
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind, Problem, Resolved};

/// What was taken for the cause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Seen {
    /// A disease, nematode or soil pest.
    Pathogen(PathogenId),
    /// A disorder or another cause that is not a pathogen, by its key.
    Disorder(Box<str>),
    /// Sick, cause not known.
    Unknown,
    /// Looked at and found healthy.
    Healthy,
}

impl Seen {
    /// The word that stands for it in the records: a key, `unknown` or `healthy`.
    #[must_use]
    pub fn key<'a>(&'a self, knowledge: &'a Knowledge) -> &'a str {
        match self {
            Self::Pathogen(pathogen) => &knowledge.pathogens[*pathogen].key,
            Self::Disorder(key) => key,
            Self::Unknown => "unknown",
            Self::Healthy => "healthy",
        }
    }
}

/// How many of the plants were affected.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Extent {
    /// Hardly any.
    Trace,
    /// Few.
    Light,
    /// Many.
    Moderate,
    /// Most.
    Severe,
    /// Percent of plants, 0 to 100.
    Percent(f64),
}

/// How sure the cause is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    /// Guessed from the look.
    Suspected,
    /// Told apart by a check in the field.
    FieldCheck,
    /// Named by a laboratory.
    Laboratory,
}

impl Certainty {
    const WORDS: &'static [&'static str] = &["suspected", "field_check", "laboratory"];

    /// The word as written.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }

    /// The variant of a place in the list of words.
    #[must_use]
    pub fn at(index: usize) -> Self {
        [Self::Suspected, Self::FieldCheck, Self::Laboratory][index]
    }
}

/// One observation.
#[derive(Clone, Debug, PartialEq)]
pub struct Observation {
    /// Bed and section.
    pub place: Place,
    /// Day.
    pub date: Date,
    /// Crop looked at; `None` if only the soil or the bed was.
    pub crop: Option<CropId>,
    /// Cause.
    pub seen: Seen,
    /// Symptom in the grower's words.
    pub symptom: Box<str>,
    /// Extent; `None` if not given.
    pub extent: Option<Extent>,
    /// How sure; suspected if not given.
    pub certainty: Certainty,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Observation {
    /// Columns of `observations.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        columns::DATE,
        Column::optional("crop", Kind::Name("crop"), "crop looked at"),
        Column::required(
            "cause",
            Kind::Name("cause"),
            "disease, pest or disorder, `unknown`, or `healthy`",
        ),
        Column::optional("symptom", Kind::Text(500), "what was seen, in your own words"),
        Column::optional(
            "extent",
            Kind::Text(20),
            "trace, light, moderate, severe, or percent of plants like 35%",
        ),
        Column::optional(
            "certainty",
            Kind::Choice(Certainty::WORDS),
            "suspected, field_check or laboratory",
        ),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let date = cells.date("date");
        let crop = super::crop(cells, lookup);
        let knowledge = lookup.knowledge;
        let seen = cells.name("cause", |written| cause(knowledge, crop, written));
        let is_unknown = seen.is_none() && !cells.written("cause").is_empty();
        if is_unknown
            && cause(knowledge, crop, cells.written("cause")).is_err_and(|near| near.is_empty())
        {
            cells.advise(
                "no disease, pest or disorder by that name: if you do not know the cause write \
                 `unknown` here, and what you saw under `symptom`"
                    .to_owned(),
            );
        }
        let symptom = cells.text("symptom").unwrap_or_default().into();
        let extent = extent(cells);
        let certainty = cells.choice("certainty").map_or(Certainty::Suspected, Certainty::at);
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            place: place?,
            date: date?,
            crop,
            seen: seen?,
            symptom,
            extent,
            certainty,
            note,
            origin,
        })
    }
}

fn cause(knowledge: &Knowledge, crop: Option<CropId>, written: &str) -> Resolved<Seen> {
    match written.to_ascii_lowercase().as_str() {
        "unknown" | "?" => return Ok(Seen::Unknown),
        "healthy" | "none" => return Ok(Seen::Healthy),
        _ => {}
    }
    let crop_key = crop.map(|crop| &*knowledge.crops[crop].key);
    if let Ok(key) = knowledge.names.find(Named::Cause, written) {
        return Ok(Seen::Disorder(key.into()));
    }
    knowledge.names.pathogen(&knowledge.pathogens, crop_key, written).map(Seen::Pathogen)
}

fn extent(cells: &mut Cells<'_>) -> Option<Extent> {
    const ALLOWED: &[&str] = &["trace", "light", "moderate", "severe"];
    let written = cells.text("extent")?;
    match written.to_ascii_lowercase().as_str() {
        "trace" => return Some(Extent::Trace),
        "light" => return Some(Extent::Light),
        "moderate" => return Some(Extent::Moderate),
        "severe" => return Some(Extent::Severe),
        _ => {}
    }
    let number = written.trim_end_matches('%').trim_end();
    match number.parse::<f64>() {
        Ok(percent) if (0.0..=100.0).contains(&percent) => Some(Extent::Percent(percent)),
        Ok(_) => {
            cells.problem("extent", Problem::OutOfRange { least: 0.0, most: 100.0 }, None);
            None
        }
        Err(_) => {
            let hint = Some("or a percent of plants, like 35%".to_owned());
            cells.problem("extent", Problem::NotAWord { allowed: ALLOWED }, hint);
            None
        }
    }
}
