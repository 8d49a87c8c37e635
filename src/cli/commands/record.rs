//! `record`: what was seen, typed back in one line.

use std::path::{Path, PathBuf};

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::import::{Options, RecordFile, import};
use crate::season::Date;
use crate::store::Store;
use crate::view::{Label, Line, Page};

/// Note what was seen on a walk, in one line
///
/// BED, CROP, CAUSE, EXTENT, NOTE with commas between; what is blank or left out at the end is not
/// known. The line is added to a file of observations beside the garden file and imported from there,
/// so that it is checked like any other record and has a file and a line of its own.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop record L1, tomato, unknown, moderate, wilts by noon\n  \
breakcrop record L2/west, strawberry, healthy\n  \
breakcrop record --certainty laboratory L3, garlic, white rot, light"
)]
pub(in crate::cli) struct RecordArgs {
    /// Day it was seen [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// suspected, `field_check` or laboratory
    #[arg(long, value_name = "WORD", default_value = "suspected")]
    certainty: String,
    /// File to add to [default: observations-walk.csv beside the garden file]
    #[arg(long, value_name = "FILE")]
    file: Option<PathBuf>,
    /// BED, CROP, CAUSE, EXTENT, NOTE
    #[arg(required = true, value_name = "WORDS")]
    words: Vec<String>,
}

const HEADER: &str = "bed,section,date,crop,cause,extent,certainty,note\n";

pub(in crate::cli) fn run(session: &Session, args: &RecordArgs) -> Result<Outcome, CliError> {
    let garden_path = session.garden_path()?;
    let garden = session.load()?;
    let line = args.words.join(" ");
    let mut cells = line.splitn(5, ',').map(str::trim);
    let mut next = || cells.next().unwrap_or_default();
    let (bed, crop, cause, extent, note) = (next(), next(), next(), next(), next());
    if cause.is_empty() {
        return Err(CliError::input(format!("\"{line}\" names no cause"))
            .hint("write BED, CROP, CAUSE; the cause is a disease, `unknown` or `healthy`"));
    }
    let place = Session::place(&garden, bed)?;
    let on = args.on.unwrap_or(session.today);
    let row = [
        &*place.bed,
        place.section.as_deref().unwrap_or_default(),
        &on.to_string(),
        crop,
        cause,
        extent,
        &args.certainty,
        note,
    ]
    .map(quoted)
    .join(",");
    let path = args.file.clone().unwrap_or_else(|| beside(&garden_path));
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into());
    if crate::records::RecordKind::of_file(&name) != Some(crate::records::RecordKind::Observations)
    {
        return Err(CliError::input(format!("{name} is no file of observations"))
            .hint("its name begins with observations, like observations-walk.csv"));
    }
    let before = std::fs::read_to_string(&path).unwrap_or_default();
    let mut text = if before.is_empty() { HEADER.to_owned() } else { before.clone() };
    if !text.starts_with(HEADER.trim_end()) {
        return Err(CliError::input(format!("{name} has other columns than `record` writes"))
            .hint("add the line to it by hand, or name another file: --file FILE"));
    }
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text.push_str(&row);
    text.push('\n');
    let at = text.lines().count();
    let folder = path.parent().unwrap_or(Path::new("")).display().to_string();
    // The file is written only once the row has been read: nothing half done stays behind.
    let file = RecordFile { name: name.clone(), bytes: text.clone().into_bytes() };
    let mut store = Store::create(&garden_path)?;
    let options = Options { today: session.today, dry_run: true, withdraw: false };
    import(&mut store, session.knowledge(), std::slice::from_ref(&file), &folder, options)?;
    session.write_file(&path, text.as_bytes())?;
    let options = Options { dry_run: false, ..options };
    import(&mut store, session.knowledge(), &[file], &folder, options)?;
    let said = format!("{name}:{at}");
    session.print(
        || {
            let mut page = Page::default();
            page.line(
                Line::default()
                    .text("noted: ")
                    .and(Label::Name, format!("{place}, {crop}, {cause}"))
                    .and(Label::Source, format!("  [{said}]")),
            );
            page
        },
        || serde_json::json!({ "format": json_format(), "file": name, "line": at, "row": row }),
    )
}

fn json_format() -> u32 {
    crate::view::json::FORMAT
}

fn beside(garden: &Path) -> PathBuf {
    garden.with_file_name("observations-walk.csv")
}

/// A field, quoted where it must be.
fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
