//! What a command has at hand: the knowledge, the policy, the day, the terminal, the garden file.

use std::cell::OnceCell;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::error::CliError;
use super::{Global, Outcome};
use crate::knowledge::{CropId, Knowledge, Tables};
use crate::policy::{OwnChoice, Policy};
use crate::records::{Garden, Place};
use crate::render::{Look, json_text, page_text};
use crate::season::Date;
use crate::store::{OneBed, Store};
use crate::units::UnitSystem;
use crate::view::{Page, Phrases};

/// One run.
pub(super) struct Session {
    knowledge: OnceCell<Knowledge>,
    tables: OnceCell<Tables>,
    tables_folder: Option<PathBuf>,
    pub(super) policy: Policy,
    /// Choices in which an own value stands in the place of ours.
    pub(super) own_choices: Vec<OwnChoice>,
    pub(super) today: Date,
    pub(super) json: bool,
    /// Units asked for.
    pub(super) units: Option<UnitSystem>,
    /// How many problems of rows are printed before the count.
    pub(super) most_problems: usize,
    look: Look,
    garden: Option<PathBuf>,
}

impl Session {
    pub(super) fn new(global: &Global) -> Self {
        let colour =
            anstream::AutoStream::choice(&std::io::stdout()) != anstream::ColorChoice::Never;
        let width = global.width.or_else(terminal_width).unwrap_or(80).clamp(40, 200);
        Self {
            knowledge: OnceCell::new(),
            tables: OnceCell::new(),
            tables_folder: global.tables.clone(),
            policy: Policy::default(),
            own_choices: Vec::new(),
            today: global.today.unwrap_or_else(|| chrono::Local::now().date_naive()),
            json: global.json,
            units: global.units,
            most_problems: global.most_problems,
            look: Look { width, colour, ascii: !shows_unicode() },
            garden: global.garden.clone(),
        }
    }

    /// Lays the grower's own tables over the built-in ones, if a folder of them was named. Faulty
    /// ones stop the run, unless the command is there to show the faults.
    pub(super) fn lay_over(&mut self, faults_are_shown: bool) -> Result<(), CliError> {
        let Some(folder) = &self.tables_folder else {
            return Ok(());
        };
        let (tables, own) = super::own_tables::read(folder)?;
        self.policy = own.policy;
        self.own_choices = own.own;
        if !faults_are_shown {
            let knowledge =
                Knowledge::with_overlay(tables.clone()).map_err(CliError::own_tables)?;
            // Nothing has asked for the tables yet.
            let _ = self.knowledge.set(knowledge);
        }
        let _ = self.tables.set(tables);
        Ok(())
    }

    /// The tables as text.
    pub(super) fn tables(&self) -> &Tables {
        self.tables.get_or_init(Tables::built_in)
    }

    /// The tables, read at the first need.
    pub(super) fn knowledge(&self) -> &Knowledge {
        self.knowledge.get_or_init(Knowledge::embedded)
    }

    /// Wording for the terminal, in the units asked for.
    pub(super) fn phrases(&self) -> Phrases<'_> {
        Phrases::new(self.knowledge()).in_units(self.units.unwrap_or_default())
    }

    /// The garden file that was named, or the only one in this folder.
    pub(super) fn garden_path(&self) -> Result<PathBuf, CliError> {
        if let Some(path) = &self.garden {
            return Ok(path.clone());
        }
        let mut found: Vec<PathBuf> = std::fs::read_dir(".")?
            .filter_map(|entry| Some(PathBuf::from(entry.ok()?.file_name())))
            .filter(|path| path.extension().is_some_and(|ending| ending == "breakcrop"))
            .collect();
        found.sort();
        match found.as_slice() {
            [only] => Ok(only.clone()),
            [] => Err(CliError::input("there is no garden file in this folder")
                .hint("make one: `breakcrop import FOLDER`, or try `breakcrop demo`")),
            several => {
                let names: Vec<String> =
                    several.iter().map(|path| path.display().to_string()).collect();
                Err(CliError::input(format!(
                    "there are several garden files: {}",
                    names.join(", ")
                ))
                .hint("say which: --garden FILE"))
            }
        }
    }

    /// The garden file as it was named, to name it again in a command.
    pub(super) fn named_garden(&self) -> Option<&Path> {
        self.garden.as_deref()
    }

    /// Whether the garden file was named, and not found in the folder.
    pub(super) fn garden_is_named(&self) -> bool {
        self.garden.is_some()
    }

    /// The garden's records.
    pub(super) fn load(&self) -> Result<Garden, CliError> {
        Ok(self.store()?.garden(self.knowledge())?)
    }

    /// The place named `bed` or `bed/section`, with the records that a question about it looks at:
    /// those of the other beds are not read.
    pub(super) fn load_place(&self, name: &str) -> Result<(OneBed, Place), CliError> {
        let bed = name.rsplit_once('/').map_or(name, |(bed, _)| bed);
        if let Some(one) = self.store()?.into_one_bed(self.knowledge(), &[name, bed])? {
            let place = Self::place(&one.garden, name)?;
            return Ok((one, place));
        }
        // There is none: the error names all beds.
        let garden = self.load()?;
        let place = Self::place(&garden, name)?;
        let grown = garden.plantings.iter().filter(|one| !one.is_volunteer());
        let grown = grown.map(|planting| planting.crop).collect();
        Ok((OneBed { garden, grown }, place))
    }

    /// The garden file, open to read.
    pub(super) fn store(&self) -> Result<Store, CliError> {
        Ok(Store::open(&self.garden_path()?)?)
    }

    /// Refuses an output that would be written over the garden file, also by way of a link.
    pub(super) fn must_not_be_the_garden(&self, output: &Path) -> Result<(), CliError> {
        if self.garden_path().is_ok_and(|garden| same_file(&garden, output)) {
            let text = format!("{} is the garden file itself", output.display());
            return Err(CliError::input(text).hint("name another place to write to"));
        }
        Ok(())
    }

    /// The place named `bed` or `bed/section`, checked against the garden.
    pub(super) fn place(garden: &Garden, name: &str) -> Result<Place, CliError> {
        let (bed, section) = match name.rsplit_once('/') {
            _ if garden.bed(name).is_some() => (name, None),
            Some((bed, section)) => (bed, Some(section)),
            None => (name, None),
        };
        let Some(bed) = garden.bed(bed) else {
            let known: Vec<&str> = garden.beds.iter().map(|bed| &*bed.name).collect();
            return Err(CliError::input(format!("there is no bed \"{bed}\""))
                .hint(format!("beds: {}", known.join(", "))));
        };
        let Some(section) = section else {
            return Ok(Place::whole(&bed.name));
        };
        let sections = garden.sections(&bed.name);
        match sections.iter().find(|known| known.eq_ignore_ascii_case(section)) {
            Some(known) => Ok(Place::section(&bed.name, known)),
            None => Err(CliError::input(format!("bed {} has no section \"{section}\"", bed.name))
                .hint(format!("sections: {}", sections.join(", ")))),
        }
    }

    /// The crop of a name.
    pub(super) fn crop(&self, name: &str) -> Result<CropId, CliError> {
        let knowledge = self.knowledge();
        knowledge.names.crop(&knowledge.crops, name).map_err(|near| {
            let error = CliError::input(format!("unknown crop \"{name}\""));
            if near.is_empty() {
                error.hint("all crops: `breakcrop reference crops`")
            } else {
                error.hint(format!("did you mean {}?", near.join(" or ")))
            }
        })
    }

    /// Prints a page, or the document if JSON was asked for. Whoever reads a page made with own
    /// choices is told so under it.
    pub(super) fn print(
        &self,
        page: impl FnOnce() -> Page,
        document: impl FnOnce() -> serde_json::Value,
    ) -> Result<Outcome, CliError> {
        if self.json {
            return Self::out(&json_text(&document()));
        }
        let mut page = page();
        crate::view::own_choices_note(&self.own_choices, &mut page);
        Self::out(&page_text(&page, self.look))
    }

    /// Writes text to standard output. A reader that has gone away ends the run quietly.
    pub(super) fn out(text: &str) -> Result<Outcome, CliError> {
        let mut stream = std::io::stdout().lock();
        match stream.write_all(text.as_bytes()).and_then(|()| stream.flush()) {
            Ok(()) => Ok(Outcome::Done),
            Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(Outcome::Done),
            Err(error) => Err(error.into()),
        }
    }

    /// A page to standard error.
    pub(super) fn complain(&self, page: &Page) {
        let colour =
            anstream::AutoStream::choice(&std::io::stderr()) != anstream::ColorChoice::Never;
        let text = page_text(page, Look { colour, ..self.look });
        let _ = std::io::stderr().lock().write_all(text.as_bytes());
    }

    /// An error's first line to standard error.
    pub(super) fn warn(&self, text: &str) {
        let mut page = Page::default();
        page.line(
            crate::view::Line::default()
                .and(crate::view::Label::Error, "error")
                .text(format!(": {text}")),
        );
        self.complain(&page);
    }

    /// A line under it.
    pub(super) fn note(&self, text: &str) {
        let mut page = Page::default();
        page.line(crate::view::Line::at(2).hanging(4).text(text));
        self.complain(&page);
    }
}

/// Columns of the terminal, if there is one.
fn terminal_width() -> Option<usize> {
    if !std::io::stdout().is_terminal() {
        return None;
    }
    let said = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    said.or_else(|| terminal_size::terminal_size().map(|(width, _)| usize::from(width.0)))
}

/// Whether what reads the output shows more than ASCII. A pipe or a file takes UTF-8; a terminal
/// says by its locale what it takes.
fn shows_unicode() -> bool {
    if cfg!(windows) || !std::io::stdout().is_terminal() {
        return true;
    }
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"]
        .into_iter()
        .filter_map(|name| std::env::var(name).ok())
        .find(|value| !value.is_empty());
    crate::render::is_utf8_locale(locale.as_deref())
}

/// Whether a path names the same file as another.
pub(super) fn same_file(one: &Path, other: &Path) -> bool {
    match (std::fs::canonicalize(one), std::fs::canonicalize(other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}
