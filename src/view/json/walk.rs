//! The walk sheet, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::calendar::{TaskJson, calendar};
use crate::plan::WalkPlace;
use crate::season::Date;

/// A disease to look for.
#[derive(Clone, Debug, Serialize)]
pub struct LookForJson {
    /// Crop key.
    pub crop: String,
    /// Its key.
    pub pathogen: String,
    /// Whether it was seen in this very place.
    pub seen_here: bool,
    /// How it shows.
    pub symptom: Option<String>,
    /// The check that tells it apart.
    pub field_check: Option<String>,
}

/// A place.
#[derive(Clone, Debug, Serialize)]
pub struct WalkPlaceJson {
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// Crop keys of what stands.
    pub standing: Vec<String>,
    /// What is due.
    pub due: Vec<TaskJson>,
    /// What to look for.
    pub look_for: Vec<LookForJson>,
}

/// The sheet.
#[derive(Clone, Debug, Serialize)]
pub struct WalkJson {
    /// Format number.
    pub format: u32,
    /// The day.
    pub on: Date,
    /// The places in their order.
    pub places: Vec<WalkPlaceJson>,
}

/// The sheet for going out.
#[must_use]
pub fn walk(phrases: Phrases<'_>, places: &[WalkPlace<'_>], on: Date) -> WalkJson {
    let knowledge = phrases.knowledge;
    WalkJson {
        format: FORMAT,
        on,
        places: places
            .iter()
            .map(|place| WalkPlaceJson {
                bed: place.place.bed.to_string(),
                section: place.place.section.as_deref().map(str::to_owned),
                standing: place
                    .standing
                    .iter()
                    .map(|(crop, ..)| knowledge.crops[*crop].key.to_string())
                    .collect(),
                due: calendar(phrases, &place.due).tasks,
                look_for: place
                    .look_for
                    .iter()
                    .map(|look| LookForJson {
                        crop: knowledge.crops[look.crop].key.to_string(),
                        pathogen: knowledge.pathogens[look.pathogen].key.to_string(),
                        seen_here: look.seen_here,
                        symptom: look.symptom.map(|symptom| symptom.symptom.to_string()),
                        field_check: look.symptom.map(|symptom| symptom.field_check.to_string()),
                    })
                    .collect(),
            })
            .collect(),
    }
}
