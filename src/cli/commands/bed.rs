//! `bed`: one bed in full.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::state::BedState;
use crate::store::OneBed;
use crate::view::{Phrases, bed_page, json};

/// Show one bed: what stands, what the soil holds, what stood and what was seen
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop bed L1\n  breakcrop bed M4/north")]
pub(in crate::cli) struct BedArgs {
    /// Bed, or bed/section
    bed: String,
}

pub(in crate::cli) fn run(session: &Session, args: &BedArgs) -> Result<Outcome, CliError> {
    let (OneBed { garden, .. }, place) = session.load_place(&args.bed)?;
    let places =
        if place.section.is_some() { vec![place.clone()] } else { garden.places(&place.bed) };
    let states: Vec<BedState<'_>> = places
        .iter()
        .map(|place| {
            BedState::at(&garden, session.knowledge(), &session.policy, place, session.today)
        })
        .collect();
    let phrases = Phrases::new(session.knowledge());
    session.print(
        || bed_page(session.phrases(), &session.policy, &garden, &place, &states, session.today),
        || {
            let beds: Vec<_> =
                states.iter().map(|state| json::bed(phrases, &session.policy, state)).collect();
            serde_json::json!(beds)
        },
    )
}
