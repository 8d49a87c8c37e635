//! `reference NAME` and `reference find WORDS`.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::{Found, Named, Node};
use crate::view::{Phrases, found_list, found_page, json};

/// The one thing of a name; several things of one name are shown one after the other.
pub(super) fn one(session: &Session, name: &str, dot: bool) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let phrases = Phrases::new(knowledge);
    let found = knowledge.look_up(name);
    if dot {
        let node = found.iter().find_map(|one| match one {
            Found::Crop(crop) => Some(Node::Crop(*crop)),
            Found::Pathogen(pathogen) => Some(Node::Pathogen(*pathogen)),
            Found::Cause(_)
            | Found::Material(_)
            | Found::Practice(_)
            | Found::Rootstock(_)
            | Found::Code(_)
            | Found::Clause(_)
            | Found::Source(_) => None,
        });
        let node = node.ok_or_else(|| unknown(session, name))?;
        return Session::out(&knowledge.graph().dot(&knowledge.crops, &knowledge.pathogens, &node));
    }
    if !found.is_empty() {
        return session.print(
            || found_page(session.phrases(), &found),
            || match found.as_slice() {
                [only] => json::reference::found(phrases, only),
                several => serde_json::json!(
                    several
                        .iter()
                        .map(|one| json::reference::found(phrases, one))
                        .collect::<Vec<_>>()
                ),
            },
        );
    }
    Err(unknown(session, name))
}

/// Everything that holds the words.
pub(super) fn all(session: &Session, words: &str) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let found = knowledge.search(words);
    if found.is_empty() {
        return Err(unknown(session, words));
    }
    let phrases = Phrases::new(knowledge);
    session.print(
        || found_list(phrases, &found),
        || serde_json::json!(json::reference::list(phrases, &found)),
    )
}

fn unknown(session: &Session, name: &str) -> CliError {
    let knowledge = session.knowledge();
    let mut near: Vec<String> = Vec::new();
    for named in [Named::Crop, Named::Pathogen, Named::Material, Named::Cause, Named::Practice] {
        near.extend(knowledge.names.find(named, name).err().unwrap_or_default());
    }
    near.truncate(3);
    let error = CliError::input(format!("the tables know nothing named \"{name}\""));
    if !near.is_empty() {
        return error.hint(format!("did you mean {}?", near.join(" or ")));
    }
    match knowledge.search(name).len() {
        0 => error.hint("lists: `breakcrop reference crops`, `pathogens`, `materials`, `sources`"),
        count => error.hint(format!(
            "{} this word: `breakcrop reference find {name}`",
            if count == 1 { "1 thing holds".to_owned() } else { format!("{count} things hold") }
        )),
    }
}
