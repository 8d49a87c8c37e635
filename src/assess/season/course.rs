//! One crop followed through the days of a site: emergence, first harvest, end of harvest.

use std::cell::OnceCell;
use std::sync::Arc;

use super::Seedlings;
use super::hazards::Hazard;
use super::needs::{CropNeeds, HeatNeed};
use crate::climate::days::{SiteDays, ThreeYears};
use crate::climate::emergence::{EmergenceRate, emergence_rate, normal_share};
use crate::climate::heat::Reached;
use crate::estimate::Estimate;
use crate::knowledge::{Emergence, Knowledge};
use crate::policy::Policy;
use crate::records::Method;
use crate::season::Date;

/// How a planting goes, in dates.
#[derive(Clone, Copy, Debug)]
pub struct Course {
    /// Emergence of what is sown; all blank for what is set out and where no source tells.
    pub emergence: Reached,
    /// First harvest.
    pub first_harvest: Reached,
    /// Last harvest: the days of picking after the likely first one, or the killing cold that ends
    /// them in every other year.
    pub last_harvest: Option<Date>,
    /// Whether cold ends the harvest.
    pub ended_by_cold: bool,
}

/// The same in places among the site's days.
#[derive(Clone, Copy, Debug)]
pub(super) struct Steps {
    pub(super) at: usize,
    /// First day on which leaves stand in the open.
    pub(super) up: usize,
    pub(super) emergence: [Option<usize>; 3],
    pub(super) harvest: [Option<usize>; 3],
    pub(super) last: Option<usize>,
    pub(super) ended_by_cold: bool,
}

impl Steps {
    pub(super) fn dated(&self, days: &SiteDays) -> Course {
        let reached = |steps: [Option<usize>; 3]| Reached {
            early: steps[0].map(|step| days.date(step)),
            likely: steps[1].map(|step| days.date(step)),
            late: steps[2].map(|step| days.date(step)),
        };
        Course {
            emergence: reached(self.emergence),
            first_harvest: reached(self.harvest),
            last_harvest: self.last.map(|step| days.date(step)),
            ended_by_cold: self.ended_by_cold,
        }
    }
}

/// One crop over the days of one site: development, emergence and chance of being killed by day.
pub(super) struct CropYear<'a, 'k> {
    pub(super) policy: &'a Policy,
    pub(super) days: &'a SiteDays,
    pub(super) needs: &'a CropNeeds<'k>,
    pub(super) method: Method,
    pub(super) need: Option<Estimate>,
    development: Development,
    /// What is known of its emergence; `None` for what is set out.
    known: Option<Emergence<'k>>,
    /// Its rate by day, worked out as far as it is asked for.
    emergence: Vec<OnceCell<EmergenceRate>>,
    /// Logarithm of the chance of living up to the start of each day; `None` where no temperature
    /// is known to kill it.
    living: Option<Arc<Vec<f64>>>,
}

/// Development up to the start of each day, in early, likely and late years.
enum Development {
    /// No heat need is known.
    Unknown,
    /// Heat above the base, less what lies above the optimum.
    Between(Arc<ThreeYears>, Arc<ThreeYears>),
    /// Counted as the source of the sum counts.
    Counted(Arc<ThreeYears>),
}

impl Development {
    fn of(days: &SiteDays, heat: Option<HeatNeed<'_>>) -> Self {
        match heat {
            None => Self::Unknown,
            Some(HeatNeed { counted: Some(model), .. }) => Self::Counted(days.heat_counted(model)),
            Some(HeatNeed { counted: None, base_c, optimum_c, .. }) => {
                let optimum_c = optimum_c.max(base_c);
                Self::Between(days.heat_above(base_c), days.heat_above(optimum_c))
            }
        }
    }

    fn sum(&self, year: usize, step: usize) -> Option<f64> {
        match self {
            Self::Unknown => Some(0.0),
            Self::Between(base, optimum) => Some(base[year].get(step)? - optimum[year].get(step)?),
            Self::Counted(sums) => sums[year].get(step).copied(),
        }
    }
}

impl<'a, 'k> CropYear<'a, 'k> {
    pub(super) fn new(
        knowledge: &'k Knowledge,
        policy: &'a Policy,
        days: &'a SiteDays,
        needs: &'a CropNeeds<'k>,
        method: Method,
    ) -> Self {
        let known = match method {
            Method::Transplanted => None,
            Method::Sown | Method::Volunteer => Some(knowledge.emergence(needs.crop)),
        };
        let emergence = if known.is_some() {
            std::iter::repeat_with(OnceCell::new).take(days.days.len()).collect()
        } else {
            Vec::new()
        };
        Self {
            policy,
            days,
            needs,
            method,
            need: needs.heat_after(policy, method),
            development: Development::of(days, needs.heat),
            known,
            emergence,
            living: kill_at_screen(policy, needs).map(|kill_c| days.living(kill_c)),
        }
    }

    /// Chance of being killed from one day up to another, the last not counted.
    pub(super) fn chance_killed(&self, from: usize, to: usize) -> f64 {
        1.0 - self.chance_living(from, to)
    }

    /// First step on which cold that freezes the shoots kills the plant: until then what was planted
    /// sends up others, if it is of that kind.
    pub(super) fn mortal_from(&self, steps: &Steps) -> usize {
        let fed = self.needs.regrowth_days.map_or(0, |_| self.policy.regrowth_fed_days);
        steps.up + fed
    }

    /// Chance of living from one day up to another, the last not counted.
    pub(super) fn chance_living(&self, from: usize, to: usize) -> f64 {
        let Some(living) = &self.living else { return 1.0 };
        let last = living.len() - 1;
        let (from, to) = (from.min(last), to.min(last));
        if to <= from { 1.0 } else { (living[to] - living[from]).exp() }
    }

    /// First day by which the chance of being killed has reached a share.
    pub(super) fn killed_by(&self, from: usize, share: f64) -> Option<usize> {
        let living = self.living.as_ref()?;
        let floor = living.get(from)? + (1.0 - share).ln();
        // The chance of living only falls.
        let step = living.partition_point(|sum| *sum > floor).max(from + 1);
        (step < living.len()).then(|| step - 1)
    }

    /// First day by whose end a share of the likely need is met.
    pub(super) fn step_at_share(&self, at: usize, share: f64) -> Option<usize> {
        self.reach(1, at, self.need?.likely * share)
    }

    /// Share of the likely need that is met by the start of a day.
    pub(super) fn share_at(&self, at: usize, step: usize) -> Option<f64> {
        let met = self.development.sum(1, step)? - self.development.sum(1, at)?;
        Some(met / self.need?.likely)
    }

    fn reach(&self, year: usize, at: usize, need: f64) -> Option<usize> {
        let sum = |step: usize| self.development.sum(year, step).unwrap_or(f64::INFINITY);
        let count = self.days.days.len() + 1;
        if at >= count {
            return None;
        }
        let wanted = sum(at) + need;
        // The first of the sums that is not less than what is wanted; they only rise.
        let (mut below, mut reached) = (at, count);
        while below < reached {
            let middle = usize::midpoint(below, reached);
            if sum(middle) < wanted {
                below = middle + 1;
            } else {
                reached = middle;
            }
        }
        // A sum stands for the start of its day: it is reached by the end of the day before.
        (reached < count).then(|| reached.saturating_sub(1).max(at))
    }

    fn rate(&self, step: usize) -> Option<EmergenceRate> {
        let known = self.known.as_ref()?;
        let day = self.days.days.get(step)?;
        Some(*self.emergence.get(step)?.get_or_init(|| emergence_rate(known, day.bed)))
    }

    /// How much of what is sown on a day grows.
    pub(super) fn seedlings(&self, at: usize) -> Option<Seedlings> {
        let soil_c = self.days.days.get(at)?.bed;
        let share = normal_share(self.known.as_ref()?, soil_c)?;
        Some(Seedlings { soil_c, share })
    }

    fn emerged(&self, at: usize, slower: f64) -> Option<usize> {
        let mut sum = 0.0;
        for step in at..at + 120 {
            match self.rate(step)? {
                EmergenceRate::Daily(rate) => sum += rate / slower,
                EmergenceRate::None => {}
                EmergenceRate::Unknown => return None,
            }
            if sum >= 1.0 {
                return Some(step);
            }
        }
        None
    }

    /// What the course of a start is.
    pub(super) fn course(&self, at: usize) -> Steps {
        let factor = self.policy.emergence_time_factor;
        let emergence =
            [factor.low, factor.likely, factor.high].map(|slower| self.emerged(at, slower));
        let up = match self.method {
            Method::Transplanted => at,
            Method::Sown | Method::Volunteer => emergence[1].unwrap_or(at),
        };
        let mut harvest = self.need.map_or([None; 3], |need| {
            [(0, need.low), (1, need.likely), (2, need.high)]
                .map(|(year, need)| self.reach(year, at, need))
        });
        if let Some(bulbs) = self.bulbing_from(at) {
            let ripe = bulbs + self.policy.bulb_days;
            harvest = harvest.map(|step| step.map(|step| step.max(ripe)));
        }
        let span = self.needs.harvest_days.map_or(0.0, |days| days.value.likely);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a span of days from the table, never negative"
        )]
        let nominal = harvest[1].map(|first| first + span.max(0.0).round() as usize);
        let cold = harvest[1].and_then(|first| self.killed_by(first, 0.5));
        let ended_by_cold =
            matches!((cold, nominal), (Some(cold), Some(nominal)) if cold < nominal);
        let last = if ended_by_cold { cold } else { nominal };
        Steps { at, up, emergence, harvest, last, ended_by_cold }
    }

    /// First day on which a grown plant meets the length of day from which it bulbs.
    pub(super) fn bulbing_from(&self, at: usize) -> Option<usize> {
        let hours = self.needs.bulbing?.value.low;
        let grown = self.step_at_share(at, self.policy.juvenile_share)?;
        (grown..self.days.days.len())
            .find(|step| self.days.days[*step].daylength.is_some_and(|day| day >= hours))
    }

    /// How well the temperatures suit it, 0 to 1, while what is picked is formed, in the likely year:
    /// from a share of the way to the first harvest to some weeks after it. Young plants bear more.
    pub(super) fn fit(&self, steps: &Steps) -> Option<f64> {
        self.fit_of_year(steps, 1, 0.0)
    }

    /// The same in the early, likely or late year, so many degrees warmer than usual.
    pub(super) fn fit_of_year(&self, steps: &Steps, year: usize, warmer: f64) -> Option<f64> {
        let last = self.days.days.len();
        let harvest = steps.harvest[year].unwrap_or(steps.at + self.policy.establishing_days);
        let formed = self.need.and_then(|need| {
            let whole = [need.low, need.likely, need.high][year];
            self.reach(year, steps.at, whole * self.policy.formed_from_share)
        });
        let from = formed.unwrap_or(steps.up).min(last);
        let to = (harvest + self.policy.ripening_weeks_days).min(last);
        let part = self.days.days.get(from..to).filter(|part| !part.is_empty())?;
        let mut sum = 0.0;
        for day in part {
            sum += self.needs.growth_at(day.mean + warmer)?;
        }
        Some(sum / part.len() as f64)
    }

    /// Whether the sources cover the soil from a day until the seed is up, or until it has lain too
    /// long: where they do not, not coming up is not known either.
    pub(super) fn covers_emergence(&self, at: usize, up: Option<usize>) -> bool {
        let to = up.map_or(at + 60, |up| up + 1).min(self.days.days.len());
        at < to
            && (at..to).all(|step| {
                self.rate(step).is_some_and(|rate| !matches!(rate, EmergenceRate::Unknown))
            })
    }

    pub(super) fn hazards(&self, at: usize, steps: &Steps) -> Vec<Hazard<'k>> {
        debug_assert_eq!(at, steps.at, "hazards of another start");
        super::hazards::hazards(self, steps)
    }
}

/// The temperature at a screen that kills. Where leaves freeze, at about zero, they are colder than
/// the screen on a clear night; limits of hardier crops were noted in the air.
pub(super) fn kill_at_screen(policy: &Policy, needs: &CropNeeds<'_>) -> Option<f64> {
    let kill = needs.kill?.value.likely;
    Some(if kill >= policy.leaf_freezes_c { kill + policy.leaf_below_screen_c } else { kill })
}
