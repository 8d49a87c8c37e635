//! `follow`: what can follow here?

use crate::advise::{follow, follow_when_free};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::Knowledge;
use crate::season::Date;
use crate::view::{Phrases, follow_page, json};

/// Rank every crop that could follow in a bed from a day on
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  breakcrop follow L2 --from 2026-10-20")]
pub(in crate::cli) struct FollowArgs {
    /// Bed, or bed/section
    bed: String,
    /// First day [default: when what stands there is over, else today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    from: Option<Date>,
    /// How many crops of each verdict
    #[arg(long, value_name = "N", default_value_t = 8)]
    most: usize,
    /// Show all crops
    #[arg(long)]
    all: bool,
}

pub(in crate::cli) fn run(session: &Session, args: &FollowArgs) -> Result<Outcome, CliError> {
    let knowledge = session.knowledge();
    std::thread::scope(|scope| {
        // Two cores share the start: one reads tables, the other the garden.
        scope.spawn(|| knowledge.read_ahead());
        answer(session, knowledge, args)
    })
}

fn answer(
    session: &Session,
    knowledge: &Knowledge,
    args: &FollowArgs,
) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let follows = match args.from {
        Some(from) => follow(knowledge, &session.policy, &garden, &place, from),
        None => follow_when_free(knowledge, &session.policy, &garden, &place, session.today),
    };
    let phrases = Phrases::new(knowledge);
    let most = if args.all { usize::MAX } else { args.most };
    session.print(
        || follow_page(session.phrases(), &follows, most),
        || serde_json::json!(json::follows(phrases, &follows)),
    )
}
