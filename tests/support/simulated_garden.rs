//! Gardens whose truth is known: what each bed holds of each disease, how it grows and dies away,
//! and what a grower who looks now and then, and does not always name the right cause, would have
//! written.
//!
//! The truth is drawn afresh for every garden from published ranges and from what is not known,
//! never from the program's likely values: how long a pathogen lasts from the ends of its printed
//! survival, how much of it is left then, how much a host season multiplies it, how far a crop
//! takes it, how far a season lets it show. Who hosts what are facts and are shared. The grower
//! plants what comes to hand and looks without knowing how a crop is.
//!
//! What is picked follows published relations, with dice of its own: the plants that fall sick yield
//! less or nothing, the same crop again loses 5 to 20 percent of a clean bed's yield, a relative
//! less, a crop after a legume gains up to a fifth, and plots that had the same treatment part by a
//! tenth to a third. Weather, water and skill are in that last figure and nowhere else. All is fed
//! alike and enough, so that nitrogen decides nothing but that gain.

use std::fmt::Write as _;

use breakcrop::knowledge::{HostStatus, Knowledge};
use breakcrop::records::Garden;
use breakcrop::season::{Date, add_days, iso_day, years_between};
use rand::{RngExt as _, SeedableRng as _};
use rand_xorshift::XorShiftRng;

use super::garden_of;

/// Crops that come to hand.
const CROPS: [&str; 18] = [
    "tomato",
    "potato",
    "eggplant",
    "pepper",
    "strawberry",
    "cabbage",
    "broccoli",
    "radish",
    "onion",
    "garlic",
    "leek",
    "pea",
    "snap_bean",
    "cucumber",
    "lettuce",
    "carrot",
    "spinach",
    "sweet_corn",
];

/// Diseases that may be about: every way of lasting, from a year or two to decades.
const PATHOGENS: [&str; 8] = [
    "verticillium_dahliae",
    "plasmodiophora_brassicae",
    "stromatinia_cepivora",
    "sclerotinia_sclerotiorum",
    "meloidogyne_incognita",
    "fusarium_oxysporum_lycopersici",
    "fusarium_oxysporum_lactucae",
    "aphanomyces_euteiches",
];

/// Factor of a host season on what the soil holds of a fungus: doubled in two years of soybean and
/// maize (Short 1980, Macrophomina), more than fivefold in two of potato (Davis and Sorensen,
/// Verticillium), and beyond what either found.
const FUNGUS_SEASON: (f64, f64) = (1.4, 10.0);
/// The same of a nematode: 2.5 to 3.6 in a field of tomato already full of them, over a thousand
/// at the lowest density of a trial (Di Vito 1991).
const NEMATODE_SEASON: (f64, f64) = (2.5, 50.0);
/// Share of the beds that hold a disease at the start, by disease: surveys of fields of its hosts
/// found 5 to 97 percent infested; gardens are given the lower part of it.
const INFESTED: (f64, f64) = (0.02, 0.25);
/// Dose that they hold: from one sick plant in a hundred to most of them.
const FIRST_DOSE: (f64, f64) = (0.01, 1.0);
/// Chance a year that a disease is carried into a bed.
const CARRIED_IN: f64 = 0.01;
/// Dose beyond which a host season adds nothing.
const CEILING: (f64, f64) = (1.5, 4.0);
/// Spread of the logarithm by which seasons let a disease show more or less.
const SEASON_SPREAD: (f64, f64) = (0.3, 0.9);
/// How far a crop listed as a host takes a disease, beside one that is fully susceptible.
const HOST_TAKES: (f64, f64) = (0.3, 1.0);
/// How often a cause named by the look alone is the right one, and one told apart by a field
/// check: nobody has printed either for gardens, so both are left wide.
const SUSPICION_RIGHT: (f64, f64) = (0.3, 0.8);
/// The same of a field check; a laboratory is always right.
const FIELD_CHECK_RIGHT: (f64, f64) = (0.75, 0.98);
/// Chance that a sick plant is noticed.
const PLANT_NOTICED: f64 = 0.9;

/// Part of its yield that a sick plant loses: from a wilt late in the season to one that kills.
const SICK_PLANT_LOSES: (f64, f64) = (0.3, 1.0);
/// Part of its yield that the same crop again loses.
const SAME_CROP_LOSES: (f64, f64) = (0.05, 0.20);
/// The same of a relative: regions and trials find none to that of the crop itself.
const RELATIVE_LOSES: (f64, f64) = (0.0, 0.10);
/// Part that a crop gains after a legume: nothing where nitrogen is plenty, up to a fifth.
const AFTER_LEGUME_GAINS: (f64, f64) = (0.0, 0.20);
/// Spread of the logarithm of yields of plots treated alike.
const YIELD_SPREAD: (f64, f64) = (0.10, 0.30);
/// Yield of a clean bed where none is printed for gardens, kg/m2.
const YIELD_NOT_PRINTED: (f64, f64) = (1.0, 4.0);

/// Blood meal that each crop is fed: some 20 g/m2 of nitrogen.
const FED_KG: f64 = 0.8;
/// Ground of each bed, m2.
const GROUND_M2: f64 = 4.8;

/// What is being simulated.
pub(crate) struct Plan {
    pub(crate) seed: u64,
    pub(crate) beds: usize,
    pub(crate) years: i32,
    /// Chance that a planting is looked at.
    pub(crate) looks: f64,
}

/// A garden, with the chance that each planting truly had of a disease being named on it when it
/// was looked at, in the order of the garden's plantings.
pub(crate) struct Simulated {
    pub(crate) garden: Garden,
    pub(crate) true_chances: Vec<f64>,
    pub(crate) today: Date,
}

/// One disease as it truly is in one garden.
struct Truth {
    key: &'static str,
    half_life: f64,
    season: f64,
    ceiling: f64,
    infested: f64,
    /// How far each crop takes it, in the order of [`CROPS`].
    takes: Vec<f64>,
}

struct Dice(XorShiftRng);

impl Dice {
    fn even(&mut self, (low, high): (f64, f64)) -> f64 {
        low + (high - low) * self.0.random::<f64>()
    }

    /// Evenly over the orders of magnitude.
    fn by_factor(&mut self, (low, high): (f64, f64)) -> f64 {
        self.even((low.ln(), high.ln())).exp()
    }

    fn happens(&mut self, chance: f64) -> bool {
        self.0.random::<f64>() < chance
    }

    fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.0.random_range(0..all.len())]
    }

    /// A standard normal figure (Box and Muller 1958).
    fn normal(&mut self) -> f64 {
        let (a, b) = (self.even((1e-12, 1.0)), self.even((0.0, 1.0)));
        (-2.0 * a.ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }
}

fn truth(dice: &mut Dice, knowledge: &Knowledge, key: &'static str) -> Truth {
    let pathogen = knowledge.pathogens.find(key).expect("a pathogen of the tables");
    let row = &knowledge.pathogens[pathogen];
    let survival = row.survival_years.map(|years| {
        let high = if row.survival_open { years.high * 3.0 } else { years.high };
        let lasts = dice.by_factor((years.low.max(0.5), high.max(years.low * 1.5)));
        lasts / -dice.by_factor((0.01, 0.10)).log2()
    });
    let printed = row.half_life_years.map(|years| {
        dice.by_factor((years.low.min(years.high * 0.7), years.high.max(years.low * 1.4)))
    });
    let half_life = match (printed, survival) {
        (Some(printed), Some(survival)) => dice.one_of(&[printed, survival]),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => panic!("{key}: nothing is printed"),
    };
    let takes = CROPS
        .iter()
        .map(|crop| {
            let crop = knowledge.names.crop(&knowledge.crops, crop).expect("a crop");
            match knowledge.standing(pathogen, crop).status {
                HostStatus::Host => dice.even(HOST_TAKES),
                HostStatus::WeakHost | HostStatus::InferredHost => dice.by_factor((0.05, 1.0)),
                HostStatus::PoorHost => dice.even((0.0, 0.3)),
                HostStatus::Unrecorded | HostStatus::Ungraded => {
                    // Most crops that nobody lists are no hosts.
                    if dice.happens(0.2) { dice.even((0.0, 0.5)) } else { 0.0 }
                }
                HostStatus::Carrier
                | HostStatus::AdvisedBreak
                | HostStatus::OutsideRange
                | HostStatus::NonHost => 0.0,
            }
        })
        .collect();
    Truth {
        key,
        half_life,
        season: dice.by_factor(if row.is_nematode() { NEMATODE_SEASON } else { FUNGUS_SEASON }),
        ceiling: dice.even(CEILING),
        infested: dice.by_factor(INFESTED),
        takes,
    }
}

/// What truly decides yields in one garden.
struct Yields {
    dice: Dice,
    /// Of a clean bed, kg/m2, in the order of [`CROPS`].
    clean: Vec<f64>,
    sick_plant: f64,
    same_crop: f64,
    relative: f64,
    after_legume: f64,
    spread: f64,
}

impl Yields {
    /// The seed is that of the garden, the dice others: what is picked changes no disease.
    fn of(knowledge: &Knowledge, seed: u64) -> Self {
        let mut dice = Dice(XorShiftRng::seed_from_u64(seed ^ 0x7969_656c_6473));
        let clean = CROPS
            .iter()
            .map(|crop| {
                let crop = knowledge.names.crop(&knowledge.crops, crop).expect("a crop");
                let printed = knowledge
                    .garden_yields()
                    .iter()
                    .filter(|row| row.crop.is(crop))
                    .find_map(|row| row.kg_per_m2);
                let range = printed.map_or(YIELD_NOT_PRINTED, |kg| (kg.low, kg.high));
                dice.by_factor((range.0.min(range.1 * 0.7), range.1))
            })
            .collect();
        Self {
            clean,
            sick_plant: dice.even(SICK_PLANT_LOSES),
            same_crop: dice.even(SAME_CROP_LOSES),
            relative: dice.even(RELATIVE_LOSES),
            after_legume: dice.even(AFTER_LEGUME_GAINS),
            spread: dice.even(YIELD_SPREAD),
            dice,
        }
    }

    /// What is picked of a crop after another with so many of its plants sick, kg/m2.
    fn picked(
        &mut self,
        knowledge: &Knowledge,
        crop: usize,
        before: Option<usize>,
        sick: f64,
    ) -> f64 {
        let family = |crop: usize| {
            let crop = knowledge.names.crop(&knowledge.crops, CROPS[crop]).expect("a crop");
            &*knowledge.crops[crop].family
        };
        let sequence = match before {
            Some(before) if before == crop => 1.0 - self.same_crop,
            Some(before) if family(before) == family(crop) => 1.0 - self.relative,
            Some(before) if family(before) == "Fabaceae" => 1.0 + self.after_legume,
            _ => 1.0,
        };
        let plot = (self.dice.normal() * self.spread).exp();
        self.clean[crop] * sequence * (1.0 - sick * self.sick_plant) * plot
    }
}

/// The cause that a grower names, right as often as given.
fn named(
    dice: &mut Dice,
    truths: &[Truth],
    truth: &Truth,
    crop: usize,
    right: f64,
) -> &'static str {
    let others: Vec<&'static str> = truths
        .iter()
        .filter(|other| other.takes[crop] > 0.0 && other.key != truth.key)
        .map(|other| other.key)
        .collect();
    if dice.happens(right) || others.is_empty() { truth.key } else { dice.one_of(&others) }
}

/// The dose that a crop leaves: one that takes the disease feeds it as far as it takes it; under
/// others it dies away.
fn left_by(truth: &Truth, dose: f64, takes: f64, years: f64) -> f64 {
    if takes > 0.0 && dose > 0.0 {
        let grown = dose * truth.season.powf(takes);
        (grown / (1.0 + grown / truth.ceiling)).max(dose * 0.5)
    } else {
        dose * (-years / truth.half_life).exp2()
    }
}

/// A garden of the plan.
pub(crate) fn simulate(knowledge: &Knowledge, plan: &Plan) -> Simulated {
    let mut dice = Dice(XorShiftRng::seed_from_u64(plan.seed));
    let truths: Vec<Truth> = PATHOGENS.iter().map(|key| truth(&mut dice, knowledge, key)).collect();
    let spread = dice.even(SEASON_SPREAD);
    let right = [dice.even(SUSPICION_RIGHT), dice.even(FIELD_CHECK_RIGHT), 1.0];
    let seasons: Vec<f64> = (0..plan.years).map(|_| (dice.normal() * spread).exp()).collect();
    let mut beds = String::from("bed,kind,length_m,width_m\n");
    let mut plantings = String::from("bed,crop,method,planted,removed,plants\n");
    let mut observations = String::from("bed,date,crop,cause,extent,certainty\n");
    let mut harvests = String::from("bed,date,crop,mass_kg\n");
    let mut amendments = String::from("bed,date,material,mass_kg\n");
    let mut yields = Yields::of(knowledge, plan.seed);
    let mut chances: Vec<(Date, String, f64)> = Vec::new();
    for bed in 0..plan.beds {
        let name = format!("bed {bed:02}");
        writeln!(beds, "{name},ground,4,1.2").expect("text");
        let mut doses: Vec<f64> = truths
            .iter()
            .map(
                |truth| {
                    if dice.happens(truth.infested) { dice.by_factor(FIRST_DOSE) } else { 0.0 }
                },
            )
            .collect();
        let mut at = day(2015, 1);
        let mut before = None;
        for year in 0..plan.years {
            for (truth, dose) in truths.iter().zip(&mut doses) {
                if dice.happens(CARRIED_IN) {
                    *dose += dice.by_factor(FIRST_DOSE).min(truth.ceiling);
                }
            }
            let from = add_days(day(2015 + year, 4), dice.even((0.0, 40.0)));
            let to = add_days(from, dice.even((80.0, 150.0)));
            let crop = dice.0.random_range(0..CROPS.len());
            let plants = dice.0.random_range(6..30_u32);
            let season = seasons[usize::try_from(year).expect("a year")]
                * (dice.normal() * spread * 0.5).exp();
            writeln!(plantings, "{name},{},transplanted,{from},{to},{plants}", CROPS[crop])
                .expect("text");
            writeln!(amendments, "{name},{from},blood_meal,{FED_KG}").expect("text");
            let looks = dice.happens(plan.looks);
            let looked = add_days(to, -dice.even((0.0, 20.0)));
            let mut is_named = false;
            let mut spared = 1.0;
            let mut sound = 1.0;
            for (truth, dose) in truths.iter().zip(&mut doses) {
                *dose *= (-years_between(at, from) / truth.half_life).exp2();
                let takes = truth.takes[crop];
                let share = 1.0 - (-*dose * takes * season).exp();
                sound *= 1.0 - share;
                spared *= (1.0 - share * PLANT_NOTICED).powf(f64::from(plants));
                let sick = (0..plants).filter(|_| dice.happens(share * PLANT_NOTICED)).count();
                if looks && sick > 0 {
                    is_named = true;
                    let extent = extent(sick as f64 / f64::from(plants));
                    let sure = dice.one_of(&[0, 1, 1, 2]);
                    let cause = named(&mut dice, &truths, truth, crop, right[sure]);
                    let certainty = ["suspected", "field_check", "laboratory"][sure];
                    writeln!(
                        observations,
                        "{name},{looked},{},{cause},{extent},{certainty}",
                        CROPS[crop]
                    )
                    .expect("text");
                }
                *dose = left_by(truth, *dose, takes, years_between(from, to));
            }
            if looks && !is_named {
                writeln!(observations, "{name},{looked},{},healthy,,field_check", CROPS[crop])
                    .expect("text");
            }
            let picked = yields.picked(knowledge, crop, before, 1.0 - sound);
            writeln!(harvests, "{name},{to},{},{:.2}", CROPS[crop], picked * GROUND_M2)
                .expect("text");
            before = Some(crop);
            chances.push((from, name.clone(), 1.0 - spared));
            at = to;
        }
    }
    let files = [
        ("beds.csv", beds),
        ("plantings.csv", plantings),
        ("observations.csv", observations),
        ("harvests.csv", harvests),
        ("amendments.csv", amendments),
    ];
    let garden = garden_of(knowledge, files, "simulated");
    let true_chances = garden
        .plantings
        .iter()
        .map(|planting| {
            let known = chances.iter().find(|(from, name, _)| {
                *from == planting.planted() && **name == *planting.place.bed
            });
            known.map_or(0.0, |(.., chance)| *chance)
        })
        .collect();
    Simulated { garden, true_chances, today: day(2015 + plan.years, 1) }
}

fn day(year: i32, month: u32) -> Date {
    iso_day(&format!("{year}-{month:02}-01")).expect("a day")
}

/// The word a grower writes for a share of sick plants.
fn extent(share: f64) -> &'static str {
    if share < 0.05 {
        "trace"
    } else if share < 0.2 {
        "light"
    } else if share < 0.5 {
        "moderate"
    } else {
        "severe"
    }
}
