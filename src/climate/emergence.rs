//! How soon seed comes up at a soil temperature.
//!
//! The rate (one over days), not the days, is what runs straight with temperature: between the
//! temperatures of the seed trials it is the rate that is interpolated. Where no trial covers a
//! temperature, thermal time stands in: `1 / t = (T - Tb) / theta`, held at the optimum above it.

use crate::knowledge::{Emergence, Trial};

/// What a source says of the rate at a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum EmergenceRate {
    /// Share of the way to emergence gone in a day.
    Daily(f64),
    /// It does not come up at this temperature.
    None,
    /// No source covers it.
    Unknown,
}

impl EmergenceRate {
    /// Days at this temperature throughout.
    #[must_use]
    pub fn days(self) -> Option<f64> {
        match self {
            Self::Daily(rate) if rate > 0.0 => Some(1.0 / rate),
            Self::Daily(_) | Self::None | Self::Unknown => None,
        }
    }
}

/// Rate by the seed trials, between the two temperatures tried next to this one.
#[must_use]
pub fn rate_by_trials(emergence: &Emergence<'_>, soil_c: f64) -> EmergenceRate {
    // Asked for every day of a year: the trials, by warmth, are looked through and not gathered.
    let tried = || {
        emergence.trials.iter().filter_map(|trial| match trial.result {
            Trial::Emerged(days) if days > 0.0 => Some((trial.soil_c, 1.0 / days)),
            Trial::Emerged(_) | Trial::NotTested => None,
            Trial::NoGermination => Some((trial.soil_c, 0.0)),
        })
    };
    let (Some(first), Some(last)) = (tried().next(), tried().next_back()) else {
        return EmergenceRate::Unknown;
    };
    if soil_c < first.0 {
        return if first.1 <= 0.0 { EmergenceRate::None } else { EmergenceRate::Unknown };
    }
    if soil_c > last.0 {
        return if last.1 <= 0.0 { EmergenceRate::None } else { EmergenceRate::Unknown };
    }
    let (below_c, below) =
        tried().take_while(|(tried_c, _)| *tried_c <= soil_c).last().unwrap_or(first);
    let rate = match tried().find(|(tried_c, _)| *tried_c > soil_c) {
        None => last.1,
        Some((above_c, above)) => {
            below + (above - below) * (soil_c - below_c) / (above_c - below_c)
        }
    };
    if rate > 0.0 { EmergenceRate::Daily(rate) } else { EmergenceRate::None }
}

/// Share of good seed that grows into normal seedlings at a soil temperature, 0 to 1: straight
/// between the temperatures of the trials next to this one. `None` outside them, and where none counted
/// seedlings: how soon seed comes up says nothing of how much of it does.
///
/// ```
/// use breakcrop::climate::emergence::normal_share;
/// use breakcrop::knowledge::Knowledge;
/// let knowledge = Knowledge::embedded();
/// let spinach = knowledge.crops.find("spinach").unwrap();
/// // 82 % at 15 C, 52 % at 20 C (Harrington and Minges).
/// let share = normal_share(&knowledge.emergence(spinach), 17.5).unwrap();
/// assert!((share - 0.67).abs() < 1e-12);
/// ```
#[must_use]
pub fn normal_share(emergence: &Emergence<'_>, soil_c: f64) -> Option<f64> {
    let counted: Vec<(f64, f64)> = emergence
        .trials
        .iter()
        .filter_map(|trial| Some((trial.soil_c, trial.normal_percent? / 100.0)))
        .collect();
    let at = counted.partition_point(|(tried_c, _)| *tried_c < soil_c);
    let (above_c, above) = *counted.get(at)?;
    if above_c <= soil_c {
        return Some(above);
    }
    let (below_c, below) = *counted.get(at.checked_sub(1)?)?;
    Some(below + (above - below) * (soil_c - below_c) / (above_c - below_c))
}

/// Rate by thermal time, from the source ranked first that gives both figures.
#[must_use]
pub fn rate_by_thermal_time(emergence: &Emergence<'_>, soil_c: f64) -> EmergenceRate {
    emergence
        .thermal
        .iter()
        .find_map(|row| Some((row.base_c?, row.degree_days?, row.optimum_c)))
        .map_or(EmergenceRate::Unknown, |(base, need, optimum)| {
            let held = soil_c.min(optimum.unwrap_or(f64::INFINITY));
            if held > base {
                EmergenceRate::Daily((held - base) / need)
            } else {
                EmergenceRate::None
            }
        })
}

/// Rate at a soil temperature: the trials, and thermal time where they are silent.
#[must_use]
pub fn emergence_rate(emergence: &Emergence<'_>, soil_c: f64) -> EmergenceRate {
    match rate_by_trials(emergence, soil_c) {
        EmergenceRate::Unknown => rate_by_thermal_time(emergence, soil_c),
        known @ (EmergenceRate::Daily(_) | EmergenceRate::None) => known,
    }
}
