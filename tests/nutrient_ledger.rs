//! The nutrient books: they close, they agree with a naive day-by-day reckoning, and records mean
//! what a grower means by them.

mod support;

use std::fmt::Write as _;

use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Place, RecordKind};
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::state::nutrients::{Account, Flow, Ledger, Nutrient, Pool, Spread, makeup};
use proptest::prelude::*;
use support::garden_of;

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

/// A garden from record texts.
fn garden(knowledge: &Knowledge, texts: &[(RecordKind, String)]) -> Garden {
    garden_of(
        knowledge,
        texts.iter().map(|(kind, text)| (format!("{}.csv", kind.word()), text)),
        "books",
    )
}

const BEDS: &str = "bed,kind,length_m,width_m,records_from\nb,ground,10,1,2022-01-01\n";
/// A wet temperate year: Oregon-like winters.
const WET: &str = "month,tmin_c,tmax_c,rain_mm\n1,1,8,160\n2,1,10,120\n3,3,13,100\n4,4,16,70\n\
5,7,20,55\n6,10,23,35\n7,12,28,12\n8,12,28,15\n9,9,25,35\n10,5,18,80\n11,3,11,150\n12,1,8,170\n";
const SITE: &str = "name,latitude,longitude\nbooks,44.6,-123.2\n";

fn records(
    plantings: &str,
    amendments: &str,
    tests: &str,
    harvests: &str,
    climate: &str,
) -> Garden {
    let knowledge = Knowledge::embedded();
    let mut files = vec![(RecordKind::Site, SITE.to_owned())];
    if !climate.is_empty() {
        files.push((RecordKind::Climate, climate.to_owned()));
    }
    files.push((RecordKind::Beds, BEDS.to_owned()));
    let analysed = amendments.lines().next().is_some_and(|row| row.matches(',').count() == 4);
    let material = if analysed {
        "bed,date,material,mass_kg,n_percent\n"
    } else {
        "bed,date,material,mass_kg\n"
    };
    for (kind, head, text) in [
        (RecordKind::Plantings, "bed,crop,planted,removed,residue\n", plantings),
        (RecordKind::Harvests, "bed,date,crop,mass_kg\n", harvests),
        (RecordKind::Amendments, material, amendments),
        (
            RecordKind::SoilTests,
            "bed,date,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method,k_ppm\n",
            tests,
        ),
    ] {
        if !text.is_empty() {
            files.push((kind, format!("{head}{text}")));
        }
    }
    garden(&knowledge, &files)
}

fn books(garden: &Garden, on: &str) -> Ledger {
    let (knowledge, policy) = (Knowledge::embedded(), Policy::default());
    Ledger::at(garden, &knowledge, &policy, &Place::whole("b"), None, day(on))
}

fn total(ledger: &Ledger, flow: Flow) -> Spread {
    ledger.months.iter().map(|month| month.account(Nutrient::Nitrogen).moved(flow)).sum()
}

/// Every month of every nutrient closes in every pool, follows the one before without a gap, and
/// draws no pool below nothing.
fn assert_closed(ledger: &Ledger) {
    for nutrient in Nutrient::ALL {
        for (at, month) in ledger.months.iter().enumerate() {
            let account = month.account(nutrient);
            for pool in Pool::OF_BED {
                let misses = account.misses(pool);
                assert!(misses <= 1e-9, "{nutrient:?} {pool:?} {} misses {misses}", month.from);
                let held = account.closing.of(pool);
                assert!(
                    held.lean.min(held.likely).min(held.rich) >= -1e-9,
                    "{nutrient:?} {pool:?} below nothing: {held:?}"
                );
                if let Some(before) = at.checked_sub(1).map(|at| &ledger.months[at]) {
                    assert_eq!(before.account(nutrient).closing, account.opening);
                    assert_eq!(before.to, month.from);
                }
            }
            for posting in &account.postings {
                let amount = posting.amount;
                assert!(amount.lean.min(amount.likely).min(amount.rich) >= -1e-12, "{posting:?}");
            }
        }
    }
}

const CROPS: [&str; 9] = [
    "tomato",
    "broccoli",
    "lettuce",
    "hairy_vetch",
    "cereal_rye",
    "fava_bean",
    "carrot",
    "onion",
    "sorghum_sudangrass",
];
const MATERIALS: [&str; 6] = [
    "feather_meal",
    "wheat_straw",
    "yard_trimmings_compost",
    "horse_manure",
    "wood_chips",
    "chicken_manure_compost",
];
const RESIDUES: [&str; 5] = ["", "removed", "left", "dug_in", "composted"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_books_close(
        plantings in proptest::collection::vec((0..9_usize, 0..1000_i64, 20..250_i64, 0..5_usize), 0..6),
        amendments in proptest::collection::vec((0..6_usize, 0..1200_i64, 0.0..80.0_f64), 0..6),
        tests in proptest::collection::vec((0..1200_i64, 1..12_u32, 0..60_u32, 0..90_u32), 0..3),
        harvests in proptest::collection::vec((0..9_usize, 0..1200_i64, 0.1..40.0_f64), 0..5),
        wet in any::<bool>(),
    ) {
        let start = day("2022-01-05");
        let on = |days: i64| add_days(start, days as f64);
        let lines = |lines: Vec<String>| lines.concat();
        let plantings = lines(plantings.iter().map(|(crop, from, lasts, residue)| format!(
            "b,{},{},{},{}\n", CROPS[*crop], on(*from), on(from + lasts), RESIDUES[*residue]
        )).collect());
        let amendments = lines(amendments.iter().map(|(material, at, kg)| format!(
            "b,{},{},{kg:.2}\n", on(*at), MATERIALS[*material]
        )).collect());
        let tests = lines(tests.iter().map(|(at, percent, n, p)| format!(
            "b,{},{percent},{n},{p},olsen,200\n", on(*at)
        )).collect());
        let harvests = lines(harvests.iter().map(|(crop, at, kg)| format!(
            "b,{},{},{kg:.2}\n", on(*at), CROPS[*crop]
        )).collect());
        let garden = records(&plantings, &amendments, &tests, &harvests, if wet { WET } else { "" });
        let ledger = books(&garden, "2025-06-15");
        prop_assert!(ledger.months.len() >= 30);
        assert_closed(&ledger);
        // The last planting has gone by then, and what was in it with it.
        let last = ledger.months.last().expect("months");
        for nutrient in Nutrient::ALL {
            let held = last.account(nutrient).closing.of(Pool::Crop);
            let most = held.lean.max(held.likely).max(held.rich);
            prop_assert!(most <= 1e-9, "{nutrient:?} in plants that are gone: {held:?}");
        }
    }
}

/// The check of the books sees a posting that was lost, in the column that it hurts most.
#[test]
fn an_account_that_does_not_close_misses() {
    let garden = records("", "b,2023-03-10,blood_meal,1\n", "", "", WET);
    let ledger = books(&garden, "2023-04-01");
    let month = ledger.months.last().expect("months");
    let mut account = month.account(Nutrient::Nitrogen).clone();
    let into = Account::into(&account, Pool::Fresh);
    account.postings.retain(|posting| posting.to != Pool::Fresh);
    let lost = into.lean.max(into.likely).max(into.rich);
    assert!(lost > 1.0, "{into:?}");
    assert!((account.misses(Pool::Fresh) - lost).abs() < 1e-9);
}

/// A naive reckoning, day by day, of one amendment in unplanted soil without rain on record: the
/// formulas of the module's page written out once more, nothing of the ledger used.
#[test]
fn a_day_by_day_reckoning_agrees() {
    let dry = WET.lines().map(|line| {
        line.rsplit_once(',').map_or(line.to_owned(), |(rest, last)| {
            if last == "rain_mm" { line.to_owned() } else { format!("{rest},0") }
        })
    });
    let dry: String = dry.map(|line| line + "\n").collect();
    let garden =
        records("", "b,2023-03-10,blood_meal,1\n", "b,2023-01-01,4,10,30,olsen,200\n", "", &dry);
    let ledger = books(&garden, "2024-09-20");
    let climate = breakcrop::climate::Climate::of(&garden).expect("a climate");
    let factor = |date: Date| {
        let celsius = climate.mean_c(date);
        let full = |celsius: f64| 2.0_f64.powf((celsius - 15.0) / 10.0);
        if celsius <= 0.0 {
            0.0
        } else if celsius < 5.0 {
            full(5.0) * celsius / 5.0
        } else {
            full(celsius.min(35.0))
        }
    };
    let leap = day("2024-01-01");
    let year: f64 =
        (0..366).map(|at| factor(add_days(leap, f64::from(at)))).sum::<f64>() * 365.25 / 366.0;
    // Test of 10 ppm over 240 kg/m2; 4 % organic matter at 11.2 lb an acre a percent in 183 days.
    let mut nitrogen = 10.0 * 240.0 / 1000.0;
    let humus = 4.0 * 11.2 * 0.112_085 / 183.0;
    let total = 1000.0 * 0.10 / 10.0;
    let share = 0.66;
    let second = 0.03_f64;
    let by = |age: f64| {
        let first = (1.0 - (-16.0 * age.min(1.0)).exp()) / (1.0 - (-16.0_f64).exp());
        share * first + second * (age - 1.0).clamp(0.0, 1.0)
    };
    let (mut warmth, mut since) = (0.0, None);
    let mut date = day("2023-01-01");
    while date < day("2024-09-20") {
        if date == day("2023-03-10") {
            since = Some(warmth);
        }
        nitrogen += humus * factor(date);
        if let Some(since) = since {
            let age = |warmth: f64| (warmth - since) / year;
            nitrogen += total * (by(age(warmth + factor(date))) - by(age(warmth)));
        }
        nitrogen *= (1.0_f64 - 0.04).powf(1.0 / 30.4);
        warmth += factor(date);
        date = add_days(date, 1.0);
    }
    let folded = ledger.holds(Nutrient::Nitrogen, Pool::Available).likely;
    println!("day by day {nitrogen:.4}, by months {folded:.4} g/m2");
    assert!((folded - nitrogen).abs() < 0.005 * nitrogen, "{folded} {nitrogen}");
}

/// With rain and a crop the order within a month matters: a reckoning with a test every day cannot
/// be used, so the fold is cut into days by records that change nothing (empty amendments).
#[test]
fn a_fold_cut_into_days_stays_close_to_the_monthly_one() {
    let plantings =
        "b,broccoli,2023-04-10,2023-07-20,dug_in\nb,cereal_rye,2023-10-01,2024-04-20,dug_in\n";
    let test = "b,2023-01-01,4,10,30,olsen,200\n";
    let whole =
        books(&records(plantings, "b,2023-04-01,feather_meal,0.8\n", test, "", WET), "2024-06-01");
    let mut cut = String::from("b,2023-04-01,feather_meal,0.8\n");
    let mut date = day("2023-01-02");
    while date < day("2024-06-01") {
        writeln!(cut, "b,{date},gypsum,0").expect("writes");
        date = add_days(date, 1.0);
    }
    let daily = books(&records(plantings, &cut, test, "", WET), "2024-06-01");
    assert_closed(&daily);
    for flow in [Flow::Mineralised, Flow::Leached, Flow::TakenUp, Flow::ResidueReleased] {
        let (months, days) = (total(&whole, flow).likely, total(&daily, flow).likely);
        println!("{flow:?}: by months {months:.3}, by days {days:.3}");
        assert!((months - days).abs() <= 0.05 * days.abs().max(1.0), "{flow:?} {months} {days}");
    }
}

#[test]
fn a_legume_brings_nitrogen_kept_apart_from_what_it_recycles() {
    let vetch = "b,hairy_vetch,2023-09-15,2024-05-01,dug_in\n";
    let ledger = books(&records(vetch, "", "", "", WET), "2024-08-01");
    assert_closed(&ledger);
    let fixed = total(&ledger, Flow::FixedReleased);
    let recycled = total(&ledger, Flow::ResidueReleased);
    assert!(total(&ledger, Flow::Fixed).likely > 3.0);
    assert!(fixed.likely > recycled.likely && recycled.likely > 0.0, "{fixed:?} {recycled:?}");
    assert!(fixed.lean <= fixed.likely && fixed.likely <= fixed.rich);
}

#[test]
fn headed_rye_ties_nitrogen_up_and_straw_does() {
    let rye = "b,cereal_rye,2023-09-01,2024-06-01,dug_in\n";
    let ledger = books(&records(rye, "", "", "", WET), "2024-08-01");
    assert!(total(&ledger, Flow::TiedUp).likely > 0.3, "{:?}", total(&ledger, Flow::TiedUp));
    let straw = books(&records("", "b,2024-04-01,wheat_straw,40\n", "", "", WET), "2024-08-01");
    assert!(total(&straw, Flow::TiedUp).likely > 0.5, "{:?}", total(&straw, Flow::TiedUp));
}

/// Nitrogen tied up by the end of July under 10 kg of straw of an analysis, put on in April.
fn tied_up_by_straw(n_percent: &str, plantings: &str) -> Spread {
    let straw = format!("b,2024-04-01,straw,10,{n_percent}\n");
    let rich = "b,2024-03-31,4,40,30,olsen,200\n";
    total(&books(&records(plantings, &straw, rich, "", WET), "2024-08-01"), Flow::TiedUp)
}

#[test]
fn the_leaner_of_two_straws_ties_up_more() {
    let by_richness = ["0.3", "0.5", "0.7", "0.9", "1.1"].map(|percent| {
        let tied = tied_up_by_straw(percent, "");
        println!("{percent} % N: {tied:?}");
        tied
    });
    for pair in by_richness.windows(2) {
        assert!(pair[0].likely > pair[1].likely, "{pair:?}");
        assert!(pair[0].lean >= pair[1].lean, "{pair:?}");
    }
    // Nobody wrote whether it was worked in: none of it may be felt, or all of it.
    assert!(by_richness.iter().all(|tied| tied.rich < 1e-9 && tied.lean > 2.0 * tied.likely));
}

#[test]
fn straw_between_standing_plants_lies_on_the_soil_and_ties_up_little() {
    let not_said = tied_up_by_straw("0.5", "");
    let onions = "b,onion,2024-03-01,,\n";
    let mulch = tied_up_by_straw("0.5", onions);
    println!("not said {not_said:?}, between onions {mulch:?}");
    assert!(mulch.likely < 0.5 * not_said.likely && mulch.lean < 0.5 * not_said.lean);
    // Cleared the day it was spread, nothing stood in its way.
    let cleared = tied_up_by_straw("0.5", "b,onion,2024-03-01,2024-04-01,removed\n");
    assert!(cleared.lean > mulch.lean, "{cleared:?}");
}

/// A handbook's nitrogen for a cubic yard worked in: 2 to 2.5 lb for softwood chips and straw, 4 to
/// 5 for hardwood (`orchard_handbook` in `pan_model.csv`).
#[test]
fn chips_worked_in_want_what_a_handbook_adds() {
    let knowledge = Knowledge::embedded();
    let chips = makeup(&knowledge, &Policy::default(), "wood_chips").expect("chips have nitrogen");
    let content = knowledge.nutrients().content("wood_chips").expect("a row");
    let density = content.bulk_density.as_ref().expect("a density").value.likely;
    let tied = Spread::supply(chips.part[0]).times(chips.series.year1) * -1.0;
    let pounds = tied * (density * 0.764_555 / 0.453_592);
    println!("lb N a cubic yard of chips: {pounds:?}");
    assert!(pounds.lean >= 2.0 && pounds.likely >= 2.0 && pounds.likely <= 5.0, "{pounds:?}");
}

#[test]
fn nitrogen_that_nobody_printed_follows_from_carbon_to_nitrogen() {
    let policy = Policy::default();
    let hay = makeup(&Knowledge::embedded(), &policy, "legume_hay").expect("17 of carbon to one");
    let percent = 42.0 / 17.0;
    let dry = policy.dry_matter_kept_dry.likely / 100.0;
    assert!((hay.part[0].likely - percent / 100.0 * dry).abs() < 1e-9, "{hay:?}");
    assert!(hay.part[0].low < hay.part[0].high);
    assert!(makeup(&Knowledge::embedded(), &policy, "bark_mulch").is_none());
}

#[test]
fn wet_winters_wash_out_what_a_catch_crop_keeps() {
    let test = "b,2023-10-01,4,25,30,olsen,200\n";
    let bare = books(&records("", "", test, "", WET), "2024-03-01");
    let rye = "b,cereal_rye,2023-09-01,,\n";
    let sown = books(&records(rye, "", test, "", WET), "2024-03-01");
    let kept = bare.holds(Nutrient::Nitrogen, Pool::Available);
    let (bare, sown) = (total(&bare, Flow::Leached), total(&sown, Flow::Leached));
    println!("washed out: bare {bare:?}, under rye {sown:?}");
    assert!(bare.likely > 3.0 && sown.likely < bare.likely);
    let share = bare.with(kept, |lost, kept| lost / (lost + kept));
    assert!(share.lean > share.likely && share.likely > share.rich, "{share:?}");
}

#[test]
fn a_harvest_leaves_with_the_tables_figure() {
    let plantings = "b,broccoli,2023-04-01,2023-07-20,removed\n";
    let garden = records(plantings, "", "", "b,2023-07-10,broccoli,15\n", WET);
    let ledger = books(&garden, "2023-09-01");
    // 1.5 kg/m2 at 4.5 kg N a tonne.
    assert!((total(&ledger, Flow::Harvested).likely - 1.5 * 4.5).abs() < 1e-9);
    let later = books(&garden, "2023-07-01");
    assert!(total(&later, Flow::Harvested).is_nothing(), "the future is not looked at");
}

#[test]
fn a_test_checks_the_books_and_sets_them() {
    let tests = "b,2023-05-01,4,10,30,olsen,200\nb,2023-06-01,4,90,30,mehlich3,200\n";
    let ledger = books(&records("", "", tests, "", WET), "2023-06-01");
    let holds = ledger.holds(Nutrient::Nitrogen, Pool::Available);
    assert!((holds.likely - 90.0 * 0.24).abs() < 1e-9);
    let checks: Vec<(Nutrient, bool, bool)> = ledger
        .checks
        .iter()
        .map(|check| (check.nutrient, check.comparable, check.contradicts()))
        .collect();
    assert_eq!(
        checks,
        [
            (Nutrient::Nitrogen, false, false),
            (Nutrient::Phosphorus, false, false),
            (Nutrient::Potassium, false, false),
            (Nutrient::Nitrogen, true, true),
            // Another extraction: not comparable.
            (Nutrient::Phosphorus, false, false),
            (Nutrient::Potassium, true, false),
        ]
    );
    assert!(ledger.checks[3].misses_by() > 5.0);
}

#[test]
fn a_bed_without_records_is_a_wide_range_not_an_empty_one() {
    let ledger = books(&records("", "", "", "", ""), "2022-01-01");
    let holds = ledger.holds(Nutrient::Nitrogen, Pool::Available);
    assert!(holds.rich > 5.0 * holds.lean);
}

/// What is planted beside a crop counts from the day it is there: books that go to a day before know
/// nothing of it, and those that go past it share the ground.
#[test]
fn a_planting_set_beside_another_counts_from_its_own_day() {
    let alone = records("b,carrot,2025-04-01,,\n", "", "", "", WET);
    let beside = records("b,carrot,2025-04-01,,\nb,lettuce,2025-04-15,,\n", "", "", "", WET);
    let taken = |garden: &Garden, on: &str| total(&books(garden, on), Flow::TakenUp).likely;
    for on in ["2025-04-10", "2025-04-14"] {
        assert!(taken(&alone, on) > 0.0, "{on}");
        assert!((taken(&alone, on) - taken(&beside, on)).abs() < 1e-12, "{on}");
    }
    // The lettuce is there: half of the ground is the carrot's.
    let carrot = taken(&alone, "2025-06-01");
    assert!((taken(&beside, "2025-06-01") - carrot).abs() > 1e-3, "{carrot}");
}
