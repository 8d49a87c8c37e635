//! The command line: arguments in, text out, exit codes. The only place that knows the clock, the
//! environment and the terminal.

#![expect(
    clippy::disallowed_methods,
    reason = "the shell: clock, environment and files are reached from here"
)]

mod commands;
mod error;
mod outcome;
mod output;
mod own_tables;
mod session;
mod stream;

pub use outcome::Outcome;

use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::season::Date;
use crate::units::UnitSystem;
use session::Session;

/// What the exit codes mean; [`Outcome`] gives them.
const EXIT_CODES: &str = "\
Exit codes: 0 done; 1 done, and the audit found something severe or `reference lint` a fault;
2 the command line was not understood; 3 records, or a name asked for, could not be
read; 4 a file, the disk or another program.
Colour: NO_COLOR, CLICOLOR and CLICOLOR_FORCE are heeded; none where the output is piped.";

/// What may follow where, from when and why: bed by bed, from your own records
///
/// breakcrop reads the CSV files in which you note what stood in which bed and what ailed it, and
/// answers from them and from sourced tables. All of it happens on this machine; nothing is sent
/// anywhere.
#[derive(Debug, Parser)]
#[command(name = "breakcrop", version, max_term_width = 80, after_help = EXIT_CODES)]
pub struct Arguments {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Command,
}

/// Options of every command.
#[derive(Debug, clap::Args)]
#[command(next_help_heading = "Options of every command")]
pub struct Global {
    /// Garden file [default: the only *.breakcrop file in this folder]
    #[arg(long, short, global = true, value_name = "FILE", env = "BREAKCROP_GARDEN")]
    garden: Option<PathBuf>,
    /// Folder of your own tables and choices (policy.csv), laid over the built-in ones
    #[arg(long, global = true, value_name = "FOLDER", env = "BREAKCROP_TABLES")]
    tables: Option<PathBuf>,
    /// Day taken for today, so that a run can be repeated [default: the clock]
    #[arg(long, global = true, value_name = "YYYY-MM-DD", value_parser = parse_day)]
    today: Option<Date>,
    /// Print JSON
    #[arg(long, global = true)]
    json: bool,
    /// How many problems of record files to print before the count
    #[arg(long, global = true, value_name = "N", default_value_t = 20)]
    most_problems: usize,
    /// Units shown; JSON keeps metric, its keys name their units. `export` writes files in them
    #[arg(long, global = true, value_name = "metric|us", value_parser = parse_units)]
    units: Option<UnitSystem>,
    /// Columns of the output [default: the terminal's, else 80]
    #[arg(long, global = true, value_name = "N")]
    width: Option<usize>,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(commands::new::NewArgs),
    Import(commands::import::ImportArgs),
    Export(commands::export::ExportArgs),
    Beds(commands::beds::BedsArgs),
    Bed(commands::bed::BedArgs),
    Assess(commands::assess::AssessArgs),
    Diagnose(commands::diagnose::DiagnoseArgs),
    Follow(commands::follow::FollowArgs),
    Cover(commands::cover::CoverArgs),
    Intersow(commands::intersow::IntersowArgs),
    Season(commands::season::SeasonArgs),
    Soil(commands::soil::SoilArgs),
    Plan(commands::plan::PlanArgs),
    Calendar(commands::calendar::CalendarArgs),
    Walk(commands::walk::WalkArgs),
    Record(commands::record::RecordArgs),
    Audit(commands::audit::AuditArgs),
    Report(commands::report::ReportArgs),
    Replay(commands::replay::ReplayArgs),
    Trend(commands::trend::TrendArgs),
    Doctor(commands::doctor::DoctorArgs),
    Reference(commands::reference::ReferenceArgs),
    Demo(commands::demo::DemoArgs),
    Policy(commands::policy::PolicyArgs),
    Completions(commands::shell::CompletionsArgs),
    Man(commands::shell::ManArgs),
}

impl Command {
    /// Whether it shows faults of own tables itself, so that they are no reason to stop.
    fn looks_at_faults(&self) -> bool {
        matches!(self, Self::Reference(args) if args.is_lint())
    }
}

fn parse_day(text: &str) -> Result<Date, String> {
    crate::season::iso_day(text).ok_or_else(|| format!("write the day as yyyy-mm-dd, not `{text}`"))
}

fn parse_units(text: &str) -> Result<UnitSystem, String> {
    match text {
        "metric" => Ok(UnitSystem::Metric),
        "us" => Ok(UnitSystem::Us),
        _ => Err("write `metric` or `us`".to_owned()),
    }
}

/// Runs the command line and says how it ended.
#[must_use]
pub fn run() -> Outcome {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => return outcome::of_clap(&error),
    };
    let mut session = Session::new(&arguments.global);
    let result = session.lay_over(arguments.command.looks_at_faults()).and_then(|()| {
        match &arguments.command {
            Command::New(args) => commands::new::run(&session, args),
            Command::Import(args) => commands::import::run(&session, args),
            Command::Export(args) => commands::export::run(&session, args),
            Command::Beds(args) => commands::beds::run(&session, args),
            Command::Bed(args) => commands::bed::run(&session, args),
            Command::Assess(args) => commands::assess::run(&session, args),
            Command::Diagnose(args) => commands::diagnose::run(&session, args),
            Command::Follow(args) => commands::follow::run(&session, args),
            Command::Cover(args) => commands::cover::run(&session, args),
            Command::Intersow(args) => commands::intersow::run(&session, args),
            Command::Season(args) => commands::season::run(&session, args),
            Command::Soil(args) => commands::soil::run(&session, args),
            Command::Plan(args) => commands::plan::run(&session, args),
            Command::Calendar(args) => commands::calendar::run(&session, args),
            Command::Walk(args) => commands::walk::run(&session, args),
            Command::Record(args) => commands::record::run(&session, args),
            Command::Audit(args) => commands::audit::run(&session, args),
            Command::Report(args) => commands::report::run(&session, args),
            Command::Replay(args) => commands::replay::run(&session, args),
            Command::Trend(args) => commands::trend::run(&session, args),
            Command::Doctor(args) => commands::doctor::run(&session, args),
            Command::Reference(args) => commands::reference::run(&session, args),
            Command::Demo(args) => commands::demo::run(&session, args),
            Command::Policy(args) => commands::policy::run(&session, args),
            Command::Completions(args) => commands::shell::completions(&session, args),
            Command::Man(args) => commands::shell::man(&session, args),
        }
    });
    let outcome = match result {
        Ok(outcome) => outcome,
        Err(error) => {
            let outcome = error.outcome();
            session.complain(&crate::view::problem_page(error.problems(), session.most_problems));
            session.warn(&error.to_string());
            for cause in error.causes() {
                session.note(&format!("because {cause}"));
            }
            for hint in error.hints() {
                session.note(hint);
            }
            outcome
        }
    };
    // The program ends here: giving the tables back row by row would take longer than some answers.
    std::mem::forget(session);
    outcome
}
