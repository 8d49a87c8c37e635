//! `assess`: may this crop follow here on this day?

use crate::assess::{Proposal, assess, changes};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::records::Method;
use crate::season::Date;
use crate::state::BedState;
use crate::store::OneBed;
use crate::view::{Phrases, assessment_page, json};

/// Judge one crop in one bed on a day: plant, care or wait, and why
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop assess L2 strawberry --on 2026-11-01\n  \
breakcrop assess M1 tomato --on 2027-05-01 --resistance \"Va Vd Fol:0 Ma\"")]
pub(in crate::cli) struct AssessArgs {
    /// Bed, or bed/section
    bed: String,
    /// Crop, by any common name
    crop: String,
    /// Day of sowing or setting out [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// sown or transplanted
    #[arg(long, value_parser = ["sown", "transplanted"])]
    method: Option<String>,
    /// Resistance codes from the seed packet, or the word `resistant`
    #[arg(long, default_value = "")]
    resistance: String,
    /// Rootstock, if grafted
    #[arg(long, default_value = "")]
    rootstock: String,
    /// Words of the variety: cherry, beefsteak, short day, ...
    #[arg(long, value_name = "WORDS", default_value = "")]
    variety: String,
    /// First day of harvest, if known better than from the crop's usual days
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    harvest: Option<Date>,
}

pub(in crate::cli) fn run(session: &Session, args: &AssessArgs) -> Result<Outcome, CliError> {
    let (OneBed { garden, .. }, place) = session.load_place(&args.bed)?;
    let knowledge = session.knowledge();
    let on = args.on.unwrap_or(session.today);
    let proposal = Proposal {
        method: match args.method.as_deref() {
            Some("sown") => Some(Method::Sown),
            Some("transplanted") => Some(Method::Transplanted),
            _ => None,
        },
        resistance: args.resistance.as_str().into(),
        rootstock: args.rootstock.as_str().into(),
        harvest: args.harvest,
        variety: args.variety.as_str().into(),
        ..Proposal::of(session.crop(&args.crop)?, on)
    };
    let state = BedState::at(&garden, knowledge, &session.policy, &place, on);
    let assessment = assess(knowledge, &session.policy, &state, &proposal);
    let changes = changes(knowledge, &session.policy, &garden, &place, &assessment);
    let phrases = Phrases::new(knowledge);
    session.print(
        || assessment_page(session.phrases(), &place, &assessment, &changes),
        || serde_json::json!(json::assessment(phrases, &place, &assessment, &changes)),
    )
}
