//! `demo`: the main job on a garden that comes with the program.

use std::path::PathBuf;

use crate::advise::follow;
use crate::advise::intersow::{Asked, intersow};
use crate::assess::{Proposal, assess, changes};
use crate::audit::audit;
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::import::{Options, RecordFile, import};
use crate::records::{Garden, Place};
use crate::season::{Date, iso_day};
use crate::state::BedState;
use crate::store::Store;
use crate::view::{
    Label, Line, Page, assessment_page, audit_page, beds_page, follow_page, intersow_brief, words,
};

/// Build the demo garden and show the turn of its season
///
/// Gullcombe Terrace is invented: sixteen beds on a mild coast, five and a half years of notes. Its
/// records are imported into a garden file in this folder, and the questions of a day in October
/// are answered from them.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  breakcrop demo\n  breakcrop -g demo.breakcrop bed L2 --today 2026-10-12"
)]
pub(in crate::cli) struct DemoArgs {
    /// Garden file to make
    #[arg(long, value_name = "FILE", default_value = "demo.breakcrop")]
    file: PathBuf,
}

/// The name of the demo garden's site.
pub(super) const SITE: &str = "Gullcombe Terrace";

/// The day on which the demo garden is looked at.
const DAY: &str = "2026-10-12";

macro_rules! demo_file {
    ($($name:literal),* $(,)?) => {
        [$(($name, include_str!(concat!("../../../fixtures/gardens/gullcombe_terrace/", $name)))),*]
    };
}

/// The demo garden's record files.
pub(in crate::cli) fn files() -> Vec<RecordFile> {
    demo_file![
        "amendments.csv",
        "beds.csv",
        "climate.csv",
        "exceptions.csv",
        "harvests.csv",
        "observations.csv",
        "plantings.csv",
        "site.csv",
        "soil_tests.csv",
        "treatments.csv",
        "wishes.csv",
    ]
    .into_iter()
    .map(|(name, text)| RecordFile { name: name.to_owned(), bytes: text.into() })
    .collect()
}

pub(in crate::cli) fn run(session: &Session, args: &DemoArgs) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let today = iso_day(DAY).unwrap_or(session.today);
    let mut store = Store::create(&args.file)?;
    let options = Options { today, dry_run: false, withdraw: false };
    let outcome = import(&mut store, knowledge, &files(), "demo", options)?;
    let garden = store.garden(knowledge)?;
    let rows: usize = outcome.files.iter().map(|(_, rows)| rows).sum();
    session.print(
        || page(session, &garden, today, rows, args),
        || serde_json::json!({ "format": crate::view::json::FORMAT, "garden": args.file, "rows": rows }),
    )
}

fn page(session: &Session, garden: &Garden, today: Date, rows: usize, args: &DemoArgs) -> Page {
    let (knowledge, policy) = (session.knowledge(), &session.policy);
    let phrases = session.phrases();
    let mut page = Page::default();
    page.line(Line::default().text(format!(
        "{} of an invented garden read into {}; asked on {today}.",
        words::count(rows, "record"),
        args.file.display()
    )));
    page.blank();
    let states = super::beds::states(session, garden, today);
    page.extend(beds_page(phrases, garden, &states, today));
    page.blank();
    let sick = Place::whole("L1");
    page.extend(follow_page(phrases, &follow(knowledge, policy, garden, &sick, today), 1));
    page.blank();
    if let Some(strawberry) = knowledge.crops.find("strawberry") {
        let place = Place::section("L2", "east");
        let state = BedState::at(garden, knowledge, policy, &place, today);
        let assessment = assess(knowledge, policy, &state, &Proposal::of(strawberry, today));
        let changes = changes(knowledge, policy, garden, &place, &assessment);
        page.extend(assessment_page(phrases, &place, &assessment, &changes));
        page.blank();
    }
    let m2 = Place::whole("M2");
    if let Some(advice) = intersow(knowledge, policy, garden, &m2, today, Asked::default()) {
        page.extend(intersow_brief(phrases, &advice));
        page.blank();
    }
    page.extend(audit_page(phrases, &audit(knowledge, policy, garden, today), 1, false));
    page.blank();
    let file = args.file.display();
    page.line(
        Line::default()
            .text("go on: ")
            .and(Label::Command, format!("breakcrop -g {file} --today {today} bed L2")),
    );
    page
}
