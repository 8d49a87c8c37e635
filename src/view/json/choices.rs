//! The JSON of the choices: frozen structs.

use serde::Serialize;

use super::FORMAT;
use crate::policy::{OwnChoice, Policy};

/// All choices.
#[derive(Clone, Debug, Serialize)]
pub struct ChoicesJson {
    /// Number of the format.
    pub format: u32,
    /// In the order of the table.
    pub choices: Vec<ChoiceJson>,
}

/// One choice, with the value that counts.
#[derive(Clone, Debug, Serialize)]
pub struct ChoiceJson {
    /// Name.
    pub choice: &'static str,
    /// Lower end; the figure itself where the choice is no range.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// Upper end.
    pub high: f64,
    /// Why this project chose so.
    pub reason: &'static str,
    /// The own value's reason and place, if one stands here.
    pub own: Option<OwnChoiceJson>,
}

/// Where an own value comes from.
#[derive(Clone, Debug, Serialize)]
pub struct OwnChoiceJson {
    /// Why, in the words of the file.
    pub reason: Box<str>,
    /// File and line.
    pub source: String,
}

/// The choices that count, own ones marked.
#[must_use]
pub fn choices(policy: &Policy, own: &[OwnChoice]) -> ChoicesJson {
    let choices = policy
        .entries()
        .into_iter()
        .map(|(choice, value, reason)| ChoiceJson {
            choice,
            low: value.low,
            likely: value.likely,
            high: value.high,
            reason,
            own: own.iter().find(|own| own.choice == choice).map(|own| OwnChoiceJson {
                reason: own.reason.clone(),
                source: own.origin.to_string(),
            }),
        })
        .collect();
    ChoicesJson { format: FORMAT, choices }
}
