//! `reference`: what the tables say.

mod breaks;
mod coverage;
mod find;
mod lint;
mod lists;
mod path;

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::view::{Phrases, json, pair_page};

/// Look up what the tables say: a crop, a disease, a material, a pair of crops, a source
///
/// Names may be common, scientific or foreign, EPPO codes, resistance codes of the seed trade,
/// keys of sources. Words of its own: `breaks DISEASE...` for crops that break several diseases
/// at once, `path CROP DISEASE CROP` for how one bears on the other, `bridges DISEASE` for weeds
/// and covers that carry it over, `find WORDS` for everything that holds the words, `coverage`
/// for what the tables hold, `lint` for whether they agree; `crops`, `covers`, `pathogens`,
/// `materials`, `rootstocks`, `codes`, `clauses` and `sources` for lists.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop reference courgette\n  breakcrop reference clubroot\n  \
breakcrop reference tomato strawberry\n  breakcrop reference breaks verticillium clubroot\n  \
breakcrop reference path tomato verticillium strawberry\n  breakcrop reference find wood ash\n  \
breakcrop reference Fol\n  breakcrop reference tomato --dot"
)]
pub(in crate::cli) struct ReferenceArgs {
    /// A name, two crops, or a word from above with what it asks for
    #[arg(required = true, value_name = "WHAT")]
    words: Vec<String>,
    /// Print the neighbourhood in the graph as Graphviz DOT
    #[arg(long)]
    dot: bool,
}

impl ReferenceArgs {
    /// Whether the faults of tables are what is asked for.
    pub(in crate::cli) fn is_lint(&self) -> bool {
        matches!(self.words.as_slice(), [word] if word == "lint")
    }
}

pub(in crate::cli) fn run(session: &Session, args: &ReferenceArgs) -> Result<Outcome, CliError> {
    if args.is_lint() {
        return lint::run(session);
    }
    let knowledge = session.knowledge();
    let phrases = Phrases::new(knowledge);
    let words: Vec<&str> = args.words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["coverage"] => coverage::run(session),
        ["breaks", diseases @ ..] => breaks::run(session, diseases),
        ["bridges", disease @ ..] => breaks::bridges(session, &disease.join(" ")),
        ["path", from, disease, to] => path::run(session, from, disease, to),
        ["path", ..] => Err(CliError::input("a path needs a crop, a disease and a crop")
            .hint("like: `breakcrop reference path tomato verticillium strawberry`")),
        ["find", rest @ ..] => find::all(session, &rest.join(" ")),
        [list] if lists::WORDS.contains(list) => lists::run(session, list),
        [one, other] => {
            let crop = |name: &str| knowledge.names.crop(&knowledge.crops, name).ok();
            // Two words may also be one name: `root knot`, `wood ash`.
            match (knowledge.look_up(&words.join(" ")).is_empty(), crop(one), crop(other)) {
                (true, Some(one), Some(other)) => session.print(
                    || pair_page(phrases, one, other),
                    || serde_json::json!(json::reference::pair(phrases, one, other)),
                ),
                _ => find::one(session, &words.join(" "), args.dot),
            }
        }
        _ => find::one(session, &words.join(" "), args.dot),
    }
}

/// The pathogen of a name, or what is near it.
pub(in crate::cli) fn pathogen(
    session: &Session,
    name: &str,
) -> Result<crate::knowledge::PathogenId, CliError> {
    let knowledge = session.knowledge();
    knowledge.names.pathogen(&knowledge.pathogens, None, name).map_err(|near| {
        let error = CliError::input(format!("unknown disease \"{name}\""));
        if near.is_empty() {
            error.hint("all of them: `breakcrop reference pathogens`")
        } else {
            error.hint(format!("did you mean {}?", near.join(" or ")))
        }
    })
}
