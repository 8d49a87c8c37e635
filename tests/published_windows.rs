//! Derived planting windows against published ones: `fixtures/published/windows.csv`.
//!
//! The climate of a region is that of the nearest station in `climate_normals.csv`, its frosts
//! those stated for a place in `frost_dates.csv`. Nothing of a window goes into the derivation.
//! A row agrees where the two sets of days overlap by 0.7 or more (days in both over days in
//! either). Monthly columns say what may be planted in their month and nothing of other months: for
//! regions known from such columns only the months whose columns were seen are compared.

mod support;

use std::collections::{BTreeMap, BTreeSet};

use breakcrop::assess::season::{Kind, Shut, SiteDays, Window, normal_year, windows};
use breakcrop::climate::Climate;
use breakcrop::knowledge::{CropId, Knowledge};
use breakcrop::policy::Policy;
use breakcrop::records::{FrostDay, Garden, Method};
use breakcrop::season::{Date, iso_day};
use chrono::Datelike;
use support::station::station_garden;
use support::{Row, published};

const AGREES: f64 = 0.7;

/// A region of the table: station, place of its frosts, whether it is known from monthly columns,
/// and what is doubtful about the station.
struct Region {
    name: &'static str,
    station: &'static str,
    frost: Option<&'static str>,
    monthly: bool,
    doubt: &'static str,
}

const fn region(
    name: &'static str,
    station: &'static str,
    frost: Option<&'static str>,
    monthly: bool,
    doubt: &'static str,
) -> Region {
    Region { name, station, frost, monthly, doubt }
}

const REGIONS: &[Region] = &[
    region(
        "California low desert (Imperial and Coachella)",
        "Phoenix AZ (USA)",
        None,
        false,
        "Phoenix is 300 km away, of like heat",
    ),
    region(
        "San Francisco Bay interior (Sunset 14-16)",
        "San Francisco Intl AP CA (USA) TMY3",
        Some("Napa CA (USA)"),
        false,
        "the bay's airport is cooler than the interior",
    ),
    region(
        "San Francisco Bay north (Napa)",
        "San Francisco Intl AP CA (USA) TMY3",
        Some("Napa CA (USA)"),
        false,
        "the bay's airport is cooler in summer, milder in winter than Napa",
    ),
    region(
        "San Francisco Bay north (Sonoma)",
        "San Francisco Intl AP CA (USA) TMY3",
        Some("Napa CA (USA)"),
        false,
        "the bay's airport is cooler in summer, milder in winter than Sonoma",
    ),
    region("north Florida", "Jacksonville FL (USA)", None, false, ""),
    region(
        "northern California and north coast",
        "San Francisco Intl AP CA (USA) TMY3",
        None,
        false,
        "one window for a coast and for valleys behind it",
    ),
    region(
        "south Florida",
        "Jacksonville FL (USA)",
        None,
        false,
        "the nearest station lies 500 km north and has frost: not its climate",
    ),
    region(
        "southern California",
        "Los Angeles downtown CA (USA)",
        Some("Riverside CA (USA)"),
        false,
        "a grower inland; the station lies near the coast",
    ),
    region(
        "southern California coast",
        "Los Angeles downtown CA (USA)",
        Some("Long Beach CA (USA)"),
        false,
        "",
    ),
    region(
        "southern California coast (Sunset zone 24)",
        "Los Angeles downtown CA (USA)",
        Some("Long Beach CA (USA)"),
        true,
        "",
    ),
    region(
        "southern California coast (UC South Coast)",
        "Los Angeles downtown CA (USA)",
        Some("Long Beach CA (USA)"),
        false,
        "",
    ),
    region(
        "southern California coastal and inland valleys",
        "Los Angeles downtown CA (USA)",
        Some("Riverside CA (USA)"),
        true,
        "coast and hot valleys in one column",
    ),
    region(
        "southern California except high mountains",
        "Los Angeles downtown CA (USA)",
        Some("Riverside CA (USA)"),
        true,
        "",
    ),
    region(
        "southern California inland",
        "Los Angeles downtown CA (USA)",
        Some("Riverside CA (USA)"),
        false,
        "the station lies near the coast",
    ),
    region(
        "southern California inland (interior valley)",
        "Fresno Yosemite Intl AP CA (USA) TMY3",
        None,
        true,
        "",
    ),
];

const NEW_YEAR: &str = "2025-01-01";

fn month_day(text: &str) -> Option<(u32, u32)> {
    let (month, day) = text.split_once('-')?;
    Some((month.parse().ok()?, day.parse().ok()?))
}

/// Days of the year 2025 from a month and day to another, over New Year if need be.
fn spell(from: &str, to: &str) -> BTreeSet<u32> {
    let ordinal = |text: &str| {
        iso_day(&format!("2025-{text}")).unwrap_or_else(|| panic!("no day {text}")).ordinal()
    };
    let (from, to) = (ordinal(from), ordinal(to));
    if from <= to { (from..=to).collect() } else { (from..=365).chain(1..=to).collect() }
}

fn garden(region: &Region, normals: &[Row], frosts: &[Row]) -> Garden {
    let frost = |column: &str| {
        let place = region.frost.map(|place| {
            frosts.iter().find(|row| row.get("place") == place).expect("a place with frosts")
        });
        match place.map(|row| row.get(column)) {
            None => FrostDay::Unknown,
            Some(text) => {
                month_day(text).map_or(FrostDay::NoneInMostYears, |(m, d)| FrostDay::On(m, d))
            }
        }
    };
    let frosts = ["last_spring_frost_50pct", "first_fall_frost_50pct"].map(frost);
    station_garden(normals, region.station, frosts)
}

fn days_of(found: &[Window]) -> BTreeSet<u32> {
    let ordinals = |window: &Window| {
        let (from, to): (Date, Date) = (window.from, window.to);
        spell(&from.format("%m-%d").to_string(), &to.format("%m-%d").to_string())
    };
    found.iter().flat_map(ordinals).collect()
}

fn words(found: &[Window]) -> String {
    if found.is_empty() {
        return "none".to_owned();
    }
    let spells: Vec<String> = found
        .iter()
        .map(|window| format!("{}..{}", window.from.format("%m-%d"), window.to.format("%m-%d")))
        .collect();
    spells.join(" ")
}

/// The kind of thing that shuts a window, without its figures.
fn shuts(found: &[Window]) -> String {
    let name = |shut: &Option<Shut>| match shut {
        None => "nothing".to_owned(),
        Some(Shut::BetterTimes { .. }) => "BetterTimes".to_owned(),
        Some(Shut::Hazard(kind)) => {
            format!("{kind:?}").split([' ', '{']).next().unwrap_or_default().to_owned()
        }
    };
    let ends: Vec<String> = found
        .iter()
        .map(|window| format!("{}|{}", name(&window.opens_after), name(&window.closes_before)))
        .collect();
    ends.join(" ")
}

struct Compared {
    /// Why the two differ, as far as their sets of days tell.
    why: &'static str,
    overlap: f64,
    /// Share of the published days on which a start is possible by the derivation.
    covered: f64,
    line: String,
    doubt: &'static str,
}

#[test]
fn published_windows() {
    let (rows, is_own) = published("windows.csv");
    let (normals, _) = published("climate_normals.csv");
    let (frosts, _) = published("frost_dates.csv");
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let mut compared: Vec<Compared> = Vec::new();
    for region in REGIONS {
        let garden = garden(region, &normals, &frosts);
        let climate = Climate::of(&garden).expect("twelve months");
        let days = normal_year(&climate, &policy, iso_day(NEW_YEAR).expect("a day"));
        compared.extend(compare(&knowledge, &policy, region, &days, &rows));
    }
    let regions: BTreeSet<&str> = rows.iter().map(|row| row.get("region")).collect();
    let known: BTreeSet<&str> = REGIONS.iter().map(|region| region.name).collect();
    let left: Vec<&&str> = regions.difference(&known).collect();
    println!("regions without a station: {left:?}");
    compared.sort_by(|a, b| a.overlap.total_cmp(&b.overlap));
    for one in &compared {
        let mark = if one.overlap >= AGREES { "" } else { "   <-- differs: " };
        let doubt = if one.overlap < 0.3 && !one.doubt.is_empty() {
            format!("   (station: {})", one.doubt)
        } else {
            String::new()
        };
        println!(
            "{} overlap={:.2} possible={:.2}{mark}{} {doubt}",
            one.line,
            one.overlap,
            one.covered,
            if mark.is_empty() { "" } else { one.why },
        );
    }
    let mut whys: BTreeMap<&str, usize> = BTreeMap::new();
    for one in compared.iter().filter(|one| one.overlap < AGREES) {
        *whys.entry(one.why).or_default() += 1;
    }
    for (why, count) in whys {
        println!("{count} differ: {why}");
    }
    let agree = compared.iter().filter(|one| one.overlap >= AGREES).count();
    let median = compared.get(compared.len() / 2).map_or(0.0, |one| one.overlap);
    println!("median overlap: {median:.2}");
    // A guide names the good days among the possible ones: whether its days are possible at all is
    // a question of its own, and the only one that a monthly column answers.
    let covered = compared.iter().map(|one| one.covered).sum::<f64>() / compared.len() as f64;
    let wholly = compared.iter().filter(|one| one.covered >= AGREES).count();
    println!("published days that are possible days: {:.0} %", covered * 100.0);
    println!("published_windows_possible: {wholly}/{}", compared.len());
    println!("published_windows: {agree}/{}", compared.len());
    if is_own {
        assert!(compared.len() > 200);
        assert!(agree >= 70, "only {agree} agree");
        assert!(median >= 0.45, "median {median}");
        assert!(covered >= 0.85, "only {covered} of the published days are possible");
    }
}

fn compare(
    knowledge: &Knowledge,
    policy: &Policy,
    region: &Region,
    days: &SiteDays,
    rows: &[Row],
) -> Vec<Compared> {
    let rows: Vec<&Row> = rows.iter().filter(|row| row.get("region") == region.name).collect();
    // A monthly column lists what is sown; only some list what is set out as well.
    let seen = |method: &str| -> BTreeSet<u32> {
        rows.iter()
            .filter(|row| row.get("method") == method)
            .flat_map(|row| spell(row.get("start_month_day"), row.get("end_month_day")))
            .collect()
    };
    let universe = |method: &str| -> BTreeSet<u32> {
        if region.monthly { seen(method) } else { (1..=365).collect() }
    };
    let mut groups: BTreeMap<(CropId, &str), BTreeSet<u32>> = BTreeMap::new();
    for row in &rows {
        let crop = knowledge.crops.find(row.get("crop")).expect("a crop");
        groups
            .entry((crop, row.get("method")))
            .or_default()
            .extend(spell(row.get("start_month_day"), row.get("end_month_day")));
    }
    groups
        .into_iter()
        .map(|((crop, method), theirs)| {
            let asked = match method {
                "transplant" => Method::Transplanted,
                _ => Method::Sown,
            };
            let derived = windows(knowledge, policy, days, crop, Kind::Plain, Some(asked));
            let found = derived.good;
            let possible = days_of(&derived.possible);
            let ours: BTreeSet<u32> =
                days_of(&found).intersection(&universe(method)).copied().collect();
            let either = ours.union(&theirs).count();
            let both = ours.intersection(&theirs).count();
            let overlap = if either == 0 { 1.0 } else { both as f64 / either as f64 };
            let covered = theirs.intersection(&possible).count() as f64 / theirs.len() as f64;
            let held = theirs.intersection(&ours).count() as f64 / theirs.len() as f64;
            let why = if covered < AGREES {
                "published days that the derivation forbids"
            } else if held >= 0.9 {
                "the guide names a part of the days that are good here"
            } else if theirs.len() > ours.len() {
                "the guide goes beyond the days that suit best"
            } else {
                "other days of the year suit it better by the derivation"
            };
            Compared {
                why,
                overlap,
                covered,
                line: format!(
                    "{}/{method}/{}: expected={} days got={} ({}) {} shut by {}",
                    knowledge.crops[crop].key,
                    region.name.replace(' ', "_"),
                    theirs.len(),
                    ours.len(),
                    words(&found),
                    spells(&theirs),
                    shuts(&found),
                ),
                doubt: region.doubt,
            }
        })
        .collect()
}

/// Published days as spells, for reading.
fn spells(days: &BTreeSet<u32>) -> String {
    let mut found: Vec<(u32, u32)> = Vec::new();
    for day in days {
        match found.last_mut() {
            Some((_, last)) if *last + 1 == *day => *last = *day,
            _ => found.push((*day, *day)),
        }
    }
    let date = |ordinal: u32| {
        Date::from_yo_opt(2025, ordinal)
            .map_or(String::new(), |day| day.format("%m-%d").to_string())
    };
    let spells: Vec<String> =
        found.iter().map(|(from, to)| format!("{}..{}", date(*from), date(*to))).collect();
    format!("theirs [{}]", spells.join(" "))
}
