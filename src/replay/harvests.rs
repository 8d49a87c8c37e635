//! The expected yield held against what was picked.
//!
//! A judgment gives a share of the yield on a clean, rotated bed. What that yield is here is
//! learnt from this garden alone: from each earlier harvest of the same crop, divided by the share
//! that was expected of it. Beside it stands whoever expects the middle of the earlier harvests.

use crate::assess::{Assessment, Claim};
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

/// A part of the expected yield.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YieldPart {
    /// Diseases on record, known and unknown.
    Disease,
    /// The same crop or family too soon.
    Return,
    /// What stood before, its residue, the graft.
    Sequence,
    /// Nitrogen.
    Nutrients,
    /// Heat, cold and daylength.
    Season,
}

impl YieldPart {
    /// All, in the order in which they are told.
    pub const ALL: [Self; 5] =
        [Self::Disease, Self::Return, Self::Sequence, Self::Nutrients, Self::Season];

    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Disease => "disease",
            Self::Return => "return",
            Self::Sequence => "sequence",
            Self::Nutrients => "nutrients",
            Self::Season => "season",
        }
    }

    /// The part that a claim belongs to.
    fn of(claim: &Claim) -> Self {
        match claim {
            Claim::Disease { .. } | Claim::NotOfTheBed { .. } | Claim::UnknownDisease { .. } => {
                Self::Disease
            }
            Claim::Return { .. } => Self::Return,
            Claim::Season { .. } => Self::Season,
            Claim::NitrogenShort { .. } | Claim::NitrogenEnough { .. } => Self::Nutrients,
            Claim::Predecessor { .. }
            | Claim::ResidueNotReady { .. }
            | Claim::ManureToHarvest { .. }
            | Claim::Grafted { .. }
            | Claim::HistoryUnknown { .. } => Self::Sequence,
        }
    }
}

/// Whether a part of the expected yield, taken alone, brought expectations nearer to what was
/// picked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PartScore {
    /// The part.
    pub part: YieldPart,
    /// Harvests that it brought nearer than the usual one.
    pub nearer: usize,
    /// Harvests that it led away from.
    pub farther: usize,
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
    /// By how much nearer than the usual one the expected harvest was, as a logarithm, with its
    /// interval (95 %); `None` for fewer than two.
    pub gain: Option<Estimate>,
    /// How far the expected harvest and the one picked were above or below the usual one together
    /// (Spearman's rank correlation); `None` for fewer than three.
    pub rank_correlation: Option<f64>,
    /// Each part of the expected yield by itself.
    pub parts: Vec<PartScore>,
}

/// What so many harvests say of the expected yield.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HarvestsSay {
    /// It came nearer than the usual harvest, beyond chance.
    Nearer,
    /// It led away from it, beyond chance.
    Farther,
    /// It is as good as the usual harvest.
    NoDifference,
    /// They are too few to tell.
    TooFew,
}

impl HarvestsSay {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Nearer => "nearer",
            Self::Farther => "farther",
            Self::NoDifference => "no_difference",
            Self::TooFew => "too_few",
        }
    }
}

impl HarvestScore<'_> {
    /// What so many harvests say: a difference that the interval sets apart from nothing, none of
    /// more than a twentieth, or that either may be.
    #[must_use]
    pub fn say(&self) -> HarvestsSay {
        /// A twentieth off is not worth telling apart.
        const SLIGHT: f64 = 0.05;
        match self.gain {
            Some(gain) if gain.low > 0.0 => HarvestsSay::Nearer,
            Some(gain) if gain.high < 0.0 => HarvestsSay::Farther,
            Some(gain) if gain.high - gain.low < 2.0 * SLIGHT => HarvestsSay::NoDifference,
            _ => HarvestsSay::TooFew,
        }
    }
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
    let parts = YieldPart::ALL
        .into_iter()
        .map(|part| {
            let of = |assessment: &Assessment| {
                let reasons = assessment.reasons.iter();
                let factors = reasons
                    .filter(|reason| YieldPart::of(&reason.claim) == part)
                    .map(|reason| reason.yield_fraction);
                factors.fold(Estimate::ONE, |product, factor| product * factor)
            };
            let (nearer, farther) = nearer_and_farther(&cases(&done, &of));
            PartScore { part, nearer, farther }
        })
        .collect();
    score(cases(&done, &|assessment| assessment.expected_yield), parts)
}

/// A harvested planting, when it was cleared, and what was picked of it.
type Done<'a, 'g> = (&'a Replayed<'g>, Date, f64);

/// What was to be expected of every harvest that had earlier ones, by a share of the yield.
fn cases<'g>(
    done: &[Done<'_, 'g>],
    share: &dyn Fn(&Assessment) -> Estimate,
) -> Vec<HarvestCase<'g>> {
    let mut cases = Vec::new();
    for (one, _, picked) in done {
        let earlier: Vec<(f64, f64)> = done
            .iter()
            .filter(|(other, end, _)| {
                other.planting.crop == one.planting.crop && *end < one.planting.planted()
            })
            .map(|(other, _, picked)| {
                (*picked, picked / share(&other.forecast.assessment).likely.max(0.05))
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
            expected: share(&one.forecast.assessment) * Estimate::exact(clean),
            usual,
            earlier: earlier.len(),
        });
    }
    cases
}

/// How far a guess was off, as a logarithm.
fn off(guess: f64, picked: f64) -> f64 {
    (picked / guess.max(1e-6)).ln().abs()
}

/// Harvests that were nearer to what was expected than to the usual, and those that were farther,
/// ties left out.
fn nearer_and_farther(cases: &[HarvestCase<'_>]) -> (usize, usize) {
    /// Two guesses this near to each other are the same one.
    const TIE: f64 = 1e-3;
    let lead = |case: &HarvestCase<'_>| {
        off(case.usual, case.picked) - off(case.expected.likely, case.picked)
    };
    let nearer = cases.iter().filter(|case| lead(case) > TIE).count();
    let farther = cases.iter().filter(|case| lead(case) < -TIE).count();
    (nearer, farther)
}

fn score(cases: Vec<HarvestCase<'_>>, parts: Vec<PartScore>) -> Option<HarvestScore<'_>> {
    let ours: Vec<f64> = cases.iter().map(|case| off(case.expected.likely, case.picked)).collect();
    let usual: Vec<f64> = cases.iter().map(|case| off(case.usual, case.picked)).collect();
    let (nearer, farther) = nearer_and_farther(&cases);
    let gains: Vec<f64> = usual.iter().zip(&ours).map(|(usual, ours)| usual - ours).collect();
    let beside_usual: Vec<(f64, f64)> = cases
        .iter()
        .map(|case| (case.expected.likely / case.usual, case.picked / case.usual))
        .collect();
    Some(HarvestScore {
        gain: sample::mean(&gains),
        rank_correlation: sample::rank_correlation(&beside_usual),
        off_by: sample::median(&ours)?.exp(),
        usual_off_by: sample::median(&usual)?.exp(),
        nearer,
        farther,
        parts,
        within: cases.iter().filter(|case| case.expected.brackets(case.picked)).count(),
        cases,
    })
}
