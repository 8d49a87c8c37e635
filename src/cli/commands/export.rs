//! `export`: the record files as they stand now.

use std::path::PathBuf;

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::records::RecordKind;
use crate::store::Store;
use crate::tabular::in_units;
use crate::view::{Line, Page, words};

/// Write the record files back out of the garden file
///
/// Gives back what came in: the same files, headers and rows, corrections in place of what they
/// supersede. Text that a spreadsheet would take for a formula (=, +, -, @ at its start) gets a
/// single quote before it; importing takes it off again.
/// With --units the measured columns are written in those units.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop export copy-of-my-garden\n  breakcrop export in-feet --units us"
)]
pub(in crate::cli) struct ExportArgs {
    /// Folder to write to; made if it is not there
    folder: PathBuf,
    /// Write over files that are there
    #[arg(long)]
    force: bool,
    /// Leave text that a spreadsheet would take for a formula as it is
    #[arg(long)]
    raw: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &ExportArgs) -> Result<Outcome, CliError> {
    let store = Store::open(&session.garden_path()?)?;
    let mut files = if args.raw { store.export_raw()? } else { store.export()? };
    if let Some(system) = session.units {
        for file in &mut files {
            if let Some(kind) = RecordKind::of_file(&file.name.replace(".kept.", ".")) {
                file.text = in_units(&file.text, kind.columns(), system);
            }
        }
    }
    std::fs::create_dir_all(&args.folder)?;
    for file in &files {
        session.must_not_be_the_garden(&args.folder.join(&file.name))?;
    }
    if !args.force
        && let Some(file) = files.iter().find(|file| args.folder.join(&file.name).exists())
    {
        let path = args.folder.join(&file.name);
        return Err(CliError::input(format!("{} is there already", path.display()))
            .hint("--force writes over it; or name another folder"));
    }
    for file in &files {
        session.write_file(&args.folder.join(&file.name), file.text.as_bytes())?;
    }
    session.print(
        || {
            let mut page = Page::default();
            page.heading(format!(
                "{} written to {}",
                words::count(files.len(), "file"),
                args.folder.display()
            ));
            for file in &files {
                page.line(Line::at(1).text(file.name.clone()));
            }
            page
        },
        || {
            let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
            serde_json::json!({ "format": crate::view::json::FORMAT, "files": names })
        },
    )
}
