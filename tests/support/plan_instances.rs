//! Instances for the planner's optimiser, made from the project's own crop table by a seed.
#![allow(dead_code, reason = "each test file uses its part")]

use std::collections::BTreeMap;

use breakcrop::assess::return_time;
use breakcrop::knowledge::{CropId, Knowledge, Role};
use breakcrop::plan::solve::{
    Choice, Instance, NO_FAMILY, PlaceChoices, Random, Share, Succession, Wish,
};
use breakcrop::state::nutrients::typical_yield;

/// What the generator is asked for.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Size {
    pub(crate) places: usize,
    pub(crate) years: usize,
    pub(crate) crops: usize,
}

pub(crate) const SMALL: Size = Size { places: 8, years: 1, crops: 15 };
pub(crate) const MEDIUM: Size = Size { places: 25, years: 2, crops: 30 };
pub(crate) const LARGE: Size = Size { places: 60, years: 3, crops: 40 };

struct Kind {
    family: u8,
    free_slots: u8,
    slots: usize,
    /// Slots of the year in which it may be started.
    opens: usize,
    open_for: usize,
    kg_m2: f64,
    worth_m2: f64,
    is_cover: bool,
}

/// An instance of a size: crops, families, return times, yields, days to maturity and windows of
/// the tables; areas, worths and wishes by chance.
pub(crate) fn generate(knowledge: &Knowledge, size: Size, seed: u64) -> Instance {
    let mut random = Random::new(seed);
    let kinds = kinds(knowledge, size.crops, &mut random);
    let slots = size.years * 24;
    let areas: Vec<f64> =
        (0..size.places).map(|_| [1.44, 2.88, 2.88, 3.6, 4.32][random.below(5)]).collect();
    let whole: f64 = areas.iter().sum();
    let mut instance =
        Instance { slots: u8::try_from(slots).expect("a small number"), ..Instance::default() };
    let mut wish_of: BTreeMap<(usize, usize), u32> = BTreeMap::new();
    for (crop, kind) in kinds.iter().enumerate().filter(|(_, kind)| !kind.is_cover) {
        for year in 0..size.years {
            let share = (0.5 + 1.5 * random.share()) * 1.6 / size.crops as f64;
            wish_of.insert(
                (crop, year),
                u32::try_from(instance.wishes.len()).expect("a small number"),
            );
            instance.wishes.push(Wish {
                worth: kind.worth_m2 / kind.kg_m2,
                wanted: whole * share * kind.kg_m2,
                beyond: 0.1,
            });
        }
    }
    for area in &areas {
        let fit: Vec<f64> = kinds.iter().map(|_| 0.8 + 0.2 * random.share()).collect();
        let free_from = random.below(4);
        let mut waits: BTreeMap<u8, usize> = BTreeMap::new();
        for kind in &kinds {
            let chance = random.share();
            if kind.family != NO_FAMILY && chance < 0.3 {
                let most = usize::from(kind.free_slots);
                waits.insert(kind.family, random.below(most.max(1)));
            }
        }
        let mut place = PlaceChoices::default();
        for start in free_from..slots {
            for (crop, kind) in kinds.iter().enumerate() {
                let end = start + kind.slots;
                let open = (start + 24 - kind.opens) % 24 < kind.open_for;
                let waits = waits.get(&kind.family).copied().unwrap_or(0);
                if !open || end > slots || start < waits {
                    continue;
                }
                let mid = (start + 24 - kind.opens) % 24;
                let late = 1.0 - 0.15 * mid as f64 / kind.open_for as f64;
                let bears = area * fit[crop] * late;
                place.choices.push(Choice {
                    crop: u32::try_from(crop).expect("a small number"),
                    start: u8::try_from(start).expect("a small number"),
                    end: u8::try_from(end).expect("a small number"),
                    family: kind.family,
                    free_slots: kind.free_slots,
                    own: bears * if kind.is_cover { kind.worth_m2 } else { 0.1 * kind.worth_m2 },
                    amounts: wish_of
                        .get(&(crop, start / 24))
                        .map(|wish| (*wish, bears * kind.kg_m2))
                        .into_iter()
                        .collect(),
                    fixed: false,
                    trace: 0,
                });
            }
        }
        instance.places.push(place);
    }
    instance
}

fn kinds(knowledge: &Knowledge, count: usize, random: &mut Random) -> Vec<Kind> {
    let mut crops: Vec<(CropId, f64, f64)> = knowledge
        .crops
        .iter()
        .filter(|(_, crop)| matches!(crop.role, Role::Cash | Role::Cover))
        .filter_map(|(id, crop)| {
            let days = figure(knowledge, id, "days_to_maturity_max")
                .or_else(|| figure(knowledge, id, "days_to_maturity_min"))
                .or_else(|| cover_days(knowledge, id))?;
            let kg =
                if crop.role == Role::Cover { 1.0 } else { typical_yield(knowledge, id)?.likely };
            Some((id, days, kg))
        })
        .collect();
    // Shuffled, so that each seed has crops of its own.
    for at in (1..crops.len()).rev() {
        crops.swap(at, random.below(at + 1));
    }
    assert!(crops.len() >= count, "{} crops with days and yield", crops.len());
    let mut families: Vec<Box<str>> = Vec::new();
    let mut kinds = Vec::new();
    let mut covers = 0;
    for (id, days, kg_m2) in crops {
        let crop = &knowledge.crops[id];
        let is_cover = crop.role == Role::Cover;
        if is_cover && covers * 6 > count {
            continue;
        }
        covers += usize::from(is_cover);
        let known = families.iter().position(|family| *family == crop.family);
        let family = known.unwrap_or_else(|| {
            families.push(crop.family.clone());
            families.len() - 1
        });
        let years = return_time(knowledge, id).map_or(0.0, |times| times.gap.low);
        let slots = whole(days / 15.22).clamp(3, 14);
        kinds.push(Kind {
            family: if is_cover {
                NO_FAMILY
            } else {
                u8::try_from(family).expect("a small number")
            },
            free_slots: u8::try_from(whole(years * 24.0).clamp(12, 72)).expect("a small number"),
            slots,
            opens: random.below(24),
            open_for: 3 + random.below(8),
            kg_m2,
            worth_m2: (0.6 + 0.8 * random.share())
                * if is_cover { 0.15 } else { 1.0 }
                * (slots as f64).sqrt(),
            is_cover,
        });
        if kinds.len() == count {
            break;
        }
    }
    assert_eq!(kinds.len(), count);
    kinds
}

/// The next whole number.
fn whole(number: f64) -> usize {
    (0..200).find(|whole| f64::from(*whole) >= number).map_or(200, |whole: u8| usize::from(whole))
}

fn figure(knowledge: &Knowledge, crop: CropId, field: &str) -> Option<f64> {
    knowledge.crop_figures(crop, field).iter().find_map(|row| Some(row.range?.likely))
}

fn cover_days(knowledge: &Knowledge, crop: CropId) -> Option<f64> {
    let rows = knowledge.cover_figures(crop, "days_to_cover");
    rows.iter().find_map(|row| Some(row.range?.likely))
}

/// A small instance with everything in it: wishes, fixed choices, neighbours, traces.
pub(crate) fn tiny(seed: u64) -> (Instance, Pairs) {
    let mut random = Random::new(seed ^ 0x7A6B);
    let slots = 4 + random.below(5);
    let traces = 1 + random.below(3);
    let mut instance =
        Instance { slots: u8::try_from(slots).expect("a small number"), ..Instance::default() };
    for _ in 0..=random.below(3) {
        instance.wishes.push(Wish {
            worth: 0.5 + random.share(),
            wanted: 1.0 + 4.0 * random.share(),
            beyond: 0.5 * random.share(),
        });
    }
    for _ in 0..=random.below(3) {
        let mut place = PlaceChoices::default();
        for _ in 0..3 + random.below(4) {
            let start = random.below(slots - 1);
            let end = (start + 1 + random.below(3)).min(slots);
            let family = random.below(4);
            place.choices.push(Choice {
                crop: u32::try_from(random.below(5)).expect("a small number"),
                start: u8::try_from(start).expect("a small number"),
                end: u8::try_from(end).expect("a small number"),
                family: if family == 3 {
                    NO_FAMILY
                } else {
                    u8::try_from(family).expect("a small number")
                },
                free_slots: u8::try_from(random.below(4)).expect("a small number"),
                own: random.share(),
                amounts: (0..random.below(3))
                    .map(|_| {
                        let wish = random.below(instance.wishes.len());
                        (u32::try_from(wish).expect("a small number"), 0.5 + 2.0 * random.share())
                    })
                    .collect(),
                fixed: false,
                trace: u16::try_from(random.below(traces)).expect("a small number"),
            });
        }
        if random.below(3) == 0 {
            let at = random.below(place.choices.len());
            place.choices[at].fixed = true;
        }
        instance.places.push(place);
    }
    if instance.places.len() > 1 && random.below(2) == 0 {
        instance.neighbours.push(breakcrop::plan::solve::Neighbours {
            one: 0,
            other: 1,
            charge: 0.4 * random.share(),
        });
    }
    let mut shares = Vec::new();
    for _ in 0..traces * 5 {
        shares.push((random.below(6) > 0).then(|| 0.6 + 0.4 * random.share()));
    }
    let crops = instance
        .places
        .iter()
        .map(|place| place.choices.iter().map(|choice| (choice.crop, choice.trace)).collect())
        .collect();
    (instance, Pairs { traces, shares, crops })
}

/// What stood last decides what the next crop bears, by chance.
#[derive(Debug)]
pub(crate) struct Pairs {
    traces: usize,
    shares: Vec<Option<f64>>,
    crops: Vec<Vec<(u32, u16)>>,
}

impl Pairs {
    /// The same for an instance whose last place stands twice.
    pub(crate) fn with_last_place_again(&self) -> Self {
        let mut crops = self.crops.clone();
        crops.extend(self.crops.last().cloned());
        Self { traces: self.traces, shares: self.shares.clone(), crops }
    }
}

impl Succession for Pairs {
    fn exact(&self, place: usize, sequence: &[u32]) -> Option<Vec<Share>> {
        let mut trace = 0;
        sequence
            .iter()
            .map(|choice| {
                let share = self.at_most(place, trace, *choice);
                trace = self.crops[place][*choice as usize].1;
                share
            })
            .collect()
    }

    fn traces(&self) -> u16 {
        u16::try_from(self.traces).expect("a small number")
    }

    fn at_most(&self, place: usize, trace: u16, choice: u32) -> Option<Share> {
        let crop = self.crops[place][choice as usize].0 as usize;
        let share = self.shares[usize::from(trace) * 5 + crop]?;
        Some(Share { share, charge: 0.02 * f64::from(trace) })
    }
}
