//! `completions` and `man`: what a shell and its manual want to know of the commands.

use std::path::PathBuf;

use clap::CommandFactory;
use clap_complete::Shell;

use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::cli::{Arguments, Outcome};
use crate::view::{Line, Page, words};

/// Print a completion script for a shell
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Example:\n  breakcrop completions bash > ~/.local/share/bash-completion/completions/breakcrop"
)]
pub(in crate::cli) struct CompletionsArgs {
    /// The shell
    shell: Shell,
}

pub(in crate::cli) fn completions(
    session: &Session,
    args: &CompletionsArgs,
) -> Result<Outcome, CliError> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Arguments::command(), "breakcrop", &mut script);
    let script = String::from_utf8_lossy(&script).into_owned();
    if session.json {
        let document = serde_json::json!({
            "format": crate::view::json::FORMAT, "shell": args.shell.to_string(), "script": script,
        });
        return Session::out(&crate::render::json_text(&document));
    }
    Session::out(&script)
}

/// Write the manual pages into a folder
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop man ~/.local/share/man/man1")]
pub(in crate::cli) struct ManArgs {
    /// Folder to write to; made if it is not there
    folder: PathBuf,
}

pub(in crate::cli) fn man(session: &Session, args: &ManArgs) -> Result<Outcome, CliError> {
    std::fs::create_dir_all(&args.folder)?;
    clap_mangen::generate_to(Arguments::command(), &args.folder)?;
    let mut pages: Vec<String> = std::fs::read_dir(&args.folder)?
        .filter_map(|entry| Some(entry.ok()?.file_name().to_string_lossy().into_owned()))
        .filter(|name| name.starts_with("breakcrop") && name.ends_with(".1"))
        .collect();
    pages.sort();
    session.print(
        || {
            let mut page = Page::default();
            page.line(Line::default().text(format!(
                "{} in {}",
                words::count(pages.len(), "manual page"),
                args.folder.display()
            )));
            page
        },
        || serde_json::json!({ "format": crate::view::json::FORMAT, "pages": pages }),
    )
}
