//! `calendar`: a plan as days.

use std::path::PathBuf;

use super::plan::{MadeArgs, kept, made, planned};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::plan::{PlanAsk, Task, tasks};
use crate::render::{Event, calendar_text};
use crate::view::{Phrases, calendar_csv, calendar_page, json, plants_words, task_words};

/// List by week what a plan asks for, or write it as a calendar file or CSV
///
/// Sowing, setting out, planting, picking, cutting down, clearing, and when waits end. The calendar file
/// (RFC 5545) may be imported again after the plan has changed: entries keep their names, so that
/// they move and are not doubled. A plan thinks in half-months: a day may be kept within its week.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop calendar --plan plan.csv\n  \
breakcrop calendar --plan plan.csv --ics garden.ics")]
pub(in crate::cli) struct CalendarArgs {
    /// Plan to take, as `plan --write` writes it [default: a plan is made]
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    #[command(flatten)]
    made: MadeArgs,
    /// Write a calendar file
    #[arg(long, value_name = "FILE")]
    ics: Option<PathBuf>,
    /// Print CSV
    #[arg(long)]
    csv: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &CalendarArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let plan = match &args.plan {
        Some(path) => {
            let ask = PlanAsk {
                kept: kept(session, &garden, path)?,
                only_kept: true,
                ..PlanAsk::new(session.today, args.made.half_months())
            };
            planned(session, &garden, &ask)?
        }
        None => made(session, &garden, &args.made)?.1,
    };
    let phrases = Phrases::new(session.knowledge());
    let tasks = tasks(session.knowledge(), &plan);
    if let Some(path) = &args.ics {
        let name = garden.site.as_ref().map_or("garden", |site| &site.name).to_owned();
        let Some(text) = calendar_text(&events(session.phrases(), &tasks, &name), session.today)
        else {
            return Err(CliError::input(
                "the plan asks for nothing, and a calendar cannot be empty",
            ));
        };
        session.write_file(path, text.as_bytes())?;
    }
    if args.csv {
        return Session::out(&calendar_csv(phrases, &tasks));
    }
    session.print(
        || calendar_page(session.phrases(), &tasks),
        || serde_json::json!(json::calendar::calendar(phrases, &tasks)),
    )
}

/// Tasks as events; their names carry the garden's, so that two gardens share a calendar.
fn events(phrases: Phrases<'_>, tasks: &[Task], garden: &str) -> Vec<Event> {
    let garden: String = garden
        .chars()
        .map(|character| if character.is_ascii_alphanumeric() { character } else { '-' })
        .collect::<String>()
        .to_ascii_lowercase();
    let units = phrases.units;
    tasks
        .iter()
        .map(|task| {
            let place = task.place.as_ref().map_or("any bed".to_owned(), ToString::to_string);
            let words = task_words(phrases, task);
            Event {
                uid: format!("{}-{garden}@breakcrop", task.key),
                from: task.from,
                to: task.to,
                summary: format!("{place}: {words}"),
                description: plants_words(units, task).unwrap_or_default(),
                category: task.kind.word().to_owned(),
            }
        })
        .collect()
}
