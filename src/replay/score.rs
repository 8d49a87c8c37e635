//! How good forecasts were: Brier score, skill, calibration, each with what the sample allows to
//! say.
//!
//! The Brier score (1950, Monthly Weather Review 78: 1) is the mean square of chance less outcome:
//! 0 is perfect, and who always says one half gets 0.25. Skill is the part of a reference's score
//! that the forecasts take away; a forecast no better than the reference has none. Whether chances
//! are too high or too low on the whole, and whether they are too bold, is asked of sums of
//! outcomes less chances (Spiegelhalter 1986, Statistics in Medicine 5: 421).

use crate::estimate::Estimate;
use crate::sample;

/// A forecast with its outcome.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Case {
    /// The chance given.
    pub chance: f64,
    /// The chance that the reference gave.
    pub reference: f64,
    /// Whether it came.
    pub came: bool,
}

/// A class of the calibration table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Class {
    /// Chances from here ...
    pub from: f64,
    /// ... to below here.
    pub to: f64,
    /// Forecasts in the class.
    pub cases: usize,
    /// Their mean chance.
    pub mean_chance: f64,
    /// In how many of them it came.
    pub came: usize,
    /// The share in which it came, with its exact interval (95 %).
    pub share: Estimate,
}

impl Class {
    /// Whether the sample is in keeping with the chances given.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.share.brackets(self.mean_chance)
    }
}

/// The score of some forecasts.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// Forecasts scored.
    pub cases: usize,
    /// In how many of them it came.
    pub came: usize,
    /// How many were to be expected by the chances given.
    pub expected: f64,
    /// Brier score.
    pub brier: f64,
    /// That of the reference.
    pub reference: f64,
    /// That of somebody who knew from the start in how many it would come: the hardest constant.
    pub hindsight: f64,
    /// 1 - brier / reference; `None` if the reference made no error.
    pub skill: Option<f64>,
    /// The same against hindsight; `None` if all or none came.
    pub skill_on_hindsight: Option<f64>,
    /// What the forecasts take off the reference's score, with its interval (95 %); `None` for
    /// fewer than two.
    pub gain: Option<Estimate>,
    /// How often well-calibrated chances would miss the number that came by as much as this.
    pub level_by_chance: f64,
    /// How often well-calibrated chances would be as bold or as timid as these.
    pub boldness_by_chance: f64,
    /// The calibration table, classes without forecasts left out.
    pub calibration: Vec<Class>,
}

/// Bounds of the classes, narrow where most forecasts lie.
const BOUNDS: [f64; 7] = [0.0, 0.1, 0.2, 0.35, 0.5, 0.75, 1.01];

impl Score {
    /// The score of some forecasts; `None` without any.
    #[must_use]
    pub fn of(cases: &[Case]) -> Option<Self> {
        if cases.is_empty() {
            return None;
        }
        let count = cases.len() as f64;
        let came = cases.iter().filter(|case| case.came).count();
        let error = |chance: f64, came: bool| (chance - f64::from(u8::from(came))).powi(2);
        let mean_of = |of: &dyn Fn(&Case) -> f64| cases.iter().map(of).sum::<f64>() / count;
        let brier = mean_of(&|case| error(case.chance, case.came));
        let reference = mean_of(&|case| error(case.reference, case.came));
        let rate = came as f64 / count;
        let hindsight = rate * (1.0 - rate);
        let gains: Vec<f64> = cases
            .iter()
            .map(|case| error(case.reference, case.came) - error(case.chance, case.came))
            .collect();
        Some(Self {
            cases: cases.len(),
            came,
            expected: cases.iter().map(|case| case.chance).sum(),
            brier,
            reference,
            hindsight,
            skill: (reference > 0.0).then(|| 1.0 - brier / reference),
            skill_on_hindsight: (hindsight > 0.0).then(|| 1.0 - brier / hindsight),
            gain: sample::mean(&gains),
            level_by_chance: by_chance(cases, |_| 1.0),
            boldness_by_chance: by_chance(cases, |case| 1.0 - 2.0 * case.chance),
            calibration: calibration(cases),
        })
    }
}

/// How often calibrated chances would give a weighted sum of outcomes less chances as far from
/// nought as this one.
fn by_chance(cases: &[Case], weight: impl Fn(&Case) -> f64) -> f64 {
    let (mut sum, mut variance) = (0.0, 0.0);
    for case in cases {
        let weight = weight(case);
        sum += weight * (f64::from(u8::from(case.came)) - case.chance);
        variance += weight * weight * case.chance * (1.0 - case.chance);
    }
    if variance > 0.0 { sample::beyond(sum / variance.sqrt()) } else { 1.0 }
}

fn calibration(cases: &[Case]) -> Vec<Class> {
    BOUNDS
        .windows(2)
        .filter_map(|bounds| {
            let within: Vec<&Case> = cases
                .iter()
                .filter(|case| bounds[0] <= case.chance && case.chance < bounds[1])
                .collect();
            let came = within.iter().filter(|case| case.came).count();
            let sum: f64 = within.iter().map(|case| case.chance).sum();
            (!within.is_empty()).then(|| Class {
                from: bounds[0],
                to: bounds[1].min(1.0),
                cases: within.len(),
                mean_chance: sum / within.len() as f64,
                came,
                share: sample::share(came, within.len()),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn case(chance: f64, came: bool) -> Case {
        Case { chance, reference: 0.5, came }
    }

    #[test]
    fn who_always_says_one_half_gets_a_quarter() {
        let score = Score::of(&[case(0.5, true), case(0.5, false)]).expect("two");
        assert!((score.brier - 0.25).abs() < 1e-12);
        assert!(score.skill.expect("a reference").abs() < 1e-12);
    }

    #[test]
    fn a_seer_has_all_the_skill() {
        let score = Score::of(&[case(1.0, true), case(0.0, false)]).expect("two");
        assert!(score.brier.abs() < 1e-12);
        assert!((score.skill.expect("a reference") - 1.0).abs() < 1e-12);
    }

    /// Worked by hand: chances 0.8, 0.3, 0.1 of which the first came.
    #[test]
    fn a_score_worked_by_hand() {
        let cases = [case(0.8, true), case(0.3, false), case(0.1, false)];
        let score = Score::of(&cases).expect("three");
        assert!((score.brier - (0.04 + 0.09 + 0.01) / 3.0).abs() < 1e-12);
        assert!((score.hindsight - 2.0 / 9.0).abs() < 1e-12);
        assert!((score.expected - 1.2).abs() < 1e-12);
    }

    #[test]
    fn bold_chances_that_fail_are_not_put_down_to_chance() {
        let bold: Vec<Case> = (0..40).map(|at| case(0.95, at % 2 == 0)).collect();
        let score = Score::of(&bold).expect("forty");
        assert!(score.level_by_chance < 1e-6);
        assert!(!score.calibration[0].holds());
        let fair: Vec<Case> = (0..40).map(|at| case(0.5, at % 2 == 0)).collect();
        let score = Score::of(&fair).expect("forty");
        assert!(score.level_by_chance > 0.9 && score.calibration[0].holds());
    }

    #[test]
    fn nothing_scored_is_no_score() {
        assert!(Score::of(&[]).is_none());
    }
}
