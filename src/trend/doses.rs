//! How the doses of the diseases on record went, from the turn of one year to the next.

use super::calendar_years;
use crate::estimate::Estimate;
use crate::knowledge::{Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::{Garden, Place};
use crate::season::{Date, add_days};
use crate::state::{BedState, Presence};

/// What a place held at the end of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseYear {
    /// The calendar year.
    pub year: i32,
    /// The last day of it, or of the records.
    pub on: Date,
    /// Share of a fully susceptible crop that the dose would cost.
    pub loss: Estimate,
}

/// How one disease went at one place.
#[derive(Clone, Debug)]
pub struct DoseTrend {
    /// Where.
    pub place: Place,
    /// The disease.
    pub pathogen: PathogenId,
    /// The years since it was first named.
    pub years: Vec<DoseYear>,
}

/// The doses of every disease of the bed that was named somewhere, place by place.
#[must_use]
pub fn dose_trends(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    today: Date,
) -> Vec<DoseTrend> {
    let mut trends: Vec<DoseTrend> = Vec::new();
    for place in garden.beds.iter().flat_map(|bed| garden.places(&bed.name)) {
        let Some(from) = garden.known_from(&place) else { continue };
        let first = trends.len();
        for (year, _, end) in calendar_years(from, add_days(today, 1.0)) {
            let on = add_days(end, -1.0);
            let state = BedState::at(garden, knowledge, policy, &place, on);
            for inoculum in state.inocula() {
                let named = matches!(inoculum.presence, Presence::Sighted(_));
                if !named || !knowledge.pathogens[inoculum.pathogen].is_bound_to_bed() {
                    continue;
                }
                let held = DoseYear { year, on, loss: inoculum.loss_at(on, on) };
                let known =
                    trends[first..].iter_mut().find(|one| one.pathogen == inoculum.pathogen);
                match known {
                    Some(known) => known.years.push(held),
                    None => trends.push(DoseTrend {
                        place: place.clone(),
                        pathogen: inoculum.pathogen,
                        years: vec![held],
                    }),
                }
            }
        }
    }
    trends
}
