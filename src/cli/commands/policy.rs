//! `policy`: the choices that are ours.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::view::{Label, Line, Page};

/// Print the choices that are ours: thresholds and weights, with their reasons
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop policy --json")]
pub(in crate::cli) struct PolicyArgs {}

pub(in crate::cli) fn run(session: &Session, _args: &PolicyArgs) -> Result<Outcome, CliError> {
    session.print(
        || {
            let mut page = Page::default();
            page.heading("Choices of this project, not facts");
            for (name, value, reason) in session.policy.entries() {
                page.line(
                    Line::at(1)
                        .hanging(4)
                        .and(Label::Name, name)
                        .text(format!(" = {value}: {reason}")),
                );
            }
            page
        },
        || serde_json::json!(session.policy),
    )
}
