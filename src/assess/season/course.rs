//! One crop followed through the days of a site: emergence, first harvest, end of harvest.

use super::days::SiteDays;
use super::hazards::Hazard;
use super::needs::CropNeeds;
use crate::climate::emergence::{EmergenceRate, emergence_rate};
use crate::climate::heat::{Reached, expected_between};
use crate::estimate::Estimate;
use crate::knowledge::Knowledge;
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
    /// Development up to the end of each day, in early, likely and late years; one longer than the
    /// days, beginning at 0.
    development: [Vec<f64>; 3],
    emergence: Vec<EmergenceRate>,
    /// Suitability of each day's temperature up to its start; empty without figures.
    suitable: Vec<f64>,
    /// Logarithm of the chance of living up to the start of each day.
    living: Vec<f64>,
}

impl<'a, 'k> CropYear<'a, 'k> {
    pub(super) fn new(
        knowledge: &Knowledge,
        policy: &'a Policy,
        days: &'a SiteDays,
        needs: &'a CropNeeds<'k>,
        method: Method,
    ) -> Self {
        let warmer = policy.season_mean_sd_c;
        let development = [warmer, 0.0, -warmer].map(|off| {
            let mut sum = 0.0;
            std::iter::once(0.0)
                .chain(days.days.iter().map(|day| {
                    if let Some(heat) = needs.heat {
                        let light = day.daylength.map_or(1.0, |hours| light_factor(policy, hours));
                        sum += light
                            * expected_between(
                                day.mean + off,
                                day.spread,
                                heat.base_c,
                                heat.optimum_c,
                            );
                    }
                    sum
                }))
                .collect()
        });
        let emergence = match method {
            Method::Transplanted => Vec::new(),
            Method::Sown | Method::Volunteer => {
                let known = knowledge.emergence(needs.crop);
                days.days.iter().map(|day| emergence_rate(&known, day.bed)).collect()
            }
        };
        let mut sum = 0.0;
        let kill_c = kill_at_screen(policy, needs);
        let living = std::iter::once(0.0)
            .chain(days.days.iter().enumerate().map(|(step, _)| {
                if let Some(kill_c) = kill_c {
                    let chance = days.frost.night_at_or_below(kill_c, days.date(step));
                    sum += (1.0 - chance).max(1e-9).ln();
                }
                sum
            }))
            .collect();
        let mut sum = 0.0;
        let suitable = std::iter::once(Some(0.0))
            .chain(days.days.iter().map(|day| {
                sum += needs.growth_at(policy, day.mean)?;
                Some(sum)
            }))
            .collect::<Option<Vec<f64>>>()
            .unwrap_or_default();
        let need = needs.heat_after(policy, method);
        Self { policy, days, needs, method, need, development, emergence, suitable, living }
    }

    /// Chance of being killed from one day up to another, the last not counted.
    pub(super) fn chance_killed(&self, from: usize, to: usize) -> f64 {
        let last = self.living.len() - 1;
        let (from, to) = (from.min(last), to.min(last));
        if to <= from { 0.0 } else { 1.0 - (self.living[to] - self.living[from]).exp() }
    }

    /// First day by which the chance of being killed has reached a share.
    pub(super) fn killed_by(&self, from: usize, share: f64) -> Option<usize> {
        let begin = *self.living.get(from)?;
        let floor = begin + (1.0 - share).ln();
        (from..self.living.len() - 1).find(|step| self.living[step + 1] <= floor)
    }

    /// First day by whose end a share of the likely need is met.
    pub(super) fn step_at_share(&self, at: usize, share: f64) -> Option<usize> {
        self.reach(1, at, self.need?.likely * share)
    }

    /// Share of the likely need that is met by the start of a day.
    pub(super) fn share_at(&self, at: usize, step: usize) -> Option<f64> {
        let sums = &self.development[1];
        Some((sums.get(step)? - sums.get(at)?) / self.need?.likely)
    }

    fn reach(&self, year: usize, at: usize, need: f64) -> Option<usize> {
        let sums = &self.development[year];
        let wanted = sums.get(at)? + need;
        let step = sums.partition_point(|sum| *sum < wanted);
        // `sums[step]` is what is there by the end of day `step - 1`.
        (step < sums.len()).then(|| step.saturating_sub(1).max(at))
    }

    fn emerged(&self, at: usize, slower: f64) -> Option<usize> {
        let mut sum = 0.0;
        for (step, rate) in self.emergence.iter().enumerate().skip(at).take(120) {
            match rate {
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

    /// How well the temperatures suit it, 0 to 1, while what is picked is formed: from a share of
    /// the way to the first harvest to some weeks after it. Young plants bear more.
    pub(super) fn fit(&self, steps: &Steps) -> Option<f64> {
        let last = self.suitable.len().checked_sub(1)?;
        let harvest = steps.harvest[1].unwrap_or(steps.at + self.policy.establishing_days);
        let formed = self.step_at_share(steps.at, self.policy.formed_from_share);
        let from = formed.unwrap_or(steps.up).min(last);
        let to = (harvest + self.policy.ripening_weeks_days).min(last);
        (to > from).then(|| (self.suitable[to] - self.suitable[from]) / (to - from) as f64)
    }

    /// Whether anything is known of its emergence.
    pub(super) fn has_emergence(&self) -> bool {
        self.emergence.iter().any(|rate| !matches!(rate, EmergenceRate::Unknown))
    }

    pub(super) fn hazards(&self, at: usize, steps: &Steps) -> Vec<Hazard<'k>> {
        debug_assert_eq!(at, steps.at, "hazards of another start");
        super::hazards::hazards(self, steps)
    }
}

/// Growth in short days: all of it from ten hours on, falling straight to a floor.
fn light_factor(policy: &Policy, hours: f64) -> f64 {
    ((hours - policy.short_day_none_h) / (policy.short_day_h - policy.short_day_none_h))
        .clamp(policy.short_day_floor, 1.0)
}

/// The temperature at a screen that kills. Where leaves freeze, at about zero, they are colder than
/// the screen on a clear night; limits of hardier crops were noted in the air.
pub(super) fn kill_at_screen(policy: &Policy, needs: &CropNeeds<'_>) -> Option<f64> {
    let kill = needs.kill?.value.likely;
    Some(if kill >= policy.leaf_freezes_c { kill + policy.leaf_below_screen_c } else { kill })
}
