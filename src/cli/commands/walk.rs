//! `walk`: the sheet to take along.

use std::path::PathBuf;

use super::plan::{kept, planned};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::plan::{PlanAsk, tasks, walk};
use crate::season::add_days;
use crate::view::{Phrases, json, walk_page};

/// Print a sheet for a walk through the beds: what stands, what is due, what to look for
///
/// With a plan's file what is due stands on it too. What was seen is typed back with `record`, one
/// line each.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop walk --plan plan.csv --days 14")]
pub(in crate::cli) struct WalkArgs {
    /// Plan to take what is due from, as `plan --write` writes it
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    /// Days ahead that count as due
    #[arg(long, value_name = "N", default_value_t = 14)]
    days: u16,
}

pub(in crate::cli) fn run(session: &Session, args: &WalkArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let knowledge = session.knowledge();
    let due = match &args.plan {
        Some(path) => {
            let ask = PlanAsk {
                kept: kept(session, &garden, path)?,
                only_kept: true,
                ..PlanAsk::new(session.today, 24)
            };
            tasks(knowledge, &planned(session, &garden, &ask)?)
        }
        None => Vec::new(),
    };
    let by = add_days(session.today, f64::from(args.days));
    let places = walk(knowledge, &session.policy, &garden, session.today, &due, by);
    let phrases = Phrases::new(knowledge);
    let name = garden.site.as_ref().map_or("the garden", |site| &site.name).to_owned();
    session.print(
        || walk_page(session.phrases(), &places, session.today, &name),
        || serde_json::json!(json::walk::walk(phrases, &places, session.today)),
    )
}
