//! The beds to scale, what stands in them, and where each wished crop may go.

use super::super::beds::standing;
use super::super::units::Units;
use super::super::words;
use super::Material;
use crate::assess::Verdict;
use crate::season::Date;

/// A bed in the plan, metres from the west and from the south.
#[derive(Clone, Debug)]
pub struct PlanBed {
    /// Name.
    pub name: String,
    /// West side.
    pub x: f64,
    /// South side.
    pub y: f64,
    /// East-west side.
    pub length: f64,
    /// North-south side.
    pub width: f64,
    /// Its places, side by side along the length: the report does not know how a bed is parted, so
    /// the parts are drawn alike.
    pub parts: Vec<PlanPart>,
}

/// A place of a bed in the plan.
#[derive(Clone, Debug)]
pub struct PlanPart {
    /// Place of its sheet in the report.
    pub sheet: usize,
    /// The section, blank for a whole bed.
    pub section: String,
    /// What stands.
    pub stands: String,
}

/// The plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// Beds with a place in the plan.
    pub beds: Vec<PlanBed>,
    /// Beds without one, in words.
    pub unplaced: Vec<String>,
    /// Whether the places are those written, or in rows for want of them.
    pub is_surveyed: bool,
    /// The units in which it is shown.
    pub units: Units,
    /// West-east extent in metres.
    pub length: f64,
    /// South-north extent in metres.
    pub width: f64,
}

/// Where a wished crop may go.
#[derive(Clone, Debug)]
pub struct WishMap {
    /// The crop.
    pub crop: String,
    /// The day judged for.
    pub on: Option<Date>,
    /// When it can be started, in words.
    pub when: String,
    /// The verdict of every sheet, in their order.
    pub verdicts: Vec<(Verdict, Option<Date>)>,
}

/// Metres between beds drawn in rows.
const ALLEY: f64 = 0.6;
/// Beds in a row where no places are written.
const ROW: usize = 4;

/// The plan of the beds.
pub(super) fn plan(material: &Material<'_, '_>) -> Plan {
    let garden = material.garden;
    let mut sheet = 0;
    let mut beds: Vec<(PlanBed, bool)> = Vec::new();
    for bed in &garden.beds {
        let parts = garden
            .places(&bed.name)
            .into_iter()
            .map(|place| {
                let state = &material.survey.places[sheet].follows.state;
                sheet += 1;
                PlanPart {
                    sheet: sheet - 1,
                    section: place.section.as_deref().unwrap_or_default().to_owned(),
                    stands: standing(material.phrases, state),
                }
            })
            .collect();
        let placed = bed.x.zip(bed.y);
        beds.push((
            PlanBed {
                name: bed.name.to_string(),
                x: placed.map_or(0.0, |(x, _)| x.0),
                y: placed.map_or(0.0, |(_, y)| y.0),
                length: bed.length.0,
                width: bed.width.0,
                parts,
            },
            placed.is_some(),
        ));
    }
    let is_surveyed = beds.iter().any(|(_, placed)| *placed);
    let unplaced = if is_surveyed {
        beds.iter().filter(|(_, placed)| !placed).map(|(bed, _)| bed.name.clone()).collect()
    } else {
        Vec::new()
    };
    let mut beds: Vec<PlanBed> = beds
        .into_iter()
        .filter(|(_, placed)| *placed || !is_surveyed)
        .map(|(bed, _)| bed)
        .collect();
    if !is_surveyed {
        in_rows(&mut beds);
    }
    let least = |side: fn(&PlanBed) -> f64| beds.iter().map(side).fold(f64::INFINITY, f64::min);
    let (west, south) = (least(|bed| bed.x), least(|bed| bed.y));
    for bed in &mut beds {
        bed.x -= west;
        bed.y -= south;
    }
    let length = beds.iter().map(|bed| bed.x + bed.length).fold(0.0, f64::max);
    let width = beds.iter().map(|bed| bed.y + bed.width).fold(0.0, f64::max);
    Plan { beds, unplaced, is_surveyed, units: material.phrases.units, length, width }
}

/// Puts beds side by side in rows, the first row to the north.
fn in_rows(beds: &mut [PlanBed]) {
    let mut north = 0.0;
    for row in beds.chunks_mut(ROW) {
        let mut x = 0.0;
        let height = row.iter().map(|bed| bed.width).fold(0.0, f64::max);
        north -= height + ALLEY;
        for bed in row {
            (bed.x, bed.y) = (x, north);
            x += bed.length + ALLEY;
        }
    }
}

/// A map for each wished crop.
pub(super) fn wish_maps(material: &Material<'_, '_>) -> Vec<WishMap> {
    let survey = material.survey;
    survey
        .wishes
        .iter()
        .enumerate()
        .map(|(at, wish)| {
            let until = wish.until.map_or(String::new(), |until| format!(" to {until}"));
            let when = match wish.start {
                Some(start) if start <= survey.today => format!("start now{until}"),
                Some(start) => format!("start {start}{until}"),
                None => "no start found for this climate".to_owned(),
            };
            WishMap {
                crop: words::sentence(material.phrases.crop(wish.crop)),
                on: wish.start,
                when,
                verdicts: survey
                    .places
                    .iter()
                    .map(|place| (place.wished[at].verdict, place.wished[at].earliest))
                    .collect(),
            }
        })
        .collect()
}
