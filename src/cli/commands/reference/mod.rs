//! `reference`: what the tables say.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::Node;
use crate::view::{Label, Line, Page, Phrases, crop_page, pair_page, pathogen_page, source_page};

/// Look up what the tables say of a crop, a disease, a pair of crops, a source
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop reference courgette\n  breakcrop reference clubroot\n  \
breakcrop reference tomato strawberry\n  breakcrop reference crops\n  breakcrop reference tomato --dot"
)]
pub(in crate::cli) struct ReferenceArgs {
    /// A crop, disease, source key; `crops`, `pathogens` or `sources` for a list
    what: String,
    /// A second crop: what links the two
    other: Option<String>,
    /// Print the neighbourhood in the graph as Graphviz DOT
    #[arg(long)]
    dot: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &ReferenceArgs) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let phrases = Phrases::new(knowledge);
    if let Some(other) = &args.other {
        let (one, other) = (session.crop(&args.what)?, session.crop(other)?);
        return session.print(
            || pair_page(phrases, one, other),
            || {
                let shared: Vec<&str> = knowledge
                    .graph
                    .shared_pathogens(one, other)
                    .into_iter()
                    .map(|pathogen| &*knowledge.pathogens[pathogen].key)
                    .collect();
                serde_json::json!({ "format": crate::view::json::FORMAT, "shared_pathogens": shared })
            },
        );
    }
    match args.what.as_str() {
        "crops" => list(session, knowledge.crops.iter().map(|(_, crop)| (&*crop.key, &*crop.name))),
        "pathogens" => {
            list(session, knowledge.pathogens.iter().map(|(_, row)| (&*row.key, &*row.name)))
        }
        "sources" => {
            list(session, knowledge.sources.iter().map(|source| (&*source.key, &*source.citation)))
        }
        name => one(session, phrases, name, args.dot),
    }
}

fn one(
    session: &Session,
    phrases: Phrases<'_>,
    name: &str,
    dot: bool,
) -> Result<Outcome, CliError> {
    let knowledge = phrases.knowledge;
    let crop = knowledge.names.crop(&knowledge.crops, name);
    let pathogen = knowledge.names.pathogen(&knowledge.pathogens, None, name);
    if dot {
        let node = match (&crop, &pathogen) {
            (Ok(crop), _) => Node::Crop(*crop),
            (_, Ok(pathogen)) => Node::Pathogen(*pathogen),
            _ => return Err(unknown(name, crop.err(), pathogen.err())),
        };
        return Session::out(&knowledge.graph.dot(&knowledge.crops, &knowledge.pathogens, &node));
    }
    match (crop, pathogen) {
        (Ok(crop), _) => session.print(
            || crop_page(phrases, crop),
            || {
                let row = &knowledge.crops[crop];
                let pathogens: Vec<&str> = knowledge
                    .graph
                    .hosted_by(crop)
                    .map(|pathogen| &*knowledge.pathogens[pathogen].key)
                    .collect();
                serde_json::json!({
                    "format": crate::view::json::FORMAT, "key": row.key, "name": row.name,
                    "scientific_name": row.scientific_name, "family": row.family,
                    "eppo_code": row.eppo_code, "role": row.role.word(), "pathogens": pathogens,
                })
            },
        ),
        (_, Ok(pathogen)) => session.print(
            || pathogen_page(phrases, pathogen),
            || {
                let row = &knowledge.pathogens[pathogen];
                serde_json::json!({
                    "format": crate::view::json::FORMAT, "key": row.key, "name": row.name,
                    "scientific_name": row.scientific_name, "kind": row.kind,
                    "eppo_code": row.eppo_code, "inoculum": row.inoculum,
                    "survival_years": row.survival_years, "note": row.note,
                })
            },
        ),
        (Err(crops), Err(pathogens)) => match knowledge.sources.find(name) {
            Some(source) => session.print(
                || source_page(source),
                || {
                    serde_json::json!({
                        "format": crate::view::json::FORMAT, "key": source.key,
                        "citation": source.citation, "address": source.address,
                    })
                },
            ),
            None => Err(unknown(name, Some(crops), Some(pathogens))),
        },
    }
}

fn unknown(name: &str, crops: Option<Vec<String>>, pathogens: Option<Vec<String>>) -> CliError {
    let near: Vec<String> = crops.into_iter().chain(pathogens).flatten().take(3).collect();
    let error = CliError::input(format!("the tables know nothing named \"{name}\""));
    if near.is_empty() {
        error.hint("lists: `breakcrop reference crops`, `pathogens` or `sources`")
    } else {
        error.hint(format!("did you mean {}?", near.join(" or ")))
    }
}

fn list<'a>(
    session: &Session,
    rows: impl Iterator<Item = (&'a str, &'a str)>,
) -> Result<Outcome, CliError> {
    let rows: Vec<(&str, &str)> = rows.collect();
    session.print(
        || {
            let mut page = Page::default();
            for (key, name) in &rows {
                page.line(Line::at(0).hanging(4).and(Label::Name, *key).text(format!("  {name}")));
            }
            page
        },
        || {
            let list: Vec<_> = rows
                .iter()
                .map(|(key, name)| serde_json::json!({ "key": key, "name": name }))
                .collect();
            serde_json::json!(list)
        },
    )
}
