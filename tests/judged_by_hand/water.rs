//! Warmth and water of a site where each day is like the other: 15 to 25 degrees, two millimetres.

use breakcrop::climate::Climate;
use breakcrop::estimate::Estimate;
use breakcrop::policy::Policy;
use breakcrop::records::Garden;
use breakcrop::state::nutrients::{Spread, Weather, evaporation_mm, temperature_factor};
use breakcrop::state::stand::washed_out;

use crate::support::garden_of;
use crate::{day, knowledge, like, near};

const LATITUDE: f64 = 40.0;
/// Mean days of a month, as rain of a month becomes rain of a day.
const MONTH_DAYS: f64 = 30.44;

/// FAO-56, example 8: 3 September at 20 degrees south, 32.2 MJ/m2 a day above the air; annex 2,
/// table 6: 41.9 in June and 15.0 in January at 40 degrees north, 36.2 in January on the equator.
/// Equation 52 with 12 and 28 degrees turns them into water.
#[test]
fn evaporation_follows_the_radiation_printed() {
    let water = |radiation: f64| 0.0023 * (20.0 + 17.8) * 16_f64.sqrt() * 0.408 * radiation;
    for (latitude, day_of_year, radiation) in
        [(-20.0, 246.0, 32.2), (40.0, 167.4, 41.9), (40.0, 15.2, 15.0), (0.0, 15.2, 36.2)]
    {
        let found = evaporation_mm(latitude, day_of_year, 12.0, 28.0);
        let printed = water(radiation);
        assert!((found / printed - 1.0).abs() < 0.003, "{latitude}: {found}, {printed}");
    }
    // Night all day long, and a frost in which nothing evaporates.
    near(evaporation_mm(75.0, 355.0, 12.0, 28.0), 0.0, "polar night");
    near(evaporation_mm(40.0, 15.2, -30.0, -20.0), 0.0, "frost");
    near(evaporation_mm(40.0, 167.4, 20.0, 20.0), 0.0, "no swing");
    // Midnight sun: the sun never sets, and gives more than at 40 degrees.
    assert!(evaporation_mm(75.0, 172.0, 12.0, 28.0) > water(41.9));
}

/// Twice as fast for ten degrees more (the policy's Q10), halted at 5 C in a straight line to 0 C,
/// no faster above 35 C.
#[test]
fn warmth_doubles_for_ten_degrees() {
    let policy = Policy::default();
    for (mean_c, factor) in [
        (-1.0, 0.0),
        (0.0, 0.0),
        (2.5, 0.25),
        (4.0, 0.4),
        (5.0, 0.5),
        (15.0, 1.0),
        (20.0, 2_f64.sqrt()),
        (35.0, 4.0),
        (40.0, 4.0),
    ] {
        near(temperature_factor(&policy, mean_c), factor, &format!("{mean_c} C"));
    }
}

fn garden(bed: &str, months: &str, days: &str) -> Garden {
    let months: Vec<String> = (1..=12).map(|month| format!("{month},{months}\n")).collect();
    let months = months.concat();
    let site = format!("name,latitude,longitude\nsteady,{LATITUDE},0\n");
    let mut files = vec![
        ("site.csv", site),
        ("climate.csv", format!("month,tmin_c,tmax_c,rain_mm\n{months}")),
        ("beds.csv", format!("bed,kind,length_m,width_m,soil_depth_cm,note\n{bed}\n")),
    ];
    if !days.is_empty() {
        files.push(("weather.csv", format!("date,tmin_c,tmax_c,rain_mm\n{days}")));
    }
    garden_of(knowledge(), files, "steady")
}

const GROUND: &str = "b,ground,4,1,,";
/// 15 to 25 degrees and two millimetres a day.
const STEADY: &str = "15,25,60.88";

fn weather(garden: &Garden) -> Weather {
    Weather::of(garden, garden.beds.first(), &Policy::default(), day("2026-01-01"))
}

#[test]
fn steady_days_add_up() {
    let garden = garden(GROUND, STEADY, "");
    let weather = weather(&garden);
    let factor = 2_f64.sqrt();
    near(weather.warmth(day("2025-03-01"), day("2025-03-11")), 10.0 * factor, "ten days");
    near(weather.warmth(day("2025-03-11"), day("2025-03-01")), 0.0, "backwards");
    near(weather.warmth(day("2025-12-20"), day("2026-01-10")), 21.0 * factor, "over new year");
    near(weather.warmth(day("2025-02-01"), day("2027-02-01")), 730.0 * factor, "two years");
    near(weather.warmth_of_year(), 365.25 * factor, "a year");
    // A full growing day from 14 C on.
    near(weather.growing_days(day("2025-03-01"), day("2025-03-11")), 10.0, "growing days");
    let cool = self::garden(GROUND, "4,14,60.88", "");
    let growing = self::weather(&cool).growing_days(day("2025-03-01"), day("2025-03-11"));
    near(growing, 5.0, "half days at 9 C");
    assert!(weather.rain_is_known());
}

/// Evaporation of a day in the middle of a month, counted from nought.
fn evaporated(month: f64) -> f64 {
    evaporation_mm(LATITUDE, 15.2 + MONTH_DAYS * month, 15.0, 25.0)
}

fn washed(surplus_mm: f64, held: Estimate, depth_dm: f64) -> Spread {
    Spread::supply(held).map(|held| 1.0 - (-surplus_mm.max(0.0) / (held * depth_dm)).exp())
}

fn alike(found: Spread, by_hand: Spread, what: &str) {
    near(found.lean, by_hand.lean, &format!("{what}, lean"));
    near(found.likely, by_hand.likely, &format!("{what}, likely"));
    near(found.rich, by_hand.rich, &format!("{what}, rich"));
}

#[test]
fn what_rain_is_left_displaces_what_the_root_zone_holds() {
    let policy = Policy::default();
    let (from, to) = (day("2025-12-03"), day("2025-12-23"));
    let december = evaporated(11.0);
    assert!(december > 0.5 && december < 2.0, "some of the rain is left: {december}");
    let (loam, sand) = (policy.water_held_mm_per_dm, policy.water_held_sand_mm_per_dm);
    let zone = policy.root_zone_dm;
    let grown = 20.0 * (2.0 - december);
    let bare = 20.0 * (2.0 - december * policy.bare_soil_evaporation);
    for (bed, held, depth) in [
        (GROUND, loam, zone),
        ("b,ground,4,1,20,", loam, 2.0),
        ("b,ground,4,1,90,", loam, zone),
        ("b,ground,4,1,,sandy soil", sand, zone),
        ("b,ground,4,1,,\"a thousand stones, no other\"", loam, zone),
        ("b,container,1,1,30,", sand, 3.0),
    ] {
        let garden = garden(bed, STEADY, "");
        let weather = weather(&garden);
        alike(weather.leached_share(from, to, true), washed(grown, held, depth), bed);
        alike(weather.leached_share(from, to, false), washed(bare, held, depth), bed);
    }
    // In June more evaporates than falls.
    let garden = garden(GROUND, STEADY, "");
    let weather = weather(&garden);
    let june = weather.leached_share(day("2025-06-01"), day("2025-06-21"), true);
    alike(june, Spread::ZERO, "June");
    let surplus = (2.0 - december * policy.bare_soil_evaporation) * 30.4;
    near(weather.surplus_mm(12).expect("rain"), surplus, "December's surplus");
    let january = (2.0 - evaporated(0.0) * policy.bare_soil_evaporation) * 30.4;
    near(weather.surplus_mm(1).expect("rain"), january, "January's surplus");
}

#[test]
fn without_rain_on_record_winter_takes_a_share_a_month() {
    let policy = Policy::default();
    let garden = garden(GROUND, "15,25,", "");
    let weather = weather(&garden);
    assert!(!weather.rain_is_known() && weather.surplus_mm(1).is_none());
    let month = Spread::loss(policy.leached_unknown_winter);
    let half = weather.leached_share(day("2025-01-01"), day("2025-01-16"), true);
    alike(half, month.map(|share| 1.0 - (1.0 - share).powf(15.0 / 30.4)), "fifteen days");
    let summer = weather.leached_share(day("2025-06-01"), day("2025-06-16"), false);
    alike(summer, Spread::ZERO, "summer");
}

/// Ten of twenty days of December were measured: ten degrees warmer, five millimetres of rain, but
/// for one whose rain nobody read.
#[test]
fn measured_days_count_for_themselves_and_the_others_are_ordinary() {
    let rain = |step: u32| if step == 4 { "" } else { "5" };
    let days: Vec<String> =
        (0..10).map(|step| format!("2025-12-{:02},25,35,{}\n", step + 8, rain(step))).collect();
    let garden = garden(GROUND, STEADY, &days.concat());
    let weather = weather(&garden);
    let (from, to) = (day("2025-12-03"), day("2025-12-23"));
    let warmth = 10.0 * 2_f64.sqrt() + 10.0 * 2_f64.powf(1.5);
    near(weather.warmth(from, to), warmth, "warmth");
    near(weather.growing_days(from, to), 20.0, "growing days");
    // A part of the measured days.
    let part = 3.0 * 2_f64.powf(1.5) + 2.0 * 2_f64.sqrt();
    near(weather.warmth(day("2025-12-15"), day("2025-12-20")), part, "the last three of them");
    let hot: f64 =
        (0..10).map(|step| evaporation_mm(LATITUDE, 342.0 + f64::from(step), 25.0, 35.0)).sum();
    let surplus = 11.0 * 2.0 + 9.0 * 5.0 - (10.0 * evaporated(11.0) + hot);
    let policy = Policy::default();
    let by_hand = washed(surplus, policy.water_held_mm_per_dm, policy.root_zone_dm);
    assert!(surplus > 1.0, "{surplus}");
    alike(weather.leached_share(from, to, true), by_hand, "washed out");
    // Seen from before, the same days are ordinary.
    let before = Weather::of(&garden, garden.beds.first(), &policy, day("2025-12-08"));
    near(before.warmth(from, to), 20.0 * 2_f64.sqrt(), "seen from before");
}

/// Residue killed 41 days before the next crop has two spells of ten days: at 15 C 10/42 of it comes
/// free in each, and each takes its share of what lies free.
#[test]
fn what_comes_free_before_the_next_crop_is_washed_out_by_spells() {
    let policy = Policy::default();
    let garden = garden(GROUND, "10,20,60.88", "");
    let climate = Climate::of(&garden).expect("twelve months");
    let times = (day("2025-01-01"), day("2025-02-11"));
    let lost = |share: f64| {
        let freed = 10.0 / 42.0;
        let first = freed * share;
        first + (freed - first + freed) * share
    };
    let unknown = policy.leached_unknown_winter.map(|month| 1.0 - (1.0 - month).powf(10.0 / 30.4));
    like(washed_out(&policy, &climate, times, |_| None), unknown.map(lost), "rain not known");
    let held = policy.water_held_mm_per_dm.map(|mm| mm * policy.root_zone_dm);
    let known = held.map(|held| lost(1.0 - (-60.8 * 10.0 / 30.4 / held).exp()));
    like(washed_out(&policy, &climate, times, |_| Some(60.8)), known, "two millimetres a day");
    // The next crop meets all of it within three weeks; frozen ground lets nothing through.
    let soon = (day("2025-01-01"), day("2025-01-22"));
    like(washed_out(&policy, &climate, soon, |_| None), Estimate::ZERO, "three weeks");
    let frost = self::garden(GROUND, "-9,-3,60.88", "");
    let frozen = Climate::of(&frost).expect("twelve months");
    like(washed_out(&policy, &frozen, times, |_| Some(60.8)), Estimate::ZERO, "frozen");
}

/// What is kept of one site is not taken for another that differs from it in a single thing: each is
/// asked after the steady site.
#[test]
fn sites_that_differ_in_one_thing_are_told_apart() {
    let steady = garden(GROUND, STEADY, "");
    let (from, to) = (day("2025-12-03"), day("2025-12-23"));
    let asked = |garden: &Garden, policy: &Policy| {
        let _ = weather(&steady).warmth(from, to);
        let weather = Weather::of(garden, garden.beds.first(), policy, day("2026-01-01"));
        (weather.warmth(from, to), weather.surplus_mm(12))
    };
    let policy = Policy::default();
    let root = 2_f64.sqrt();
    let of_steady = asked(&steady, &policy);
    near(of_steady.0, 20.0 * root, "steady");
    let warmer = garden(GROUND, "25,35,60.88", "");
    near(asked(&warmer, &policy).0, 20.0 * 2.0 * root, "ten degrees warmer");
    let one_day = garden(GROUND, STEADY, "2025-12-10,25,35,2\n");
    near(asked(&one_day, &policy).0, 19.0 * root + 2.0 * root, "one day measured");
    let no_rain = garden(GROUND, "15,25,", "");
    assert_eq!(asked(&no_rain, &policy).1, None, "no rain on record");
    let mut south = garden(GROUND, STEADY, "");
    if let Some(site) = &mut south.site {
        site.latitude = -LATITUDE;
    }
    let surplus = |found: (f64, Option<f64>)| found.1.expect("rain on record");
    assert!(surplus(asked(&south, &policy)) < surplus(of_steady) - 10.0, "December is summer");
    // Twice as fast for five degrees: four times for the ten from 15 to 25 C.
    let quick = Policy { mineralisation_q10: 4.0, ..Policy::default() };
    near(asked(&steady, &quick).0, 20.0 * 2.0, "a quicker soil");
    let cold = Policy { mineralisation_reference_c: 20.0, ..Policy::default() };
    near(asked(&steady, &cold).0, 20.0, "another reference");
}
