//! `report`: the garden as one HTML file.

use std::path::{Path, PathBuf};

use crate::advise::survey;
use crate::audit::audit;
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::plan::{PlanAsk, tasks};
use crate::records::Garden;
use crate::render::report_html;
use crate::view::report::{Chapter, Material, report};
use crate::view::{Label, Line, Page, calendar_page, own_choices_page, plan_page, words};

/// Write the garden report: one HTML file to read on a phone or to print
///
/// What stands, what ails, what can follow, what to do this month, and why: for the garden and for
/// every bed, with plan, cores of the years, dose curves, nutrient books, audit and sources. The file
/// needs no network and holds no script.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop report\n  breakcrop report --file shed-wall.html\n  \
breakcrop plan --write plan.csv && breakcrop report --plan plan.csv"
)]
pub(in crate::cli) struct ReportArgs {
    /// File to write; one that is there is replaced
    #[arg(long, value_name = "FILE", default_value = "report.html")]
    file: PathBuf,
    /// Add the plan of this file, as `plan --write` wrote it, and its calendar by week
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
}

pub(in crate::cli) fn run(session: &Session, args: &ReportArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let (knowledge, policy, today) = (session.knowledge(), &session.policy, session.today);
    // The audit and the survey know nothing of each other: two cores share them.
    let (found, survey) = std::thread::scope(|scope| {
        let found = scope.spawn(|| audit(knowledge, policy, &garden, today));
        let survey = survey(knowledge, policy, &garden, today);
        (found.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)), survey)
    });
    let material = Material {
        phrases: session.phrases(),
        policy,
        garden: &garden,
        survey: &survey,
        audit: &found,
    };
    let mut chapters = match &args.plan {
        Some(path) => plan_chapters(session, &garden, path)?,
        None => Vec::new(),
    };
    chapters.extend(own_choices(session));
    let report = report(&material, chapters);
    let text = report_html(&report);
    session.write_file(&args.file, text.as_bytes())?;
    session.print(
        || {
            let mut page = Page::default();
            page.line(
                Line::default()
                    .text(format!(
                        "report of {} on {today}: {}, {} kB, in ",
                        report.garden,
                        words::count(report.sheets.len(), "sheet"),
                        text.len().div_ceil(1000),
                    ))
                    .and(Label::Command, args.file.display().to_string()),
            );
            page.line(Line::at(1).text("open it in any browser; it needs no network"));
            page
        },
        || {
            serde_json::json!({
                "format": crate::view::json::FORMAT,
                "file": args.file,
                "bytes": text.len(),
                "on": today,
                "sheets": report.sheets.len(),
                "sources": report.sources.len(),
            })
        },
    )
}

/// The choices in which an own value counts, if there are any.
fn own_choices(session: &Session) -> Option<Chapter> {
    let own = &session.own_choices;
    (!own.is_empty()).then(|| Chapter {
        id: "own-choices",
        title: "Own choices".to_owned(),
        page: own_choices_page(&session.policy, own),
    })
}

/// Longest plan there is.
const MOST_HALF_MONTHS: i64 = 96;

/// The plan of a file, judged anew, and what it asks for week by week.
fn plan_chapters(
    session: &Session,
    garden: &Garden,
    path: &Path,
) -> Result<Vec<Chapter>, CliError> {
    let kept = super::plan::kept(session, garden, path)?;
    let end = kept.iter().filter_map(|planting| planting.stood.end).max().unwrap_or(session.today);
    let half_months = (end - session.today).num_days().div_euclid(15).clamp(1, MOST_HALF_MONTHS);
    let half_months = u8::try_from(half_months).unwrap_or(1);
    let ask = PlanAsk { kept, only_kept: true, ..PlanAsk::new(session.today, half_months) };
    let plan = super::plan::planned(session, garden, &ask)?;
    let name = garden.site.as_ref().map_or("the garden", |site| &site.name);
    let phrases = session.phrases();
    Ok(vec![
        Chapter {
            id: "plan-of-seasons",
            title: "The plan".to_owned(),
            page: plan_page(phrases, &plan, name),
        },
        Chapter {
            id: "calendar",
            title: "The calendar".to_owned(),
            page: calendar_page(phrases, &tasks(session.knowledge(), &plan)),
        },
    ])
}
