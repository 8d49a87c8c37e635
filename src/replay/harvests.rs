//! The expected yield held against what was picked.
//!
//! A judgment gives a share of the yield on a clean, rotated bed. What that yield is here is
//! learnt from this garden alone: from each earlier harvest of the same crop, divided by the share
//! that was expected of it. Beside it stands whoever expects the middle of the earlier harvests.

use crate::estimate::Estimate;
use crate::knowledge::{CropId, Role};
use crate::records::{Garden, Planting};
use crate::replay::Replayed;
use crate::sample;
use crate::season::Date;

/// A harvest that could be expected from earlier ones, kg/m2.
#[derive(Clone, Debug)]
pub struct HarvestCase<'g> {
    /// The planting.
    pub planting: &'g Planting,
    /// What was picked.
    pub picked: f64,
    /// What was expected.
    pub expected: Estimate,
    /// The middle of the earlier harvests of the crop.
    pub usual: f64,
    /// How many earlier harvests that is.
    pub earlier: usize,
}

/// How far expected harvests were off.
#[derive(Clone, Debug)]
pub struct HarvestScore<'g> {
    /// The harvests, by day planted.
    pub cases: Vec<HarvestCase<'g>>,
    /// Factor by which the middle one was off: 1.3 is 30 % more or as much less.
    pub off_by: f64,
    /// The same of whoever expects the middle of the earlier harvests.
    pub usual_off_by: f64,
    /// Harvests that were nearer to what was expected than to the usual, ties left out.
    pub nearer: usize,
    /// Harvests that were not.
    pub farther: usize,
    /// Harvests within the range expected.
    pub within: usize,
}

/// What was picked of a planting, kg/m2; `None` if nothing is on record or its ground is not known.
#[must_use]
pub fn picked(garden: &Garden, planting: &Planting, today: Date) -> Option<f64> {
    let end = planting.stood.end_by(today);
    let from = garden.harvests.partition_point(|harvest| harvest.date < planting.stood.start);
    let mass: f64 = garden.harvests[from..]
        .iter()
        .take_while(|harvest| harvest.date <= end)
        .filter(|harvest| harvest.crop == planting.crop && harvest.place.bears_on(&planting.place))
        .map(|harvest| harvest.mass.0)
        .sum();
    let ground = ground(garden, planting)?;
    (mass > 0.0).then(|| mass / ground)
}

/// Ground of a planting: its own, else that of its bed or section.
fn ground(garden: &Garden, planting: &Planting) -> Option<f64> {
    if let Some(area) = planting.area {
        return Some(area.0);
    }
    let bed = garden.bed(&planting.place.bed)?.area().0;
    let parts = match planting.place.section {
        Some(_) => garden.sections(&planting.place.bed).len().max(1) as f64,
        None => 1.0,
    };
    Some(bed / parts)
}

/// Expected harvests against picked ones; `None` if no crop was harvested twice.
pub(super) fn harvest_score<'g>(
    garden: &'g Garden,
    role: impl Fn(CropId) -> Role,
    replayed: &[Replayed<'g>],
    today: Date,
) -> Option<HarvestScore<'g>> {
    let done: Vec<(&Replayed<'g>, Date, f64)> = replayed
        .iter()
        .filter(|one| role(one.planting.crop) == Role::Cash)
        .filter_map(|one| {
            let end = one.planting.stood.end.filter(|end| *end <= today)?;
            Some((one, end, picked(garden, one.planting, today)?))
        })
        .collect();
    let mut cases = Vec::new();
    for (one, _, picked) in &done {
        let earlier: Vec<(f64, f64)> = done
            .iter()
            .filter(|(other, end, _)| {
                other.planting.crop == one.planting.crop && *end < one.planting.planted()
            })
            .map(|(other, _, picked)| {
                (*picked, picked / other.forecast.assessment.expected_yield.likely.max(0.05))
            })
            .collect();
        let raw: Vec<f64> = earlier.iter().map(|(raw, _)| *raw).collect();
        let clean: Vec<f64> = earlier.iter().map(|(_, clean)| *clean).collect();
        let (Some(usual), Some(clean)) = (sample::median(&raw), sample::median(&clean)) else {
            continue;
        };
        cases.push(HarvestCase {
            planting: one.planting,
            picked: *picked,
            expected: one.forecast.assessment.expected_yield * Estimate::exact(clean),
            usual,
            earlier: earlier.len(),
        });
    }
    score(cases)
}

fn score(cases: Vec<HarvestCase<'_>>) -> Option<HarvestScore<'_>> {
    /// Two guesses this near to each other are the same one.
    const TIE: f64 = 1e-3;
    let off = |guess: f64, picked: f64| (picked / guess.max(1e-6)).ln().abs();
    let ours: Vec<f64> = cases.iter().map(|case| off(case.expected.likely, case.picked)).collect();
    let usual: Vec<f64> = cases.iter().map(|case| off(case.usual, case.picked)).collect();
    let nearer = ours.iter().zip(&usual).filter(|(ours, usual)| **ours < **usual - TIE).count();
    let farther = ours.iter().zip(&usual).filter(|(ours, usual)| **ours > **usual + TIE).count();
    Some(HarvestScore {
        off_by: sample::median(&ours)?.exp(),
        usual_off_by: sample::median(&usual)?.exp(),
        nearer,
        farther,
        within: cases.iter().filter(|case| case.expected.brackets(case.picked)).count(),
        cases,
    })
}
