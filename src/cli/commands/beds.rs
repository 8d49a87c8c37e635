//! `beds`: all beds at a glance.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::records::Garden;
use crate::season::Date;
use crate::state::BedState;
use crate::view::{Phrases, beds_page, json};

/// List the beds: what stands, and what the soil has on record
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop beds --today 2026-10-12")]
pub(in crate::cli) struct BedsArgs {}

/// The state of every place of a garden on a day.
pub(super) fn states<'g>(
    session: &'g Session,
    garden: &'g Garden,
    today: Date,
) -> Vec<BedState<'g>> {
    garden
        .beds
        .iter()
        .flat_map(|bed| garden.places(&bed.name))
        .map(|place| BedState::at(garden, session.knowledge(), &session.policy, &place, today))
        .collect()
}

pub(in crate::cli) fn run(session: &Session, _args: &BedsArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let states = states(session, &garden, session.today);
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || beds_page(phrases, &garden, &states, session.today),
        || {
            let beds: Vec<_> =
                states.iter().map(|state| json::bed(phrases, &session.policy, state)).collect();
            serde_json::json!(beds)
        },
    )
}
