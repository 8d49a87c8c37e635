//! `audit`: years of records held against the rules.

use crate::audit::{Severity, audit, catalogue};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::cli::stream;
use crate::view::json::StreamedResult;
use crate::view::{Page, Phrases, audit_page, card_page, json};

/// Hold the records against the rules of rotation and soil care
///
/// Ends with code 1 if anything severe was found. With --stream, gardens are read from standard
/// input, one a line: {"id": 7, "files": {"beds.csv": "...", "plantings.csv": "..."}}. Each is
/// answered with one line, in the same order; a line that cannot be read says so in its place.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop audit\n  breakcrop audit --all --evidence\n  breakcrop audit rule green_bridge\n  breakcrop audit --stream < gardens.jsonl > findings.jsonl"
)]
pub(in crate::cli) struct AuditArgs {
    #[command(subcommand)]
    what: Option<What>,
    /// How many findings
    #[arg(long, value_name = "N", default_value_t = 20)]
    most: usize,
    /// Show all findings
    #[arg(long)]
    all: bool,
    /// Show the records and sources of each finding
    #[arg(long)]
    evidence: bool,
    /// Answer gardens from standard input, one a JSON line
    #[arg(long)]
    stream: bool,
}

#[derive(Debug, clap::Subcommand)]
enum What {
    /// Print the card of a rule, or of all
    Rule {
        /// Rule; blank for the list of all
        name: Option<String>,
    },
}

pub(in crate::cli) fn run(session: &Session, args: &AuditArgs) -> Result<Outcome, CliError> {
    if let Some(What::Rule { name }) = &args.what {
        return cards(session, name.as_deref());
    }
    let most = if args.all { usize::MAX } else { args.most };
    if args.stream {
        let (knowledge, policy) = (session.knowledge(), &session.policy);
        let phrases = Phrases::new(knowledge);
        return stream::run(knowledge, session.today, |garden, _, today| {
            let found = audit(knowledge, policy, garden, today);
            Ok(StreamedResult::Audit(json::streamed_audit(phrases, &found, most, args.evidence)))
        });
    }
    let garden = session.load()?;
    let found = audit(session.knowledge(), &session.policy, &garden, session.today);
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || audit_page(phrases, &found, most, args.evidence),
        || serde_json::json!(json::audit(phrases, &found)),
    )?;
    let severe = found.findings.iter().any(|finding| finding.severity == Severity::Severe);
    Ok(if severe { Outcome::Findings } else { Outcome::Done })
}

fn cards(session: &Session, name: Option<&str>) -> Result<Outcome, CliError> {
    let rules = catalogue();
    let chosen: Vec<_> =
        rules.iter().filter(|rule| name.is_none_or(|name| rule.card().id == name)).collect();
    if chosen.is_empty() {
        let ids: Vec<&str> = rules.iter().map(|rule| rule.card().id).collect();
        return Err(CliError::input(format!("there is no rule \"{}\"", name.unwrap_or_default()))
            .hint(format!("rules: {}", ids.join(", "))));
    }
    session.print(
        || {
            let mut page = Page::default();
            for rule in &chosen {
                page.extend(card_page(rule.card()));
            }
            page
        },
        || {
            let cards: Vec<_> = chosen
                .iter()
                .map(|rule| {
                    let card = rule.card();
                    serde_json::json!({
                        "id": card.id, "severity": card.severity, "page": card.page,
                        "reads": card.reads, "sources": card.sources, "since": card.since,
                    })
                })
                .collect();
            serde_json::json!(cards)
        },
    )
}
