//! `audit`: years of records held against the rules, and clause by clause against standards.

use std::path::{Path, PathBuf};

use crate::audit::{Audit, audit, audit_in_brief, catalogue, proofs};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::cli::stream;
use crate::records::Garden;
use crate::view::json::StreamedResult;
use crate::view::{
    PROOF_COLUMNS, Page, Phrases, audit_page, card_page, clauses_page, json, proof_html,
    proof_page, proof_rows,
};

/// Hold the records against the rules of rotation and soil care
///
/// Ends with code 1 if anything severe was found. With --stream, gardens are read from standard
/// input, one a line: {"id": 7, "files": {"beds.csv": "...", "plantings.csv": "..."}}. Each is
/// answered with one line, in the same order; a line that cannot be read says so in its place.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop audit\n  breakcrop audit --all --reasons\n  breakcrop audit rule green_bridge\n  breakcrop audit clauses\n  breakcrop audit --evidence for-the-inspector\n  breakcrop audit --stream < gardens.jsonl > findings.jsonl"
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
    reasons: bool,
    /// Write evidence.html and evidence.csv: clause by clause what the records prove, with file and
    /// line, and what is missing
    #[arg(long, value_name = "FOLDER")]
    evidence: Option<PathBuf>,
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
    /// List the clauses of standards with the rules that speak of each
    Clauses,
}

pub(in crate::cli) fn run(session: &Session, args: &AuditArgs) -> Result<Outcome, CliError> {
    match &args.what {
        Some(What::Rule { name }) => return cards(session, name.as_deref()),
        Some(What::Clauses) => return clauses(session),
        None => {}
    }
    let most = if args.all { usize::MAX } else { args.most };
    if args.stream {
        let (knowledge, policy) = (session.knowledge(), &session.policy);
        let phrases = Phrases::new(knowledge);
        return stream::run(knowledge, session.today, |garden, _, today| {
            let found = audit(knowledge, policy, garden, today);
            Ok(StreamedResult::Audit(json::streamed_audit(phrases, &found, most, args.reasons)))
        });
    }
    let whole = args.all || args.reasons || args.evidence.is_some() || session.json;
    if !whole {
        return brief(session, args.most);
    }
    let garden = session.load()?;
    let found = audit(session.knowledge(), &session.policy, &garden, session.today);
    if let Some(folder) = &args.evidence {
        return evidence(session, &garden, &found, folder);
    }
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || audit_page(session.phrases(), &found, most, args.reasons),
        || serde_json::json!(json::audit(phrases, &found)),
    )?;
    Ok(outcome(&found))
}

/// The worst findings, in the short form: a garden of any size is read bed by bed.
fn brief(session: &Session, most: usize) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let (shared, beds) = session.store()?.into_beds(knowledge)?;
    let found = audit_in_brief(knowledge, &session.policy, &shared, &beds, session.today, most)?;
    session.print(
        || audit_page(session.phrases(), &found, most, false),
        || serde_json::json!(json::audit(Phrases::new(knowledge), &found)),
    )?;
    Ok(outcome(&found))
}

fn outcome(found: &Audit) -> Outcome {
    if found.counts.severe > 0 { Outcome::Findings } else { Outcome::Done }
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

fn clauses(session: &Session) -> Result<Outcome, CliError> {
    let clauses = session.knowledge().clauses();
    session.print(
        || clauses_page(session.phrases(), clauses),
        || {
            let list: Vec<_> = clauses
                .iter()
                .map(|clause| {
                    serde_json::json!({
                        "id": clause.id, "clause": clause.clause, "demands": clause.demands,
                        "rules": clause.rules, "not_provable": clause.not_provable,
                    })
                })
                .collect();
            serde_json::json!({ "format": json::FORMAT, "clauses": list })
        },
    )
}

/// Writes the file for an inspector.
fn evidence(
    session: &Session,
    garden: &Garden,
    found: &Audit,
    folder: &Path,
) -> Result<Outcome, CliError> {
    let phrases = session.phrases();
    let proofs = proofs(session.knowledge(), garden, found, session.today);
    let name = garden.site.as_ref().map_or("this garden", |site| &site.name);
    let mut table = csv::Writer::from_writer(Vec::new());
    let unwritten = |error: csv::Error| CliError::from(std::io::Error::other(error));
    table.write_record(PROOF_COLUMNS).map_err(unwritten)?;
    for row in proof_rows(phrases, &proofs) {
        table.write_record(&row).map_err(unwritten)?;
    }
    let table = table.into_inner().map_err(|error| std::io::Error::other(error.to_string()))?;
    let page = proof_html(phrases, &proofs, name, session.today);
    std::fs::create_dir_all(folder)?;
    let mut files = Vec::new();
    for (file, bytes) in [("evidence.html", page.as_bytes()), ("evidence.csv", table.as_slice())] {
        session.write_file(&folder.join(file), bytes)?;
        files.push(folder.join(file).display().to_string());
    }
    session.print(
        || proof_page(&proofs, &files),
        || {
            let standings: Vec<_> = proofs
                .iter()
                .map(|proof| {
                    serde_json::json!({ "id": proof.clause.id, "standing": proof.standing.words() })
                })
                .collect();
            serde_json::json!({ "format": json::FORMAT, "files": files, "clauses": standings })
        },
    )
}
