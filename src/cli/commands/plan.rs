//! `plan`: the whole garden, several seasons ahead.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::plan::solve::{Progress, Stage};
use crate::plan::{GardenPlan, Goal, GoalKind, Kept, Lost, PlanAsk, Stays, garden_plan};
use crate::records::Garden;
use crate::view::{Phrases, compare_page, json, plan_csv, plan_page};

/// Plan the whole garden from the wishes, with a proof of how good the plan is
///
/// Every start is judged by the bed model after all that stands before it. Wishes by mass count what
/// is picked in their month or season, wishes by area what is started in it. The value is counted in
/// square metres of full crops wished for; the bound says what no plan can beat. The same garden and
/// seed give the same plan.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  breakcrop plan --months 12\n  breakcrop plan --write plan.csv\n  \
breakcrop plan --months 24 --hours-a-week 3 --legumes 25\n  \
breakcrop plan --months 24 --stays M2=2027-10-01\n  \
breakcrop plan --keep plan.csv --lost L3=white_rot"
)]
pub(in crate::cli) struct PlanArgs {
    #[command(flatten)]
    pub(in crate::cli) made: MadeArgs,
    /// Write the plantings to a CSV file that --keep and --against read
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,
    /// Compare with an earlier plan's file
    #[arg(long, value_name = "FILE")]
    against: Option<PathBuf>,
}

/// How a plan is made.
#[derive(Debug, clap::Args)]
pub(in crate::cli) struct MadeArgs {
    /// Months ahead, 48 at most
    #[arg(long, value_name = "N", default_value_t = 12,
        value_parser = clap::value_parser!(u8).range(1..=48))]
    months: u8,
    /// Keep the plantings of this file and plan the rest (columns as in plantings.csv)
    #[arg(long, value_name = "FILE")]
    keep: Option<PathBuf>,
    /// What stands in a bed stays until a day, peppers over the winter say: BED=DAY, again for each bed
    #[arg(long, value_name = "BED=DAY")]
    stays: Vec<String>,
    /// What if a bed were lost to a disease: BED=DISEASE, again for each bed
    #[arg(long, value_name = "BED=DISEASE")]
    lost: Vec<String>,
    /// Hours a week there are for the beds; the plan keeps within them, or says where it cannot
    #[arg(long, value_name = "HOURS", value_parser = hours)]
    hours_a_week: Option<f64>,
    /// Percent of the ground and time that should be under crops
    #[arg(long, value_name = "PERCENT", value_parser = clap::value_parser!(u8).range(1..=100))]
    covered: Option<u8>,
    /// Percent of the ground and time that should be under legumes
    #[arg(long, value_name = "PERCENT", value_parser = clap::value_parser!(u8).range(1..=100))]
    legumes: Option<u8>,
    /// Another seed may find another plan
    #[arg(long, value_name = "N", default_value_t = 1)]
    seed: u64,
}

impl MadeArgs {
    pub(in crate::cli) fn half_months(&self) -> u8 {
        self.months * 2
    }
}

pub(in crate::cli) fn run(session: &Session, args: &PlanArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let (ask, plan) = made(session, &garden, &args.made)?;
    let phrases = Phrases::new(session.knowledge());
    if let Some(path) = &args.write {
        Session::must_not_be_records(path)?;
        session.write_file(path, plan_csv(phrases, &plan).as_bytes())?;
    }
    if let Some(path) = &args.against {
        let other = PlanAsk { kept: kept(session, &garden, path)?, only_kept: true, ..ask };
        let other = planned(session, &garden, &other)?;
        let names = ("this plan", &*path.display().to_string());
        return session.print(
            || compare_page(session.phrases(), (&plan, &other), names),
            || {
                serde_json::json!({
                    "plan": json::plan::plan(phrases, &plan),
                    "against": json::plan::plan(phrases, &other),
                })
            },
        );
    }
    let name = garden.site.as_ref().map_or("the garden", |site| &site.name).to_owned();
    session.print(
        || plan_page(session.phrases(), &plan, &name),
        || serde_json::json!(json::plan::plan(phrases, &plan)),
    )
}

fn hours(text: &str) -> Result<f64, String> {
    let wrong = || "write hours as a number above 0, like 2.5".to_owned();
    let hours: f64 = text.parse().map_err(|_| wrong())?;
    if hours.is_finite() && hours > 0.0 { Ok(hours) } else { Err(wrong()) }
}

/// Makes the plan that the arguments ask for.
pub(in crate::cli) fn made(
    session: &Session,
    garden: &Garden,
    args: &MadeArgs,
) -> Result<(PlanAsk, GardenPlan), CliError> {
    let mut ask = PlanAsk { seed: args.seed, ..PlanAsk::new(session.today, args.half_months()) };
    if let Some(path) = &args.keep {
        ask.kept = kept(session, garden, path)?;
    }
    for lost in &args.lost {
        ask.lost.push(lost_bed(session, garden, lost)?);
    }
    for stays in &args.stays {
        ask.stays.push(staying(garden, stays)?);
    }
    ask.hours_a_week = args.hours_a_week;
    for (kind, percent) in [(GoalKind::Covered, args.covered), (GoalKind::Legumes, args.legumes)] {
        if let Some(percent) = percent {
            ask.goals.push(Goal { kind, share: f64::from(percent) / 100.0 });
        }
    }
    let plan = planned(session, garden, &ask)?;
    Ok((ask, plan))
}

/// Plans, and tells the terminal how far it has come.
pub(in crate::cli) fn planned(
    session: &Session,
    garden: &Garden,
    ask: &PlanAsk,
) -> Result<GardenPlan, CliError> {
    let told = std::io::stderr().is_terminal() && !session.json;
    let tell = |progress: Progress| {
        if told {
            let _ = write!(std::io::stderr().lock(), "\r{}", progress_words(progress));
        }
    };
    let plan = garden_plan(session.knowledge(), &session.policy, garden, ask, &tell);
    if told {
        let _ = write!(std::io::stderr().lock(), "\r{:78}\r", "");
    }
    plan.map_err(|error| CliError::input(error.to_string()))
}

fn progress_words(progress: Progress) -> String {
    const WIDTH: usize = 20;
    let stage = match progress.stage {
        Stage::Bound => "bound ",
        Stage::Search => "search",
    };
    let full = (0..WIDTH).filter(|at| (*at as f64) < progress.done * WIDTH as f64).count();
    let gap = 100.0 * (progress.bound - progress.value).max(0.0) / progress.value.max(1e-9);
    format!(
        "{stage} [{}{}] value {:.1}, bound {:.1}, gap {:.1} %   ",
        "=".repeat(full),
        " ".repeat(WIDTH - full),
        progress.value,
        progress.bound,
        gap.min(999.0)
    )
}

/// The plantings of a plan's file.
pub(in crate::cli) fn kept(
    session: &Session,
    garden: &Garden,
    path: &Path,
) -> Result<Vec<crate::records::Planting>, CliError> {
    let text = std::fs::read(path).map_err(|error| {
        CliError::input(format!("{}: {error}", path.display()))
            .hint("write one: `breakcrop plan --write plan.csv`")
    })?;
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into());
    Kept::read(session.knowledge(), garden, &name, &text)
        .map(|kept| kept.plantings)
        .map_err(|problems| CliError::plan_file(problems.list))
}

fn staying(garden: &Garden, written: &str) -> Result<Stays, CliError> {
    let hint = "write BED=DAY, like M2=2027-10-01";
    let Some((bed, day)) = written.rsplit_once('=') else {
        return Err(CliError::input(format!("\"{written}\" names no day")).hint(hint));
    };
    let until = crate::season::iso_day(day)
        .ok_or_else(|| CliError::input(format!("\"{day}\" is no day")).hint(hint))?;
    Ok(Stays { place: Session::place(garden, bed)?, until })
}

fn lost_bed(session: &Session, garden: &Garden, written: &str) -> Result<Lost, CliError> {
    let Some((bed, disease)) = written.rsplit_once('=') else {
        return Err(CliError::input(format!("\"{written}\" names no disease"))
            .hint("write BED=DISEASE, like L3=white_rot"));
    };
    let place = Session::place(garden, bed)?;
    let pathogen = super::reference::pathogen(session, disease)?;
    Ok(Lost { place, pathogen })
}
