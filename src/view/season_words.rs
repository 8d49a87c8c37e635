//! What the season does to a start, in words; every one is worded here and nowhere else.

use super::hazard::hazard_words;
use super::phrase::Phrases;
use super::units::Units;
use super::words;
use crate::assess::SeasonClaim;
use crate::assess::season::SeasonYield;
use crate::climate::heat::Reached;
use crate::estimate::Estimate;
use crate::knowledge::CropId;

/// `2026-05-20 to 2026-06-11, likely 2026-05-29`; `None` where it is not reached.
#[must_use]
pub(super) fn reached_words(reached: Reached) -> Option<String> {
    let likely = reached.likely?;
    let early = reached.early.unwrap_or(likely);
    Some(match reached.late {
        Some(late) if late == early => likely.to_string(),
        Some(late) => format!("{early} to {late}, likely {likely}"),
        None => format!("from {early}, likely {likely}; in cool years not at all"),
    })
}

impl Phrases<'_> {
    /// The claim of the season, as one sentence without its end.
    pub(super) fn season_claim(self, crop: CropId, season: &SeasonClaim) -> String {
        let crop = self.crop(crop);
        match season {
            SeasonClaim::Ripens { first, last } => {
                let first = reached_words(*first).unwrap_or_default();
                let last = last.map_or(String::new(), |last| format!("; last about {last}"));
                format!("first harvest {first}{last}")
            }
            SeasonClaim::Establishes => {
                format!("{crop} takes hold in the weeks after; no harvest is asked of this season")
            }
            SeasonClaim::Marginal { by, first } => {
                let first = reached_words(*first)
                    .map_or_else(String::new, |first| format!("; first harvest {first}"));
                format!(
                    "no day of the year suits it fully here: {}{first}",
                    hazard_words(self.units, by)
                )
            }
            SeasonClaim::Shut { by, opens, is_marginal } => {
                let when = match opens {
                    Some(day) if *is_marginal => {
                        format!("no day suits it fully here; a poor crop may be had from {day}")
                    }
                    Some(day) => format!("its season opens on {day}"),
                    None => "no day of the year suits it at this site".to_owned(),
                };
                format!("out of season: {}; {when}", hazard_words(self.units, by))
            }
            SeasonClaim::OverByThen { free, opens } => {
                let when = match opens {
                    Some(day) => format!("the next opens on {day}"),
                    None => "no day of the year suits it at this site".to_owned(),
                };
                format!("when the bed is free of it, {free}, the season of {crop} is over; {when}")
            }
            SeasonClaim::NoClimate => {
                "the season is not known: the site has no climate on record".to_owned()
            }
            SeasonClaim::NoFigures => {
                format!("whether the season suits {crop} is not known: no figures of its growth")
            }
        }
    }
}

/// The season for a table cell, with what it leaves of the yield.
pub(super) fn season_short(units: Units, season: &SeasonClaim, leaves: Estimate) -> String {
    match season {
        SeasonClaim::Ripens { .. } | SeasonClaim::Marginal { .. } | SeasonClaim::Establishes => {
            format!("season leaves {} of the yield", words::percent_short(leaves))
        }
        SeasonClaim::Shut { by, .. } => {
            hazard_words(units, by).split([':', ';']).next().unwrap_or_default().to_owned()
        }
        SeasonClaim::OverByThen { .. } => "out of season once the bed is free".to_owned(),
        SeasonClaim::NoClimate | SeasonClaim::NoFigures => "season unknown".to_owned(),
    }
}

/// The parts of what the season leaves of the yield.
#[must_use]
pub(super) fn season_yield_words(leaves: &SeasonYield) -> String {
    let is_one = |part: Estimate| part.low > 0.995;
    if is_one(leaves.whole()) {
        return "the season leaves the whole yield".to_owned();
    }
    let mut parts =
        vec![format!("{} of the picking before cold ends it", words::percent_range(leaves.picked))];
    if let Some(suits) = leaves.suits {
        parts.push(format!("temperatures {} of the best", words::percent_range(suits)));
    }
    if !is_one(leaves.light) {
        parts.push(format!("light {} of what it wants", words::percent_range(leaves.light)));
    }
    if !is_one(leaves.harmed) {
        parts.push(format!("{} left by what harms it", words::percent_range(leaves.harmed)));
    }
    format!(
        "the season leaves {} of the yield: {}",
        words::percent_range(leaves.whole()),
        words::list(&parts)
    )
}
