//! A walk through a bed's records tells of each day what the day asked alone tells: the books that
//! are carried forward are those that are folded from the start, to the bit, since they move the
//! same amounts over the same spans.

mod support;

use std::fmt::Write as _;

use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place};
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::state::nutrients::{Ledger, Nutrient, Pool, Spread, Supply, grown_by, need};
use breakcrop::state::{BedState, Chronicle};
use proptest::prelude::*;
use support::garden_of;

/// Crops that are picked, that stand for years, that serve as covers if nobody picks them, covers,
/// and fungi.
const CROPS: [&str; 12] = [
    "tomato",
    "cabbage",
    "snap_bean",
    "fava_bean",
    "sweet_corn",
    "asparagus",
    "strawberry",
    "cereal_rye",
    "hairy_vetch",
    "buckwheat",
    "wheat",
    "wine_cap_mushroom",
];
const MATERIALS: [&str; 4] = ["compost", "oat_straw", "feather_meal", "horse_manure"];
const SECTIONS: [&str; 3] = ["", "east", "west"];
const RESIDUES: [&str; 4] = ["", "removed", "left", "dug_in"];
const CLIMATE: &str = "month,tmin_c,tmax_c,rain_mm\n1,1,8,160\n2,1,10,120\n3,3,13,100\n4,4,16,70\n\
5,7,20,55\n6,10,23,35\n7,12,28,12\n8,12,28,15\n9,9,25,35\n10,5,18,80\n11,3,11,150\n12,1,8,170\n";

/// Crop, section, first day, days (0: it still stands), residue, whether it came by itself.
type Stand = (usize, usize, i64, i64, usize, bool);

#[derive(Clone, Debug)]
struct Bed {
    stands: Vec<Stand>,
    /// Planting, share of its days, kilograms.
    harvests: Vec<(usize, f64, f64)>,
    amendments: Vec<(usize, usize, i64, f64)>,
    tests: Vec<(i64, u32)>,
    /// New soil, on a day of a section.
    renewed: Option<(i64, usize)>,
    /// First day and number of measured days.
    measured: Option<(i64, i64)>,
}

fn bed() -> impl Strategy<Value = Bed> {
    let stand = (
        0..CROPS.len(),
        0..SECTIONS.len(),
        // Longer than the books go back.
        0_i64..5500,
        prop_oneof![1 => Just(0_i64), 9 => 20_i64..400],
        0..RESIDUES.len(),
        prop::bool::weighted(0.1),
    );
    (
        prop::collection::vec(stand, 1..10),
        prop::collection::vec((0_usize..10, 0.2..1.0_f64, 0.1..9.0_f64), 0..6),
        prop::collection::vec(
            (0..MATERIALS.len(), 0..SECTIONS.len(), 0_i64..5500, 0.1..20.0_f64),
            0..4,
        ),
        prop::collection::vec((0_i64..5500, 1_u32..60), 0..3),
        prop::option::weighted(0.3, (500_i64..5000, 0..SECTIONS.len())),
        prop::option::weighted(0.3, (4000_i64..5400, 20_i64..400)),
    )
        .prop_map(|(stands, harvests, amendments, tests, renewed, measured)| Bed {
            stands,
            harvests,
            amendments,
            tests,
            renewed,
            measured,
        })
}

fn day(number: i64) -> Date {
    add_days(iso_day("2010-01-01").expect("a day"), number as f64)
}

impl Bed {
    fn garden(&self, knowledge: &Knowledge) -> Garden {
        let mut plantings = "bed,section,crop,planted,removed,residue,method\n".to_owned();
        for (crop, section, from, days, residue, by_itself) in &self.stands {
            let removed = if *days == 0 { String::new() } else { day(from + days).to_string() };
            let _ = writeln!(
                plantings,
                "b,{},{},{},{removed},{},{}",
                SECTIONS[*section],
                CROPS[*crop],
                day(*from),
                RESIDUES[*residue],
                if *by_itself { "volunteer" } else { "" },
            );
        }
        let mut harvests = "bed,section,date,crop,mass_kg\n".to_owned();
        for (at, share, mass) in &self.harvests {
            let (crop, section, from, days, ..) = self.stands[at % self.stands.len()];
            #[expect(clippy::cast_possible_truncation, reason = "a share of some hundred days")]
            let on = day(from + (days.max(200) as f64 * share) as i64);
            let (section, crop) = (SECTIONS[section], CROPS[crop]);
            let _ = writeln!(harvests, "b,{section},{on},{crop},{mass:.2}");
        }
        let mut amendments = "bed,section,date,material,mass_kg\n".to_owned();
        for (material, section, on, mass) in &self.amendments {
            let (section, material) = (SECTIONS[*section], MATERIALS[*material]);
            let _ = writeln!(amendments, "b,{section},{},{material},{mass:.1}", day(*on));
        }
        let mut tests = "bed,date,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method\n".to_owned();
        for (on, ppm) in &self.tests {
            let _ = writeln!(tests, "b,{},3.{},{ppm},{ppm},olsen", day(*on), ppm % 10);
        }
        let mut treatments = "bed,section,start,end,practice\n".to_owned();
        if let Some((on, section)) = self.renewed {
            let (on, section) = (day(on), SECTIONS[section]);
            let _ = writeln!(treatments, "b,{section},{on},{on},soil_replaced");
        }
        let mut weather = "date,tmin_c,tmax_c,rain_mm\n".to_owned();
        for step in self.measured.into_iter().flat_map(|(from, days)| from..from + days) {
            let _ =
                writeln!(weather, "{},{},{},{}", day(step), step % 11, 14 + step % 17, step % 9);
        }
        let files = [
            ("site.csv", "name,latitude,longitude\nwalk,44.6,-123.2\n".to_owned()),
            ("climate.csv", CLIMATE.to_owned()),
            ("weather.csv", weather),
            ("beds.csv", "bed,kind,length_m,width_m\nb,ground,10,1\n".to_owned()),
            ("plantings.csv", plantings),
            ("harvests.csv", harvests),
            ("amendments.csv", amendments),
            ("soil_tests.csv", tests),
            ("treatments.csv", treatments),
        ];
        garden_of(knowledge, files, "walk")
    }
}

/// What the soil holds, by nutrient and pool.
fn stocks(ledger: &Ledger) -> Vec<Spread> {
    let pools = [Pool::Available, Pool::Fresh, Pool::Reserve, Pool::Crop];
    Nutrient::ALL
        .iter()
        .flat_map(|nutrient| pools.map(|pool| ledger.holds(*nutrient, pool)))
        .collect()
}

/// What the books would feed a hungry crop, which shows what is still to come free.
fn supply(knowledge: &Knowledge, policy: &Policy, ledger: &Ledger) -> Supply {
    let cabbage = knowledge.crops.find("cabbage").expect("a crop");
    let need = need(knowledge, policy, cabbage).expect("a need");
    let until = grown_by(knowledge, policy, None, cabbage, ledger.to);
    ledger.supply(knowledge, cabbage, &need, (ledger.to, until))
}

fn assert_same(
    knowledge: &Knowledge,
    policy: &Policy,
    walked: &Ledger,
    alone: &Ledger,
) -> Result<(), TestCaseError> {
    prop_assert_eq!((walked.from, walked.to), (alone.from, alone.to));
    prop_assert_eq!(&walked.months, &alone.months, "on {}", alone.to);
    prop_assert_eq!(&walked.checks, &alone.checks);
    prop_assert_eq!(&walked.booked, &alone.booked);
    prop_assert_eq!(&walked.unbooked, &alone.unbooked);
    prop_assert_eq!(&walked.last_test, &alone.last_test);
    prop_assert_eq!(&walked.phosphorus, &alone.phosphorus);
    prop_assert_eq!(stocks(walked), stocks(alone), "on {}", alone.to);
    prop_assert_eq!(
        supply(knowledge, policy, walked),
        supply(knowledge, policy, alone),
        "on {}",
        alone.to
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// At the eve of every planting, in order, and once more from the start after the end.
    #[test]
    fn books_carried_forward_are_those_folded_from_the_start(bed in bed()) {
        let knowledge = Knowledge::embedded();
        let policy = Policy::default();
        let garden = bed.garden(&knowledge);
        for place in [Place::whole("b"), Place::section("b", "east")] {
            let chronicle = Chronicle::of(&garden, &knowledge, &policy, &place);
            let mut days: Vec<Date> =
                garden.plantings.iter().map(|one| add_days(one.stood.start, -1.0)).collect();
            days.extend([day(5600), day(5601)]);
            // Asked again from earlier on, and twice: what was asked before changes nothing.
            days.extend(days.clone());
            for on in days {
                let walked = chronicle.state(on);
                let alone = BedState::at(&garden, &knowledge, &policy, &place, on);
                assert_same(&knowledge, &policy, walked.nutrients(), alone.nutrients())?;
                assert_same(&knowledge, &policy, &chronicle.ledger(on), alone.nutrients())?;
            }
        }
    }
}
