//! `reference path`: how a disease seen on one crop bears on another.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::view::{Phrases, json, path_page};

pub(super) fn run(
    session: &Session,
    from: &str,
    disease: &str,
    to: &str,
) -> Result<Outcome, CliError> {
    let (from, to) = (session.crop(from)?, session.crop(to)?);
    let knowledge = session.knowledge();
    // The same words mean another disease on another crop.
    let on = &knowledge.crops[from].key;
    let pathogen = knowledge
        .names
        .pathogen(&knowledge.pathogens, Some(on), disease)
        .or_else(|_| super::pathogen(session, disease))?;
    let path = knowledge.graph().evidence_path(from, pathogen, to);
    let phrases = Phrases::new(knowledge);
    session.print(
        || path_page(phrases, from, pathogen, to, path.as_deref()),
        || serde_json::json!(json::reference::path(phrases, path.as_deref())),
    )
}
