//! Lists of what the tables hold.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::view::{Label, Line, Page};

/// The lists.
pub(super) const WORDS: &[&str] =
    &["crops", "covers", "pathogens", "materials", "rootstocks", "codes", "clauses", "sources"];

pub(super) fn run(session: &Session, list: &str) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let own = |key: &str, name: &str| (key.to_owned(), name.to_owned());
    let rows: Vec<(String, String)> = match list {
        "crops" => knowledge.crops.iter().map(|(_, row)| own(&row.key, &row.name)).collect(),
        "covers" => knowledge
            .covers()
            .into_iter()
            .map(|crop| own(&knowledge.crops[crop].key, &knowledge.crops[crop].name))
            .collect(),
        "pathogens" => {
            knowledge.pathogens.iter().map(|(_, row)| own(&row.key, &row.name)).collect()
        }
        "materials" => {
            knowledge.materials.rows().iter().map(|row| own(&row.key, &row.kind)).collect()
        }
        "rootstocks" => {
            knowledge.rootstocks.rows().iter().map(|row| own(&row.key, &row.name)).collect()
        }
        "codes" => knowledge
            .resistances
            .rows()
            .iter()
            .map(|row| {
                let pathogen = row
                    .pathogen
                    .map_or("no row of its own", |pathogen| &*knowledge.pathogens[pathogen].key);
                let crop = &knowledge.crops[row.crop].key;
                (row.code.to_string(), format!("{crop}: {pathogen}"))
            })
            .collect(),
        "clauses" => knowledge.clauses().iter().map(|row| own(&row.id, &row.demands)).collect(),
        _ => knowledge.sources.iter().map(|row| own(&row.key, &row.citation)).collect(),
    };
    session.print(
        || {
            let mut page = Page::default();
            for (key, name) in &rows {
                page.line(Line::at(0).hanging(4).and(Label::Name, key).text(format!("  {name}")));
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
