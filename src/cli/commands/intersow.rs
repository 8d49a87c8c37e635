//! `intersow`: a legume between standing plants.

use std::path::PathBuf;

use crate::advise::intersow::{Asked, intersow};
use crate::cli::Outcome;
use crate::cli::error::CliError;
use crate::cli::session::Session;
use crate::render::bed_svg;
use crate::season::Date;
use crate::units::Dimension;
use crate::view::json;
use crate::view::{Phrases, intersow_page};

/// Find a legume for the ground between standing plants, and where its seed goes
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  breakcrop intersow M2 --on 2026-10-20\n  \
    breakcrop intersow M2 --cover \"bell bean\" --svg m2.svg\n  \
    breakcrop intersow L1 --crop sweet_corn --planted 2026-06-01 --row-spacing 75 \
--plant-spacing 25 --cover cowpea")]
pub(in crate::cli) struct IntersowArgs {
    /// Bed, or bed/section
    bed: String,
    /// Day of sowing [default: today]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    on: Option<Date>,
    /// What stands [default: the latest planting on record]
    #[arg(long, value_name = "CROP")]
    crop: Option<String>,
    /// Day it was planted [default: as on record]
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = super::super::parse_day)]
    planted: Option<Date>,
    /// Number of plants [default: as on record]
    #[arg(long, value_name = "N")]
    plants: Option<usize>,
    /// Between rows, in centimetres or with its unit, like 30in [default: as on record]
    #[arg(long, value_name = "LENGTH", value_parser = spacing)]
    row_spacing: Option<f64>,
    /// Between plants in the row, in centimetres or with its unit [default: as on record]
    #[arg(long, value_name = "LENGTH", value_parser = spacing)]
    plant_spacing: Option<f64>,
    /// This cover only; it need not be a legume
    #[arg(long, value_name = "COVER")]
    cover: Option<String>,
    /// Show what each statement rests on
    #[arg(long)]
    why: bool,
    /// Write the plan of the bed as a picture
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// How many covers
    #[arg(long, value_name = "N", default_value_t = 8)]
    most: usize,
}

fn spacing(text: &str) -> Result<f64, String> {
    let (number, unit) = text.split_at(text.trim_end_matches(char::is_alphabetic).len());
    let unit = if unit.is_empty() { "cm" } else { unit };
    let suffixes = Dimension::ShortLength.suffixes();
    suffixes
        .iter()
        .find(|(suffix, _)| suffix.eq_ignore_ascii_case(unit))
        .and_then(|(_, conversion)| Some(conversion.apply(number.trim().parse().ok()?)))
        .filter(|cm| (1.0..=1000.0).contains(cm))
        .ok_or_else(|| {
            let units: Vec<&str> = suffixes.iter().map(|(suffix, _)| *suffix).collect();
            format!(
                "write 1 to 1000 centimetres, or a number with its unit ({}), not `{text}`",
                units.join(", ")
            )
        })
}

pub(in crate::cli) fn run(session: &Session, args: &IntersowArgs) -> Result<Outcome, CliError> {
    let garden = session.load()?;
    let place = Session::place(&garden, &args.bed)?;
    let on = args.on.unwrap_or(session.today);
    let crop = |name: &Option<String>| name.as_deref().map(|name| session.crop(name)).transpose();
    let asked = Asked {
        crop: crop(&args.crop)?,
        planted: args.planted,
        plants: args.plants,
        row_spacing_cm: args.row_spacing,
        plant_spacing_cm: args.plant_spacing,
        cover: crop(&args.cover)?,
    };
    let knowledge = session.knowledge();
    let Some(advice) = intersow(knowledge, &session.policy, &garden, &place, on, asked) else {
        let error = CliError::input(format!("nothing stands in {place} on {on} to sow between"));
        return Err(if asked.crop.is_some() {
            error.hint("say when it was planted: --planted DAY")
        } else {
            error.hint("`breakcrop cover` fills an empty bed; or say --crop CROP --planted DAY")
        });
    };
    if advice.covers.is_empty() {
        return Err(CliError::input("the tables know no such cover, or no seed rate of it")
            .hint("leave --cover out to see those they know"));
    }
    let phrases = Phrases::new(knowledge);
    if let Some(path) = &args.svg {
        let best = advice.covers.first().filter(|_| !advice.is_refused());
        let Some((best, layout)) = best.and_then(|best| Some((best, best.layout.as_ref()?))) else {
            return Err(CliError::input("there is no plan of the bed to draw").hint(
                "it needs the number of plants or their spacing: --row-spacing, --plant-spacing",
            ));
        };
        let (standing, cover) = (phrases.crop(advice.standing.crop), phrases.crop(best.crop));
        let title = format!("{cover} between {standing} in {place}");
        let picture = bed_svg(session.phrases().units, layout, &title, (standing, cover));
        session.write_file(path, picture.as_bytes())?;
        session.note(&format!("wrote {}", path.display()));
    }
    session.print(
        || intersow_page(session.phrases(), &advice, args.most, args.why),
        || serde_json::json!(json::intersow(phrases, &advice)),
    )
}

#[cfg(test)]
mod tests {
    use super::spacing;

    #[test]
    fn a_spacing_is_centimetres_unless_it_names_its_unit() {
        let cm = |text| spacing(text).map(|cm| (cm * 1000.0).round() / 1000.0);
        assert_eq!(cm("75"), Ok(75.0));
        assert_eq!(cm("30in"), Ok(76.2));
        assert_eq!(cm("2.5 ft"), Ok(76.2));
        assert_eq!(cm("0.5m"), Ok(50.0));
        for wrong in ["", "in", "30 yards", "0", "12m", "nan"] {
            assert!(spacing(wrong).is_err(), "{wrong}");
        }
    }
}
