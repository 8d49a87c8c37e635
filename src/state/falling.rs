//! How a dose falls without a host: what it would cost at a later day, and from which day it costs
//! less than a share.

use crate::estimate::Estimate;
use crate::season::{Date, add_years};

use super::inoculum::{Inoculum, decayed, years};

/// Years beyond which nobody plans: a day further off is none.
const LIFETIME_YEARS: f64 = 60.0;

/// The day from which a susceptible crop would lose less than a share, if no host stands until
/// then; `None` where it is further off than a lifetime.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Below {
    /// By the low dose and the short half-life.
    pub soonest: Option<Date>,
    /// By the likely ones.
    pub likely: Option<Date>,
    /// By the high dose and the long half-life.
    pub latest: Option<Date>,
}

impl Inoculum<'_> {
    /// Share of a fully susceptible crop that the dose would cost at a later date.
    #[must_use]
    pub fn loss_at(&self, from: Date, on: Date) -> Estimate {
        decayed(self.dose, self.half_life.years(), years(from, on)).map(|dose| 1.0 - (-dose).exp())
    }

    /// When a susceptible crop would lose less than a share (0 to 1), counted from the day of the
    /// state: the halvings from the dose to -ln(1 - share), times the half-life.
    #[must_use]
    pub fn below(&self, from: Date, share: f64) -> Below {
        let wanted = -(1.0 - share).ln();
        let day = |dose: f64, half_life: f64| {
            if dose <= wanted {
                return Some(from);
            }
            let years = (dose / wanted).log2() * half_life;
            (years < LIFETIME_YEARS).then(|| add_years(from, years))
        };
        let half_life = self.half_life.years();
        Below {
            soonest: day(self.dose.low, half_life.low),
            likely: day(self.dose.likely, half_life.likely),
            latest: day(self.dose.high, half_life.high),
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::knowledge::Knowledge;
    use crate::policy::Policy;
    use crate::records::{Certainty, Extent, Garden, Observation, Place, Seen};
    use crate::season::iso_day;
    use crate::state::BedState;

    #[test]
    fn on_the_day_a_dose_is_said_to_fall_below_a_share_it_does() {
        let knowledge = Knowledge::embedded();
        let pathogen = knowledge.pathogens.find("verticillium_dahliae").expect("a pathogen");
        let day = |text| iso_day(text).expect("a day");
        let mut garden = Garden::default();
        garden.observations.push(Observation {
            place: Place::whole("A"),
            date: day("2025-08-01"),
            crop: None,
            seen: Seen::Pathogen(pathogen),
            symptom: Box::default(),
            extent: Some(Extent::Moderate),
            certainty: Certainty::Laboratory,
            note: Box::default(),
            origin: crate::origin::Origin::new("observations.csv", 2),
        });
        let today = day("2026-03-01");
        let policy = Policy::default();
        let state = BedState::at(&garden, &knowledge, &policy, &Place::whole("A"), today);
        let inoculum = state.inocula().next().expect("one");
        let below = inoculum.below(today, 0.10);
        assert!(below.soonest <= below.likely, "{below:?}");
        let likely = below.likely.expect("within a lifetime");
        assert!((inoculum.loss_at(today, likely).likely - 0.10).abs() < 0.001);
        assert!(below.latest.is_none_or(|latest| latest >= likely));
    }
}
