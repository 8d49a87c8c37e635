//! How far the temperatures of a season let a pathogen of the soil do harm.
//!
//! Only where a source gives the mean temperature under which little disease develops and the one
//! from which it is full (clubroot, lettuce Fusarium wilt and a few more); between them the share
//! rises in a straight line. Air stands for soil and years differ, so the range is that of a few
//! degrees either way.

use crate::climate::Climate;
use crate::estimate::Estimate;
use crate::knowledge::Pathogen;
use crate::policy::Policy;
use crate::season::{Date, add_days};

/// Days between the temperatures looked at.
const STEP_DAYS: f64 = 7.0;

/// Share of its full harm that a pathogen can do between two days at a site, 0 to 1; `None` where
/// temperature is not known to decide.
#[must_use]
pub fn warmth(
    policy: &Policy,
    climate: &Climate<'_>,
    pathogen: &Pathogen,
    from: Date,
    to: Date,
) -> Option<Estimate> {
    let least = pathogen.least_c?;
    let full = pathogen.optimum_c?.low;
    if full <= least {
        return None;
    }
    let share = |mean_c: f64| ((mean_c - least) / (full - least)).clamp(0.0, 1.0);
    let margin = policy.soil_off_air_c;
    let (mut sum, mut weeks) = ([0.0; 3], 0.0);
    let mut day = from;
    while day <= to {
        let mean_c = climate.mean_c(day);
        for (total, off) in sum.iter_mut().zip([-margin, 0.0, margin]) {
            *total += share(mean_c + off);
        }
        weeks += 1.0;
        day = add_days(day, STEP_DAYS);
    }
    (weeks > 0.0).then(|| Estimate::new(sum[0] / weeks, sum[1] / weeks, sum[2] / weeks))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::tests::{BRUSSELS, day, garden};
    use crate::knowledge::Knowledge;

    #[test]
    fn clubroot_does_little_to_what_grows_over_winter_and_much_in_summer() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let garden = garden(50.8, &BRUSSELS);
        let climate = Climate::of(&garden).expect("twelve months");
        let of = |key: &str, from: &str, to: &str| {
            let pathogen = knowledge.pathogens.find(key).expect("a pathogen");
            warmth(&policy, &climate, &knowledge.pathogens[pathogen], day(from), day(to))
        };
        let winter = of("plasmodiophora_brassicae", "2025-10-15", "2026-03-15").expect("told");
        assert!(winter.high < 0.10, "{winter:?}");
        let summer = of("plasmodiophora_brassicae", "2025-06-01", "2025-09-01").expect("told");
        assert!(summer.likely > 0.5, "{summer:?}");
        assert!(winter.low <= winter.likely && summer.likely <= summer.high);
        // Nobody prints such limits for white rot: it is not scaled.
        assert!(of("stromatinia_cepivora", "2025-10-15", "2026-03-15").is_none());
    }
}
