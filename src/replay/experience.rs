//! What a garden has seen so far: how many of its plantings fell sick, and which diseases came to
//! beds that had them not on record.
//!
//! Each bed may hold each disease that stays in beds, unseen. How many beds do is learnt disease
//! by disease (gamma and Poisson): before the first record all are alike, so that together they
//! make a planting sick as often as the background that judgments presume would; one that was found
//! in a bed is the likelier in the others, one that was sought in vain the less. A find counts by the
//! certainty of its name. How much sickness there is in all, or gets written down (a grower notes a
//! sick crop sooner than a sound one), moves the guess for those not found yet, the more freely the
//! fewer plantings are written of.
//!
//! What a bed holds unseen may be anything from a trace to the worst. Every crop that could have
//! shown it and did not speaks against the larger doses (Bayes), and the more so the more plants
//! it had and the better it takes the disease. Such looks fade over the years: soil, plants and
//! water carry things in.
//!
//! Only plantings that are cleared count, sick or healthy alike: sickness shows sooner than health,
//! and counting it sooner would make a garden look sicker than it is.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::chance::{Look, Points, at_least_one, dose_of, points};
use crate::assess::{Suffered, suffered};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, PathogenId};
use crate::policy::Policy;
use crate::records::Planting;
use crate::season::{Date, years_between};

/// How a crop takes a disease: a crop that nobody lists as a host is seldom one, but is then a host
/// like others; a weak host takes it surely, and in part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Takes {
    /// Chance that it takes it at all.
    pub(super) chance: f64,
    /// Part of a susceptible crop's harm that it then suffers.
    pub(super) part: f64,
}

impl Takes {
    /// Not at all.
    pub(super) const NOT: Self = Self { chance: 0.0, part: 0.0 };

    /// By what a crop suffers of the disease in the mean, and whether it surely takes it.
    fn by(suffered: Suffered) -> Self {
        let likely = suffered.part.likely;
        match suffered.doubtful {
            true => Self { chance: likely, part: 1.0 },
            false if likely > 0.0 => Self { chance: 1.0, part: likely },
            false => Self::NOT,
        }
    }

    /// What it suffers in the mean.
    fn mean(self) -> f64 {
        self.chance * self.part
    }

    /// Whether another takes a disease just so.
    pub(super) fn is_like(self, other: Self) -> bool {
        self.chance.total_cmp(&other.chance).is_eq() && self.part.total_cmp(&other.part).is_eq()
    }
}

/// A disease with how a crop takes it.
pub(super) type Taken = (PathogenId, Takes);

/// What a cleared planting teaches.
#[derive(Clone, Debug)]
pub(super) struct Lesson<'a> {
    pub(super) planting: &'a Planting,
    /// Whether it fell sick.
    pub(super) sick: bool,
    /// What was named on it, each with the weight of its certainty.
    pub(super) named: Vec<(PathogenId, f64)>,
    /// What its bed had on record.
    pub(super) on_record: &'a [PathogenId],
}

/// Beds in which a disease was found, and beds in which it would have been, had all held it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Found {
    found: f64,
    sought: f64,
}

/// How well the doses a bed may hold unseen agree with what was looked at there.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Spared {
    weights: Points,
    last: Date,
}

/// Plantings scored so far.
#[derive(Clone, Debug)]
pub(super) struct Experience<'k> {
    knowledge: &'k Knowledge,
    policy: &'k Policy,
    /// If only one disease is of interest.
    only: Option<PathogenId>,
    look: Look,
    /// Doses of which each is as likely as the others before anyone looked.
    unseen: Points,
    /// Chance that a planting falls sick of the presumed background.
    guess: f64,
    /// Chance that a bed holds some disease of a crop, before the first record.
    held_before: f64,
    /// Beds that count as found to hold a disease before the first record.
    found_before: f64,
    scored: usize,
    sick: usize,
    /// Plantings cleared of which nobody wrote how they were.
    not_looked_at: usize,
    /// Plantings that brought a new disease, and as many as were to be expected by the first guess.
    brought: f64,
    expected: f64,
    /// Diseases each crop takes.
    taken: BTreeMap<CropId, Rc<[Taken]>>,
    found: BTreeMap<PathogenId, Found>,
    spared: BTreeMap<Box<str>, BTreeMap<PathogenId, Spared>>,
}

impl<'k> Experience<'k> {
    /// None yet.
    pub(super) fn none(knowledge: &'k Knowledge, policy: &'k Policy) -> Self {
        let mut none = Self {
            knowledge,
            policy,
            only: None,
            look: Look::of(policy),
            unseen: points(unseen_dose(policy)),
            guess: 0.0,
            held_before: 0.0,
            found_before: 0.0,
            scored: 0,
            sick: 0,
            not_looked_at: 0,
            brought: 0.0,
            expected: 0.0,
            taken: BTreeMap::new(),
            found: BTreeMap::new(),
            spared: BTreeMap::new(),
        };
        let seen = |doses: &Points| weighed(&none.all_alike(), &none.look.finds_at(None, doses));
        let background = seen(&points(dose_of(policy.presumed_background)));
        let held = background / seen(&none.unseen);
        none.guess = background;
        none.held_before = held;
        none.found_before = policy.plantings_known * held / none.diseases_of_a_garden_crop();
        none
    }

    /// None yet, of one disease; `none` is that of all.
    pub(super) fn of_one(none: &Self, pathogen: PathogenId) -> Self {
        Self { only: Some(pathogen), ..none.clone() }
    }

    /// How many diseases a crop of gardens takes, in the mean over those for which sources print
    /// what gardens pick, each by the part that the crop suffers.
    fn diseases_of_a_garden_crop(&mut self) -> f64 {
        let mut crops: Vec<CropId> =
            self.knowledge.garden_yields().iter().filter_map(|row| row.crop.one()).collect();
        crops.sort();
        crops.dedup();
        let sum: f64 = crops
            .iter()
            .map(|crop| self.taken_by(*crop).iter().map(|(_, takes)| takes.mean()).sum::<f64>())
            .sum();
        (sum / crops.len().max(1) as f64).max(1.0)
    }

    /// The diseases of beds that a crop takes.
    pub(super) fn taken_by(&mut self, crop: CropId) -> Rc<[Taken]> {
        let (knowledge, policy, only) = (self.knowledge, self.policy, self.only);
        let taken = self.taken.entry(crop).or_insert_with(|| {
            knowledge
                .pathogens
                .iter()
                .filter(|(pathogen, row)| {
                    row.is_bound_to_bed() && only.is_none_or(|only| only == *pathogen)
                })
                .map(|(pathogen, _)| {
                    (pathogen, Takes::by(suffered(knowledge, policy, pathogen, crop)))
                })
                .filter(|(_, takes)| takes.chance > 0.0)
                .collect()
        });
        Rc::clone(taken)
    }

    /// How a crop takes a disease.
    pub(super) fn takes(&mut self, pathogen: PathogenId, crop: CropId) -> Takes {
        let taken = self.taken_by(crop);
        taken.iter().find(|(of, _)| *of == pathogen).map_or(Takes::NOT, |(_, takes)| *takes)
    }

    /// Chance that a bed of this garden holds a disease, before anything is known of the bed.
    pub(super) fn held(&self, pathogen: PathogenId) -> f64 {
        let Found { found, sought } = self.found.get(&pathogen).copied().unwrap_or_default();
        let known = self.policy.plantings_known;
        (known * self.first_guess() * self.level() + found) / (known + sought)
    }

    /// Chance that a bed holds a disease, before the first record.
    fn first_guess(&self) -> f64 {
        self.found_before / self.policy.plantings_known
    }

    /// How many times as many new diseases came in all as the first guess would have had it. The
    /// guess is of crops that are all looked at: it binds the less, the fewer are.
    fn level(&self) -> f64 {
        let scored = self.scored as f64;
        let looked_at = (scored + 1.0) / (scored + self.not_looked_at as f64 + 1.0);
        let before = self.policy.plantings_known * self.held_before * looked_at;
        (before + self.brought) / (before + self.expected)
    }

    /// One more planting of which nobody wrote how it was.
    pub(super) fn learn_of_none(&mut self) {
        self.not_looked_at += 1;
    }

    /// One more planting.
    pub(super) fn learn(&mut self, lesson: &Lesson<'_>) {
        self.scored += 1;
        self.sick += usize::from(lesson.sick);
        let planting = lesson.planting;
        self.expected += self.new_of(planting, lesson.on_record, |all, _| all.first_guess());
        let is_new = |(pathogen, _): &(PathogenId, f64)| !lesson.on_record.contains(pathogen);
        self.brought += f64::from(u8::from(lesson.named.iter().any(is_new)));
        let taken = self.taken_by(planting.crop);
        let alike = self.finds_alike(planting.plants, &taken);
        for (pathogen, takes) in taken.iter() {
            if lesson.on_record.contains(pathogen) {
                continue;
            }
            let finds = of_takes(&alike, *takes);
            let weights = self.weights(&planting.place.bed, *pathogen, planting.planted());
            let found = self.found.entry(*pathogen).or_default();
            found.sought += weighed(&weights, &finds);
            if lesson.named.iter().any(|(named, _)| named == pathogen) {
                continue;
            }
            let weights = std::array::from_fn(|at| weights[at] * (1.0 - finds[at]));
            self.spared
                .entry(planting.place.bed.clone())
                .or_default()
                .insert(*pathogen, Spared { weights, last: planting.planted() });
        }
        for (pathogen, weight) in &lesson.named {
            if !lesson.on_record.contains(pathogen) && self.only.is_none_or(|one| one == *pathogen)
            {
                self.found.entry(*pathogen).or_default().found += weight;
            }
        }
    }

    /// Share that fell sick. `part` is the part of the first guess that the disease in question
    /// has: 1 for all of them together.
    pub(super) fn base_rate(&self, part: f64) -> f64 {
        let known = self.policy.plantings_known;
        (known * self.guess * part + self.sick as f64) / (known + self.scored as f64)
    }

    /// Chance that a planting falls sick of a disease that its bed has not on record.
    pub(super) fn new_disease(&mut self, planting: &Planting, on_record: &[PathogenId]) -> f64 {
        self.new_of(planting, on_record, Self::held)
    }

    /// The same, with the chance that a bed holds each disease.
    fn new_of(
        &mut self,
        planting: &Planting,
        on_record: &[PathogenId],
        held: impl Fn(&Self, PathogenId) -> f64,
    ) -> f64 {
        let taken = self.taken_by(planting.crop);
        let alike = self.finds_alike(planting.plants, &taken);
        at_least_one(taken.iter().filter(|(pathogen, _)| !on_record.contains(pathogen)).map(
            |(pathogen, takes)| {
                let weights = self.weights(&planting.place.bed, *pathogen, planting.planted());
                (held(self, *pathogen) * weighed(&weights, &of_takes(&alike, *takes))).min(1.0)
            },
        ))
    }

    /// For each way in which a crop takes diseases, the chances that each dose a bed may hold unseen
    /// shows on it.
    fn finds_alike(&self, plants: Option<i64>, taken: &[Taken]) -> Vec<(Takes, Points)> {
        let mut alike: Vec<(Takes, Points)> = Vec::new();
        for (_, takes) in taken {
            if alike.iter().all(|(known, _)| !known.is_like(*takes)) {
                let doses = self.unseen.map(|dose| dose * takes.part);
                let finds = self.look.finds_at(plants, &doses);
                alike.push((*takes, finds.map(|found| found * takes.chance)));
            }
        }
        alike
    }

    /// The weights of doses of which nothing is known.
    fn all_alike(&self) -> Points {
        self.unseen.map(|_| 1.0)
    }

    /// What the looks at a bed have left of the chance of each dose, 0 to 1.
    fn weights(&self, bed: &str, pathogen: PathogenId, on: Date) -> Points {
        let Some(spared) = self.spared.get(bed).and_then(|bed| bed.get(&pathogen)) else {
            return self.all_alike();
        };
        let years = years_between(spared.last, on).max(0.0);
        let kept = (-years / self.policy.clean_looks_fade_years).exp();
        spared.weights.map(|weight| weight * kept + (1.0 - kept))
    }
}

/// The chances for a way of taking diseases.
fn of_takes(alike: &[(Takes, Points)], takes: Takes) -> Points {
    let known = alike.iter().find(|(known, _)| known.is_like(takes));
    known.map_or(Points::default(), |(_, finds)| *finds)
}

/// The mean over doses.
fn weighed(weights: &Points, finds: &Points) -> f64 {
    weights.iter().zip(finds).map(|(weight, finds)| weight * finds).sum::<f64>()
        / weights.len() as f64
}

/// The dose of a disease that a bed holds unseen: by orders of magnitude between the least trace
/// and the worst that growers write down.
fn unseen_dose(policy: &Policy) -> Estimate {
    let (least, most) = (policy.extent_trace.low, policy.extent_severe.high);
    dose_of(Estimate::new(least, (least * most).sqrt(), most))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::origin::Origin;
    use crate::records::Place;
    use crate::season::{Interval, iso_day};

    fn planting(knowledge: &Knowledge, bed: &str, crop: &str, from: &str) -> Planting {
        Planting {
            place: Place { bed: bed.into(), section: None },
            crop: knowledge.crops.find(crop).expect("a crop"),
            variety: Box::default(),
            rootstock: Box::default(),
            resistance: Box::default(),
            method: None,
            stood: Interval { start: iso_day(from).expect("a day"), end: None },
            plants: Some(12),
            area: None,
            row_spacing: None,
            plant_spacing: None,
            residue: None,
            note: Box::default(),
            origin: Origin::new("plantings.csv", 1),
        }
    }

    fn healthy(planting: &Planting) -> Lesson<'_> {
        Lesson { planting, sick: false, named: Vec::new(), on_record: &[] }
    }

    #[test]
    fn the_first_guess_is_that_of_the_presumed_background() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let mut none = Experience::none(&knowledge, &policy);
        let guess = none.base_rate(1.0);
        let crops = ["tomato", "cabbage", "lettuce", "onion", "carrot", "pea"];
        let chances =
            crops.map(|crop| none.new_disease(&planting(&knowledge, "a", crop, "2024-05-01"), &[]));
        let mean = chances.iter().sum::<f64>() / chances.len() as f64;
        assert!(mean < guess * 1.2 && mean > guess / 2.0, "{chances:?}");
        // Who looks at more plants sees more of it.
        let bed_of = |plants| {
            let tomato = planting(&knowledge, "a", "tomato", "2024-05-01");
            Planting { plants: Some(plants), ..tomato }
        };
        assert!(none.new_disease(&bed_of(2), &[]) < none.new_disease(&bed_of(20), &[]));
    }

    #[test]
    fn a_host_that_stayed_healthy_speaks_for_its_bed_and_the_more_of_its_kind_the_more() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let mut experience = Experience::none(&knowledge, &policy);
        let chance = |experience: &mut Experience<'_>, bed: &str, crop: &str, from: &str| {
            experience.new_disease(&planting(&knowledge, bed, crop, from), &[])
        };
        experience.learn(&healthy(&planting(&knowledge, "old", "tomato", "2024-05-01")));
        let other = chance(&mut experience, "new", "tomato", "2025-05-01");
        let tomato = chance(&mut experience, "old", "tomato", "2025-05-01");
        assert!(tomato < 0.6 * other, "{tomato} {other}");
        // An onion takes little of what tomatoes would have shown.
        let onion = chance(&mut experience, "old", "onion", "2025-05-01")
            / chance(&mut experience, "new", "onion", "2025-05-01");
        assert!(onion > tomato / other, "{onion}");
        // The look fades.
        let later = chance(&mut experience, "old", "tomato", "2045-05-01");
        assert!(later > tomato && later < other, "{later}");
    }

    #[test]
    fn a_disease_found_in_one_bed_is_likelier_in_the_others() {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let clubroot = knowledge.pathogens.find("plasmodiophora_brassicae").expect("a row");
        let mut experience = Experience::none(&knowledge, &policy);
        let before = experience.held(clubroot);
        let cabbage = planting(&knowledge, "a", "cabbage", "2024-05-01");
        let found =
            |weight| Lesson { sick: true, named: vec![(clubroot, weight)], ..healthy(&cabbage) };
        let mut sure = experience.clone();
        sure.learn(&found(1.0));
        experience.learn(&found(0.5));
        assert!(sure.held(clubroot) > experience.held(clubroot));
        assert!(experience.held(clubroot) > 2.0 * before);
        // Once it is on record it is new no more.
        let next = planting(&knowledge, "a", "cabbage", "2025-05-01");
        assert!(sure.new_disease(&next, &[clubroot]) < sure.new_disease(&next, &[]));
    }
}
