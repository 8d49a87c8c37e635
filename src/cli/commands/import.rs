//! `import`: from record files to the garden file.

use std::path::{Path, PathBuf};

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::{Session, same_file};
use crate::import::{
    DateOrder, Foreign, ImportError, Layout, Options, Outcome as ImportOutcome, RecordFile, import,
    import_folder, is_laid_out_otherwise, list_folder, read_folder, site_name,
};
use crate::records::{RecordKind, Tally};
use crate::store::Store;
use crate::view::json;
use crate::view::{Label, Line, Page, import_hints, words};

/// Read record files, or a spreadsheet, into the garden file
///
/// Every row is checked first. If anything cannot be read, all problems are listed with file, line
/// and column, and nothing is written. Importing the same files again changes nothing; a changed
/// row supersedes the earlier one, which is kept.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop import my-garden --dry-run\n  \
breakcrop import my-garden\n  breakcrop import notes.ods\n  \
breakcrop import old-notes --date-order dmy --columns \"plantings:What=crop,Sown=planted,Mood=\"")]
pub(in crate::cli) struct ImportArgs {
    /// Folder with site.csv, beds.csv, plantings.csv ..., or a spreadsheet (.xlsx, .ods) with
    /// sheets of these names
    from: PathBuf,
    /// Check and count only; write nothing
    #[arg(long)]
    dry_run: bool,
    /// Withdraw records that no longer stand in the files (they are kept otherwise)
    #[arg(long)]
    withdraw: bool,
    /// Columns under other names: THEIRS=OURS, several joined by commas; `FILE:` before a pair for
    /// one file only; `THEIRS=` leaves a column out
    #[arg(long, value_name = "PAIRS")]
    columns: Option<String>,
    /// Days are written in this order, not as yyyy-mm-dd; never guessed
    #[arg(long, value_name = "ORDER", value_parser = ["dmy", "mdy", "ymd"])]
    date_order: Option<String>,
}

/// What is to be read: files in memory if they have to be turned, else a folder to stream.
enum Source {
    Folder,
    Files(InMemory),
}

/// Files in memory.
struct InMemory {
    files: Vec<RecordFile>,
    /// What else lay beside them.
    others: Vec<String>,
    /// Those that were laid out in another way than ours.
    turned: Vec<(String, Layout)>,
}

fn source(args: &ImportArgs) -> Result<Source, CliError> {
    let foreign = Foreign {
        columns: match &args.columns {
            Some(text) => Foreign::columns_of(text).map_err(ImportError::Foreign)?,
            None => Vec::new(),
        },
        days: args.date_order.as_deref().and_then(DateOrder::of_word),
    };
    let (mut files, others) = if args.from.is_dir() {
        if foreign.is_nothing() && !is_laid_out_otherwise(&args.from)? {
            list_folder(&args.from)?;
            return Ok(Source::Folder);
        }
        read_folder(&args.from)?
    } else {
        spreadsheet(args)?
    };
    let turned = foreign.turn(&mut files).map_err(ImportError::Foreign)?;
    Ok(Source::Files(InMemory { files, others, turned }))
}

#[cfg(feature = "spreadsheets")]
fn spreadsheet(args: &ImportArgs) -> Result<(Vec<RecordFile>, Vec<String>), CliError> {
    use crate::import::{is_spreadsheet, read_spreadsheet};

    if !is_spreadsheet(&args.from) || !args.from.exists() {
        return Err(not_importable(args));
    }
    let (files, others) = read_spreadsheet(&args.from)?;
    if files.is_empty() {
        let kinds = RecordKind::ALL.map(RecordKind::word);
        return Err(CliError::input(format!("{} has no sheet to read", args.from.display()))
            .hint(format!("sheets are named like the record files: {}", kinds.join(", ")))
            .hint(format!("its sheets: {}", others.join(", "))));
    }
    Ok((files, others))
}

#[cfg(not(feature = "spreadsheets"))]
fn spreadsheet(args: &ImportArgs) -> Result<(Vec<RecordFile>, Vec<String>), CliError> {
    Err(not_importable(args))
}

fn not_importable(args: &ImportArgs) -> CliError {
    let what = args.from.display();
    if args.from.exists() {
        CliError::input(format!("{what} is neither a folder nor a spreadsheet that can be read"))
            .hint("name the folder of the CSV files, or an .xlsx or .ods file")
    } else {
        CliError::input(format!("there is no {what}"))
            .hint("`breakcrop new FOLDER` writes templates")
    }
}

/// The name of the site that is to be imported.
fn site_to_come(args: &ImportArgs, source: &Source) -> Option<String> {
    match source {
        Source::Files(memory) => site_name(&memory.files),
        Source::Folder => {
            let bytes = std::fs::read(args.from.join("site.csv")).ok()?;
            site_name(&[RecordFile { name: "site.csv".to_owned(), bytes }])
        }
    }
}

/// A garden file that merely lies in the folder is not written to if it is another garden's: a
/// newcomer's records would end in the demo.
fn refuse_another_garden(
    session: &Session,
    args: &ImportArgs,
    source: &Source,
    path: &Path,
) -> Result<(), CliError> {
    if session.garden_is_named() || !path.exists() {
        return Ok(());
    }
    let known = Store::open(path)?.garden(session.knowledge())?.site.map(|site| site.name);
    let (Some(known), coming) = (known, site_to_come(args, source)) else { return Ok(()) };
    let same = match &coming {
        Some(coming) => *coming == *known,
        None => *known != *super::demo::SITE,
    };
    if same {
        return Ok(());
    }
    let new = own_path(args);
    let whose = coming.map_or_else(String::new, |name| format!(", not of {name}"));
    Err(CliError::input(format!(
        "the garden file in this folder, {}, is of {known}{whose}; nothing was imported",
        path.display()
    ))
    .hint(format!("for a garden file of its own: -g {}", new.display()))
    .hint(format!("to write into it all the same: -g {}", path.display())))
}

/// The garden file named after what is imported.
fn own_path(args: &ImportArgs) -> PathBuf {
    let from = args.from.canonicalize().ok();
    let name = from.as_deref().and_then(Path::file_stem);
    let name = name.map_or_else(|| "garden".into(), std::ffi::OsStr::to_string_lossy);
    PathBuf::from(format!("{name}.breakcrop"))
}

pub(in crate::cli) fn run(session: &Session, args: &ImportArgs) -> Result<Outcome, CliError> {
    let source = source(args)?;
    // The first import: the garden file is named after what is imported.
    let path = session.garden_path().unwrap_or_else(|_| own_path(args));
    refuse_another_garden(session, args, &source, &path)?;
    if let Source::Folder = source {
        let (files, _) = list_folder(&args.from)?;
        if files.iter().any(|file| same_file(&args.from.join(file), &path)) {
            return Err(CliError::input("the garden file is one of the record files"));
        }
    }
    let is_new = !path.exists();
    let mut store = Store::create(&path)?;
    let options = Options { today: session.today, dry_run: args.dry_run, withdraw: args.withdraw };
    let mut turned = Vec::new();
    let result = match source {
        Source::Folder => import_folder(&mut store, session.knowledge(), &args.from, options),
        Source::Files(memory) => {
            turned = memory.turned;
            let label = args.from.display().to_string();
            import(&mut store, session.knowledge(), &memory.files, &label, options)
                .map(|outcome| ImportOutcome { others: memory.others, ..outcome })
        }
    };
    drop(store);
    // A first import that failed, or was only tried, leaves no empty garden behind.
    if is_new && (args.dry_run || result.is_err()) {
        std::fs::remove_file(&path)?;
    }
    match result {
        Ok(outcome) => session.print(
            || page(args, &path, &outcome, &turned),
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
        Err(ImportError::Problems(problems)) => {
            let hints = import_hints(&problems, &told(session, args), args.columns.as_deref());
            let error = CliError::from(ImportError::Problems(problems));
            Err(hints.into_iter().fold(error, CliError::hint))
        }
        Err(error) => Err(error.into()),
    }
}

/// What was named, the garden and the order of days told, as typed on the command line.
fn told(session: &Session, args: &ImportArgs) -> String {
    let typed = |path: &Path| {
        let path = path.display().to_string();
        if path.contains(' ') { format!("\"{path}\"") } else { path }
    };
    let garden = session.named_garden().map(|path| format!(" --garden {}", typed(path)));
    let order = args.date_order.as_ref().map(|order| format!(" --date-order {order}"));
    [Some(typed(&args.from)), garden, order].into_iter().flatten().collect()
}

/// How files were laid out that were not written our way.
fn layouts(turned: &[(String, Layout)], page: &mut Page) {
    let files = |is: &dyn Fn(&Layout) -> bool| {
        let files: Vec<&str> =
            turned.iter().filter(|(_, layout)| is(layout)).map(|(file, _)| &**file).collect();
        files.join(", ")
    };
    let said = [
        (
            "fields parted by semicolons, a comma in a number is its decimal point",
            files(&|layout| layout.separator == b';'),
        ),
        ("fields parted by tabs", files(&|layout| layout.separator == b'\t')),
        ("titles above the header passed over", files(&|layout| layout.titles > 0)),
    ];
    for (what, files) in said {
        if !files.is_empty() {
            page.line(Line::at(1).text(format!("{what}: {files}")));
        }
    }
}

fn page(
    args: &ImportArgs,
    path: &Path,
    outcome: &ImportOutcome,
    turned: &[(String, Layout)],
) -> Page {
    let ImportOutcome { files, others, tally } = outcome;
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
    layouts(turned, &mut page);
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
        page.line(Line::at(1).text(format!("no record files, passed over: {}", others.join(", "))));
    }
    page
}
