//! Legumes between standing plants, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use super::judgment::{AssessmentJson, assessment};
use crate::records::Place;

/// A legume between standing plants.
#[derive(Clone, Debug, Serialize)]
pub struct LegumeJson {
    /// The judgment.
    pub assessment: AssessmentJson,
    /// Seed for the free ground, grams.
    pub seed_g: Option<[f64; 2]>,
    /// Nitrogen on the free ground, grams.
    pub nitrogen_g: Option<[f64; 2]>,
    /// Keys of the bed's pathogens that it shares with the standing crop.
    pub shared_here: Vec<String>,
}

/// The ground between standing plants.
#[derive(Clone, Debug, Serialize)]
pub struct IntersowJson {
    /// Format number.
    pub format: u32,
    /// Bed.
    pub bed: String,
    /// Section.
    pub section: Option<String>,
    /// What stands.
    pub standing: String,
    /// Stems.
    pub stems: Option<f64>,
    /// Ground free for seed.
    pub free_area_m2: Option<f64>,
    /// Best first.
    pub legumes: Vec<LegumeJson>,
}

/// The ground between standing plants for going out.
#[must_use]
pub fn intersow(
    phrases: Phrases<'_>,
    place: &Place,
    advice: &crate::advise::Intersow<'_>,
) -> IntersowJson {
    let knowledge = phrases.knowledge;
    IntersowJson {
        format: FORMAT,
        bed: place.bed.to_string(),
        section: place.section.as_deref().map(str::to_owned),
        standing: knowledge.crops[advice.standing.crop].key.to_string(),
        stems: advice.stems,
        free_area_m2: advice.free_area.map(|area| area.0),
        legumes: advice
            .legumes
            .iter()
            .map(|option| LegumeJson {
                assessment: assessment(phrases, place, &option.assessment, &[]),
                seed_g: option.seed.map(|(low, high)| [low.0, high.0]),
                nitrogen_g: option.nitrogen.map(|(low, high)| [low.0, high.0]),
                shared_here: option
                    .shared_here
                    .iter()
                    .map(|pathogen| knowledge.pathogens[*pathogen].key.to_string())
                    .collect(),
            })
            .collect(),
    }
}
