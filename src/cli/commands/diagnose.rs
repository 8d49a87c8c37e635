//! `diagnose`: what may it be, and what to look at next?

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::origin::Origin;
use crate::records::{Certainty, Observation, Seen};
use crate::state::{BedState, checks, diagnose};
use crate::store::OneBed;
use crate::view::{Phrases, diagnosis_page, json};

/// Weigh the causes that a sick crop may have, and order the field checks by what they tell
///
/// From the notes of unknown cause in a bed, or from a crop and symptoms given here. A laboratory
/// decides; local advice comes first.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop diagnose L1\n  \
breakcrop diagnose M2 --crop pepper --symptom \"wilt at noon, white mould at the soil line\"")]
pub(in crate::cli) struct DiagnoseArgs {
    /// Bed, or bed/section
    bed: String,
    /// Crop, if not from the notes
    #[arg(long, requires = "symptom")]
    crop: Option<String>,
    /// What is seen, in your own words; what was looked for and is not there helps too
    #[arg(long, requires = "crop")]
    symptom: Option<String>,
    /// How many causes
    #[arg(long, value_name = "N", default_value_t = 6)]
    most: usize,
}

pub(in crate::cli) fn run(session: &Session, args: &DiagnoseArgs) -> Result<Outcome, CliError> {
    let (OneBed { garden, .. }, place) = session.load_place(&args.bed)?;
    let knowledge = session.knowledge();
    let state = BedState::at(&garden, knowledge, &session.policy, &place, session.today);
    let given = match (&args.crop, &args.symptom) {
        (Some(crop), Some(symptom)) => Some(Observation {
            place: place.clone(),
            date: session.today,
            crop: Some(session.crop(crop)?),
            seen: Seen::Unknown,
            symptom: symptom.as_str().into(),
            extent: None,
            certainty: Certainty::Suspected,
            note: Box::default(),
            origin: Origin::new("command line", 1),
        }),
        _ => None,
    };
    let notes: Vec<&Observation> = match (&given, state.episodes().last()) {
        (Some(given), _) => vec![given],
        (None, Some(episode)) => episode.notes.clone(),
        (None, None) => {
            return Err(CliError::input(format!(
                "no disease of unknown cause is on record in {place}"
            ))
            .hint("describe it: --crop CROP --symptom \"WHAT YOU SEE\""));
        }
    };
    let candidates = diagnose(&garden, knowledge, &session.policy, &notes, &state.observations);
    let checks = checks(&session.policy, &candidates);
    let phrases = Phrases::new(knowledge);
    session.print(
        || diagnosis_page(phrases, &place, &notes, &candidates, &checks, args.most),
        || serde_json::json!(json::diagnosis(phrases, &place, &notes, &candidates, &checks)),
    )
}
