//! `soil`: what the soil of a bed holds, and what a crop would need.

use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::knowledge::Named;
use crate::records::Garden;
use crate::season::Date;
use crate::state::ledger;
use crate::state::nutrients::feeding;
use crate::view::{Phrases, json, soil_page};

/// Show the nutrient books of a bed, and what a crop would need
///
/// Nitrogen, phosphorus and potassium free to plants, month by month, with their ranges; soil tests
/// beside them. With --crop the need, the shortfall, and the amounts that would fill it.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop soil M3\n  \
breakcrop soil M3 --crop broccoli --on 2027-03-01 --material \"feather meal\"")]
pub(in crate::cli) struct SoilArgs {
    /// Bed, or bed/section
    bed: String,
    /// Crop whose need to hold against the soil
    #[arg(long, value_name = "CROP")]
    crop: Option<String>,
    /// Day of sowing or setting out [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// Material to fill a shortfall with; may be given several times [default: all on record]
    #[arg(long, value_name = "NAME")]
    material: Vec<String>,
    /// How many months
    #[arg(long, value_name = "N", default_value_t = 24)]
    months: usize,
}

pub(in crate::cli) fn run(session: &Session, args: &SoilArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let (knowledge, policy) = (session.knowledge(), &session.policy);
    let on = args.on.unwrap_or(session.today);
    // Records between today and the day of planting are plans; the books end with what has been.
    let books = ledger(&garden, knowledge, policy, &place, session.today.min(on));
    let phrases = Phrases::new(knowledge);
    let asked = match &args.crop {
        Some(name) => {
            let crop = session.crop(name)?;
            let Some(feeding) = feeding(knowledge, policy, &books, crop, on) else {
                return Err(CliError::input(format!(
                    "there is no figure of what {} needs",
                    phrases.crop(crop)
                ))
                .hint("covers are not fed; ask for a crop grown for harvest"));
            };
            let materials = materials(session, &garden, &args.material)?;
            let portions = feeding.portions(knowledge, policy, &books, &materials);
            Some((feeding, portions))
        }
        None => None,
    };
    let asked = asked.as_ref().map(|(feeding, portions)| (feeding, portions.as_slice()));
    session.print(
        || soil_page(session.phrases(), &books, args.months, asked),
        || serde_json::json!(json::soil::soil(phrases, &books, args.months, asked)),
    )
}

/// The materials named, or all that the garden's records speak of.
fn materials(
    session: &Session,
    garden: &Garden,
    named: &[String],
) -> Result<Vec<Box<str>>, CliError> {
    let mut keys: Vec<Box<str>> = if named.is_empty() {
        garden.amendments.iter().map(|amendment| amendment.material.clone()).collect()
    } else {
        let find = |name: &String| {
            let known = &session.knowledge().names;
            known.find(Named::Material, name).map(Box::from).map_err(|near| {
                let error = CliError::input(format!("unknown material \"{name}\""));
                if near.is_empty() {
                    error.hint("the keys stand in the amendments table")
                } else {
                    error.hint(format!("did you mean {}?", near.join(" or ")))
                }
            })
        };
        named.iter().map(find).collect::<Result<_, _>>()?
    };
    keys.sort();
    keys.dedup();
    Ok(keys)
}
