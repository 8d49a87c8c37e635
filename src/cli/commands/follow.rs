//! `follow`: what can follow here?

use crate::advise::{follow, follow_when_free};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::cli::stream;
use crate::knowledge::Knowledge;
use crate::season::Date;
use crate::store::OneBed;
use crate::view::{Phrases, follow_page, json};

/// Rank every crop that could follow in a bed from a day on
///
/// With --stream, gardens are read from standard input, one a line: {"id": 7, "bed": "L2",
/// "files": {"beds.csv": "...", "plantings.csv": "..."}}. Each is answered with one line, in the
/// same order: a short ranking of its bed, or of every place if it names none.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop follow L2 --from 2026-10-20\n  breakcrop follow --stream --most 5 < gardens.jsonl"
)]
pub(in crate::cli) struct FollowArgs {
    /// Bed, or bed/section
    #[arg(required_unless_present = "stream")]
    bed: Option<String>,
    /// First day [default: when what stands there is over, else today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    from: Option<Date>,
    /// How many crops of each verdict
    #[arg(long, value_name = "N", default_value_t = 8)]
    most: usize,
    /// Show all crops
    #[arg(long)]
    all: bool,
    /// Answer gardens from standard input, one a JSON line
    #[arg(long)]
    stream: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &FollowArgs) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    let Some(bed) = &args.bed else {
        return streamed(session, knowledge, args);
    };
    std::thread::scope(|scope| {
        // Two cores share the start: one reads tables, the other the garden.
        scope.spawn(|| knowledge.read_ahead());
        answer(session, knowledge, args, bed)
    })
}

fn answer(
    session: &Session,
    knowledge: &Knowledge,
    args: &FollowArgs,
    bed: &str,
) -> Result<Outcome, CliError> {
    let (OneBed { garden, grown }, place) = session.load_place(bed)?;
    let mut follows = match args.from {
        Some(from) => follow(knowledge, &session.policy, &garden, &place, from),
        None => follow_when_free(knowledge, &session.policy, &garden, &place, session.today),
    };
    follows.own.extend(grown);
    let phrases = Phrases::new(knowledge);
    let most = if args.all { usize::MAX } else { args.most };
    session.print(
        || follow_page(session.phrases(), &follows, most),
        || serde_json::json!(json::follows(phrases, &follows)),
    )
}

fn streamed(
    session: &Session,
    knowledge: &Knowledge,
    args: &FollowArgs,
) -> Result<Outcome, CliError> {
    let phrases = Phrases::new(knowledge);
    let most = if args.all { usize::MAX } else { args.most };
    let policy = &session.policy;
    stream::run(knowledge, session.today, |garden, request, today| {
        let places = match &request.bed {
            Some(name) => vec![Session::place(garden, name).map_err(|error| error.to_string())?],
            None => garden.beds.iter().flat_map(|bed| garden.places(&bed.name)).collect(),
        };
        let from = args.from.unwrap_or(today);
        let answers = places.iter().map(|place| {
            let follows = follow(knowledge, policy, garden, place, from);
            json::streamed_follows(phrases, &follows, most)
        });
        Ok(json::StreamedResult::Follows(answers.collect()))
    })
}
