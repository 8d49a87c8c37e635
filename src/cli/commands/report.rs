//! `report`: the garden as one HTML file.

use std::io::Write as _;
use std::path::PathBuf;

use crate::advise::survey;
use crate::audit::audit;
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::render::report_html;
use crate::view::report::{Material, report};
use crate::view::{Label, Line, Page, Phrases, words};

/// Write the garden report: one HTML file to read on a phone or to print
///
/// What stands, what ails, what can follow, what to do this month, and why: for the garden and for
/// every bed, with plan, cores of the years, dose curves, nutrient books, audit and sources. The file
/// needs no network and holds no script.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop report\n  breakcrop report --file shed-wall.html")]
pub(in crate::cli) struct ReportArgs {
    /// File to write; one that is there is replaced
    #[arg(long, value_name = "FILE", default_value = "report.html")]
    file: PathBuf,
}

pub(in crate::cli) fn run(session: &Session, args: &ReportArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let (knowledge, policy, today) = (session.knowledge(), &session.policy, session.today);
    let found = audit(knowledge, policy, &garden, today);
    let survey = survey(knowledge, policy, &garden, today);
    let material = Material {
        phrases: Phrases::new(knowledge),
        policy,
        garden: &garden,
        survey: &survey,
        audit: &found,
    };
    let report = report(&material, Vec::new());
    let text = report_html(&report);
    write(&args.file, &text)?;
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

/// Writes the file beside its place and moves it there, so that no half report is ever read.
fn write(path: &std::path::Path, text: &str) -> Result<(), CliError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => std::path::Path::new("."),
    };
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}
