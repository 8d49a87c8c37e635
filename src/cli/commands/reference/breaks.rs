//! `reference breaks` and `reference bridges`: what stops several diseases at once, and what
//! carries one over.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::{MOST_PATHOGENS, PathogenId};
use crate::view::{Phrases, breaks_page, bridges_page, json};

pub(super) fn run(session: &Session, diseases: &[&str]) -> Result<Outcome, CliError> {
    if diseases.is_empty() || diseases.len() > MOST_PATHOGENS {
        return Err(CliError::input(format!("name 1 to {MOST_PATHOGENS} diseases"))
            .hint("like: `breakcrop reference breaks verticillium clubroot`"));
    }
    let knowledge = session.knowledge();
    let pathogens: Vec<PathogenId> = diseases
        .iter()
        .map(|name| super::pathogen(session, name))
        .collect::<Result<_, CliError>>()?;
    let breaks = knowledge.breaks(&pathogens);
    let phrases = Phrases::new(knowledge);
    session.print(
        || breaks_page(phrases, &pathogens, &breaks),
        || serde_json::json!(json::reference::breaks(phrases, &pathogens, &breaks)),
    )
}

pub(super) fn bridges(session: &Session, disease: &str) -> Result<Outcome, CliError> {
    if disease.is_empty() {
        return Err(
            CliError::input("name a disease").hint("like: `breakcrop reference bridges clubroot`")
        );
    }
    let pathogen = super::pathogen(session, disease)?;
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || bridges_page(phrases, pathogen),
        || serde_json::json!(json::reference::bridges(phrases, pathogen)),
    )
}
