//! How far a crop has grown by the warmth it had: printed days to maturity are days at the temperatures
//! it grows best at, as the season's reckoning takes them, and go slower in the cold and in short days.

use std::fmt;
use std::sync::Arc;

use crate::climate::Climate;
use crate::climate::days::{SiteDays, ThreeYears, normal_place};
use crate::knowledge::{CropId, Knowledge, Role};
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// Days after a start within which a crop must ripen by the site's warmth; what does not goes by its
/// printed days.
const MOST_DAYS: usize = 365;

/// The likely year of [`ThreeYears`].
const LIKELY: usize = 1;

/// What of the policy a crop's heat rests on.
#[derive(Clone, Copy, Debug)]
pub(super) struct HeatPolicy {
    base_most_c: f64,
    days_by_heat: f64,
}

impl HeatPolicy {
    pub(super) fn of(policy: &Policy) -> Self {
        Self { base_most_c: policy.base_most_c, days_by_heat: policy.growth_days_by_heat }
    }
}

/// Development of one crop over the normal days of a site, from a start on.
#[derive(Clone)]
pub(super) struct Heat {
    start: Date,
    /// Place of the start among the days.
    at: usize,
    above_base: Arc<ThreeYears>,
    above_best: Arc<ThreeYears>,
    /// Heat of a day at the temperatures the crop grows best at.
    of_a_day: f64,
    /// Printed days to maturity.
    days: f64,
}

/// Hundreds of days tell nobody anything.
impl fmt::Debug for Heat {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.debug_struct("Heat")
            .field("start", &self.start)
            .field("of_a_day", &self.of_a_day)
            .field("days", &self.days)
            .finish_non_exhaustive()
    }
}

/// The normal days of a site; the same for every date.
#[derive(Clone)]
pub(super) struct NormalDays(SiteDays);

impl fmt::Debug for NormalDays {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("NormalDays")
    }
}

impl NormalDays {
    pub(super) fn of(climate: &Climate<'_>, policy: &Policy) -> Self {
        Self(climate.normal_days(policy, Date::default()))
    }
}

impl Heat {
    /// The heat of a crop set on a day. `None` for covers, which close by growing days, for crops
    /// without figures, and for those that are printed with the winter they stand through.
    pub(super) fn of(
        knowledge: &Knowledge,
        policy: HeatPolicy,
        NormalDays(days): &NormalDays,
        crop: CropId,
        start: Date,
    ) -> Option<Self> {
        let figures = knowledge.nutrition(crop);
        let [base_c, low_c, high_c] = figures.growth_c?;
        let printed = figures.days_to_grow?;
        let base_c = base_c.min(policy.base_most_c);
        let of_a_day = f64::midpoint(low_c, high_c) - base_c;
        if knowledge.crops[crop].role == Role::Cover
            || printed > policy.days_by_heat
            || of_a_day <= 0.0
        {
            return None;
        }
        Some(Self {
            start,
            at: normal_place(start),
            above_base: days.heat_above(base_c),
            above_best: days.heat_above(high_c.max(base_c)),
            of_a_day,
            days: printed,
        })
    }

    /// Development from the start to a place among the days.
    fn sum(&self, place: usize) -> f64 {
        let (base, best) = (&self.above_base[LIKELY], &self.above_best[LIKELY]);
        let to = |place: usize| {
            let place = place.min(base.len() - 1);
            base[place] - best[place]
        };
        to(place) - to(self.at)
    }

    /// Development from the start to a day.
    pub(super) fn by(&self, date: Date) -> f64 {
        let days = usize::try_from((date - self.start).num_days()).unwrap_or(0);
        self.sum(self.at + days)
    }

    /// First day on which the crop has had the warmth of its days to maturity.
    pub(super) fn ripe(&self) -> Option<Date> {
        let need = self.days * self.of_a_day;
        (0..=MOST_DAYS)
            .find(|day| self.sum(self.at + day) >= need)
            .map(|day| add_days(self.start, day as f64))
    }
}
