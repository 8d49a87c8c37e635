//! `import`: from record files to the garden file.

use std::path::PathBuf;

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::{Session, same_file};
use crate::import::{ImportError, Options, import_folder, list_folder};
use crate::records::Tally;
use crate::store::Store;
use crate::view::json;
use crate::view::{Label, Line, Page, words};

/// Read a folder of record files into the garden file
///
/// Every row is checked first. If anything cannot be read, all problems are listed with file, line
/// and column, and nothing is written. Importing the same files again changes nothing; a changed
/// row supersedes the earlier one, which is kept.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  breakcrop import my-garden --dry-run\n  breakcrop import my-garden"
)]
pub(in crate::cli) struct ImportArgs {
    /// Folder with site.csv, beds.csv, plantings.csv ...
    folder: PathBuf,
    /// Check and count only; write nothing
    #[arg(long)]
    dry_run: bool,
    /// Withdraw records that no longer stand in the files (they are kept otherwise)
    #[arg(long)]
    withdraw: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &ImportArgs) -> Result<Outcome, CliError> {
    let (files, _) = list_folder(&args.folder)?;
    // The first import of a folder: the garden file is named after it.
    let path = session.garden_path().unwrap_or_else(|_| {
        let folder = args.folder.canonicalize().ok();
        let name = folder.as_deref().and_then(std::path::Path::file_name);
        let name = name.map_or_else(|| "garden".into(), std::ffi::OsStr::to_string_lossy);
        PathBuf::from(format!("{name}.breakcrop"))
    });
    if files.iter().any(|file| same_file(&args.folder.join(file), &path)) {
        return Err(CliError::input("the garden file is one of the record files"));
    }
    let is_new = !path.exists();
    let mut store = Store::create(&path)?;
    let options = Options { today: session.today, dry_run: args.dry_run, withdraw: args.withdraw };
    let result = import_folder(&mut store, session.knowledge(), &args.folder, options);
    drop(store);
    // A first import that failed, or was only tried, leaves no empty garden behind.
    if is_new && (args.dry_run || result.is_err()) {
        std::fs::remove_file(&path)?;
    }
    match result {
        Ok(outcome) => session.print(
            || page(args, &path, &outcome.files, &outcome.others, &outcome.tally),
            || serde_json::json!(json::import(&outcome.files, &outcome.tally, &[])),
        ),
        Err(ImportError::Problems(problems)) if session.json => {
            let document = json::import(&[], &Tally::default(), &problems);
            Session::out(&crate::render::json_text(&document))?;
            Err(CliError::input(format!(
                "{}; nothing was imported",
                words::count(problems.len(), "problem")
            )))
        }
        Err(error) => Err(error.into()),
    }
}

fn page(
    args: &ImportArgs,
    path: &std::path::Path,
    files: &[(String, usize)],
    others: &[String],
    tally: &Tally,
) -> Page {
    let mut page = Page::default();
    let rows: usize = files.iter().map(|(_, rows)| rows).sum();
    let verb = if args.dry_run { "would import" } else { "imported" };
    page.heading(format!(
        "{verb} {} of {} into {}",
        words::count(rows, "row"),
        words::count(files.len(), "file"),
        path.display()
    ));
    page.line(Line::at(1).text(format!(
        "{} new, {} corrected, {} already there",
        tally.added, tally.corrected, tally.unchanged
    )));
    if !tally.missing.is_empty() {
        let first: Vec<String> =
            tally.missing.iter().take(3).map(|(file, line)| format!("{file}:{line}")).collect();
        let count = words::count(tally.missing.len(), "record");
        let more = if tally.missing.len() > 3 { " ..." } else { "" };
        let what = if tally.withdrawn {
            "no longer in the files: withdrawn"
        } else {
            "no longer in the files: kept; --withdraw takes them out"
        };
        page.line(
            Line::at(1)
                .and(Label::Care, format!("{count} {what}"))
                .text(format!(" ({}{more})", first.join(", "))),
        );
    }
    if !others.is_empty() {
        page.line(
            Line::at(1).text(format!("not record files, passed over: {}", others.join(", "))),
        );
    }
    page
}
