//! The season engine at published stations: days to harvest within the published range, mirrored
//! windows in the other hemisphere, small fruit against large in short days.

mod support;

use breakcrop::assess::season::{
    HazardEffect, HazardKind, Kind, SeasonAnswer, Shut, SiteDays, Window, days_from, normal_year,
    season, windows,
};
use breakcrop::climate::Climate;
use breakcrop::knowledge::Knowledge;
use breakcrop::origin::Origin;
use breakcrop::policy::Policy;
use breakcrop::records::{ClimateMonth, FrostDay, Garden, Method, Site};
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::units::Celsius;
use chrono::Datelike;
use support::published;

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

/// A station of `climate_normals.csv` as a garden; shifted by half a year and turned south if
/// mirrored.
fn station(name: &str, mirrored: bool) -> Garden {
    let (rows, _) = published("climate_normals.csv");
    let months: Vec<_> = rows.iter().filter(|row| row.get("station") == name).collect();
    assert_eq!(months.len(), 12, "{name}");
    let latitude = months[0].number("lat").expect("a latitude");
    Garden {
        site: Some(Site {
            name: name.into(),
            latitude: if mirrored { -latitude } else { latitude },
            longitude: 0.0,
            elevation: None,
            last_frost: FrostDay::Unknown,
            first_frost: FrostDay::Unknown,
            origin: Origin::new("site.csv", 2),
        }),
        climate: (0..12)
            .map(|month| {
                let row = months[if mirrored { (month + 6) % 12 } else { month }];
                ClimateMonth {
                    month: u32::try_from(month).expect("a month") + 1,
                    tmin: Celsius(row.number("tmin_c").expect("a minimum")),
                    tmax: Celsius(row.number("tmax_c").expect("a maximum")),
                    rain: None,
                    tmin_sd: None,
                    origin: Origin::new("climate.csv", 2),
                }
            })
            .collect(),
        ..Garden::default()
    }
}

fn ask<'k>(
    knowledge: &'k Knowledge,
    garden: &Garden,
    crop: &str,
    kind: Kind,
    method: Method,
    on: &str,
) -> SeasonAnswer<'k> {
    let policy = Policy::default();
    let climate = Climate::of(garden).expect("twelve months");
    let days = days_from(&climate, &policy, day(on));
    let crop = knowledge.crops.find(crop).expect("a crop");
    season(knowledge, &policy, &days, crop, kind, Some(method), day(on))
}

/// Ten crops, each at a station and a day that fits it, started as its days to maturity count.
const TEN: [(&str, &str, Method, &str); 10] = [
    ("snap_bean", "Philadelphia PA (USA)", Method::Sown, "2025-05-20"),
    ("tomato", "Philadelphia PA (USA)", Method::Transplanted, "2025-05-15"),
    ("sweet_corn", "Indianapolis IN (USA)", Method::Sown, "2025-05-15"),
    ("summer_squash", "Charlotte NC (USA)", Method::Sown, "2025-05-01"),
    ("cucumber", "Charlotte NC (USA)", Method::Sown, "2025-05-10"),
    ("pea", "Chicago Midway IL (USA)", Method::Sown, "2025-04-20"),
    ("carrot", "Heathrow (London Airport) (UK)", Method::Sown, "2025-06-01"),
    ("lettuce", "Heathrow (London Airport) (UK)", Method::Sown, "2025-05-15"),
    ("cabbage", "Brussels (Belgium)", Method::Transplanted, "2025-05-15"),
    ("potato", "Chicago Midway IL (USA)", Method::Sown, "2025-04-20"),
];

#[test]
fn days_to_harvest_of_ten_crops_lie_within_the_published_range() {
    let knowledge = Knowledge::embedded();
    let mut agree = 0;
    for (crop, place, method, on) in TEN {
        let garden = station(place, false);
        let answer = ask(&knowledge, &garden, crop, Kind::Plain, method, on);
        let usual = answer.needs.maturity_days.expect("days to maturity").value;
        let ready = answer.course.first_harvest.likely.expect("a harvest");
        let days = (ready - day(on)).num_days() as f64;
        let within = (usual.low..=usual.high).contains(&days);
        agree += usize::from(within);
        println!(
            "{crop} at {place} from {on}: {days} days, published {} to {}{}",
            usual.low,
            usual.high,
            if within { "" } else { "   <-- differs" }
        );
    }
    println!("published_days_to_maturity: {agree}/{}", TEN.len());
    assert_eq!(agree, TEN.len());
}

#[test]
fn a_winter_sowing_takes_twice_as_long() {
    // FAO-56 table 11: carrot takes 100 days sown for an arid winter, 150 in a Mediterranean
    // spring, 200 sown in October in the Californian desert: days must depend on the date.
    let knowledge = Knowledge::embedded();
    let garden = station("Brussels (Belgium)", false);
    let days = |on: &str| {
        let answer = ask(&knowledge, &garden, "carrot", Kind::Plain, Method::Sown, on);
        (answer.course.first_harvest.likely.expect("a harvest") - day(on)).num_days()
    };
    assert!(days("2025-10-01") > 2 * days("2025-06-01"));
}

fn day_in_year(date: Date) -> i64 {
    i64::from(date.ordinal())
}

/// Days between two days of the year, the short way round.
fn apart(one: i64, other: i64) -> i64 {
    let gap = (one - other).rem_euclid(365);
    gap.min(365 - gap)
}

#[test]
fn the_mirrored_site_has_the_mirrored_windows() {
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let (mut agree, mut counted, mut worst) = (0, 0, 0);
    for place in ["Brussels (Belgium)", "Los Angeles downtown CA (USA)", "Chicago Midway IL (USA)"]
    {
        let (north, south) = (station(place, false), station(place, true));
        let laid = |garden: &Garden| {
            let climate = Climate::of(garden).expect("twelve months");
            normal_year(&climate, &policy, day("2025-01-01"))
        };
        let (north, south) = (laid(&north), laid(&south));
        for crop in ["tomato", "lettuce", "broccoli", "snap_bean", "carrot", "onion", "spinach"] {
            let crop = knowledge.crops.find(crop).expect("a crop");
            let of = |days: &SiteDays| windows(&knowledge, &policy, days, crop, Kind::Plain, None);
            let (north, south) = (of(&north), of(&south));
            for (ours, theirs) in [(north.possible, south.possible), (north.good, south.good)] {
                counted += 1;
                let off = mirror_gap(&ours, &theirs);
                let name = &knowledge.crops[crop].key;
                println!("{place} {name}: off by {off:?} days");
                if let Some(off) = off {
                    worst = worst.max(off);
                    agree += usize::from(off <= 3);
                }
            }
        }
    }
    println!("worst {worst} days");
    println!("mirrored_windows: {agree}/{counted}");
    // The autumn sowing of the onion at Los Angeles opens with the length of the day, in a season
    // of which the south has fewer days (February is short, and so is the sun's southern half of
    // the year): four days off, and the only one.
    assert!(worst <= 4, "{worst} days");
    assert!(agree + 2 >= counted, "only {agree} of {counted} within three days");
}

/// The same day of the month half a year on, as the normals were moved: January 5 is July 5.
fn half_a_year_on(date: Date) -> Date {
    let month = (date.month0() + 6) % 12 + 1;
    (0..4)
        .find_map(|less| Date::from_ymd_opt(2025, month, date.day() - less))
        .expect("every month has a 28th")
}

/// The day on which the sun stands as far south as it stood north: half a year on by the sun, whose
/// halves of the year are 186 and 179 days long. Between the quarters the days run evenly.
fn half_a_year_on_by_the_sun(date: Date) -> Date {
    // Day of the year of 20 March, 21 June, 22 September, 21 December 2025, and 20 March again.
    const QUARTERS: [f64; 5] = [79.0, 172.0, 265.0, 355.0, 444.0];
    let at = f64::from(date.ordinal());
    let at = if at < QUARTERS[0] { at + 365.0 } else { at };
    let quarter = (1..4).rev().find(|quarter| at >= QUARTERS[*quarter]).unwrap_or(0);
    let share = (at - QUARTERS[quarter]) / (QUARTERS[quarter + 1] - QUARTERS[quarter]);
    let other = (quarter + 2) % 4;
    let mirrored = QUARTERS[other] + share * (QUARTERS[other + 1] - QUARTERS[other]);
    add_days(day("2024-12-31"), mirrored.round().rem_euclid(365.0).max(1.0))
}

/// Whether the length of the day shuts a window here, and not the temperature.
fn by_daylength(shut: Option<Shut>) -> bool {
    matches!(
        shut,
        Some(Shut::Hazard(
            HazardKind::BulbsSmall { .. }
                | HazardKind::NeverBulbs { .. }
                | HazardKind::BoltsInLongDays { .. }
        ))
    )
}

/// How far the ends of the windows lie from those of the mirrored site; `None` if they are not as
/// many.
fn mirror_gap(north: &[Window], south: &[Window]) -> Option<i64> {
    if north.len() != south.len() {
        return None;
    }
    let gap = |window: &Window| {
        south
            .iter()
            .map(|other| {
                if window.days == 365 && other.days == 365 {
                    return 0;
                }
                [
                    (window.from, other.from, window.opens_after),
                    (window.to, other.to, window.closes_before),
                ]
                .into_iter()
                .map(|(one, mirrored, shut)| {
                    let off = |expected| apart(day_in_year(expected), day_in_year(mirrored));
                    let by_calendar = off(half_a_year_on(one));
                    // Growth goes by the months that were moved, the length of the day by the sun:
                    // an end that both make may lie at either's mirrored day.
                    if by_daylength(shut) {
                        by_calendar.min(off(half_a_year_on_by_the_sun(one)))
                    } else {
                        by_calendar
                    }
                })
                .max()
                .unwrap_or(0)
            })
            .min()
            .unwrap_or(0)
    };
    north.iter().map(gap).max().or(Some(0))
}

#[test]
fn small_fruit_ripens_where_large_fruit_no_longer_does() {
    let knowledge = Knowledge::embedded();
    let garden = station("San Francisco Intl AP CA (USA) TMY3", false);
    let of = |kind| ask(&knowledge, &garden, "tomato", kind, Method::Transplanted, "2025-07-20");
    let (small, large) = (of(Kind::SmallFruited), of(Kind::LargeFruited));
    let ready = |answer: &SeasonAnswer<'_>| answer.course.first_harvest.likely;
    assert!(
        ready(&small).expect("small fruit ripens") < ready(&large).unwrap_or(day("2030-01-01"))
    );
    let light = |answer: &SeasonAnswer<'_>| {
        answer.hazards.iter().any(|hazard| matches!(hazard.kind, HazardKind::LittleLight { .. }))
    };
    assert!(light(&large), "large fruit wants 15 to 20 mol a day");
    assert!(!light(&small), "small fruit is content with 10");
}

#[test]
fn a_tomato_set_out_in_january_is_killed_in_brussels() {
    let knowledge = Knowledge::embedded();
    let garden = station("Brussels (Belgium)", false);
    let answer =
        ask(&knowledge, &garden, "tomato", Kind::Plain, Method::Transplanted, "2025-01-15");
    assert!(!answer.fits());
    assert!(answer.hazards.iter().any(|hazard| {
        matches!(hazard.kind, HazardKind::Killed { chance, .. } if chance > 0.9)
            && hazard.effect == HazardEffect::Forbids
            && hazard.citation.is_some()
    }));
}

#[test]
fn a_long_day_onion_never_bulbs_in_hyderabad() {
    let knowledge = Knowledge::embedded();
    let garden = station("Hyderabad (India)", false);
    let of = |kind| ask(&knowledge, &garden, "onion", kind, Method::Sown, "2025-10-15");
    let never = |answer: &SeasonAnswer<'_>| {
        answer.hazards.iter().any(|hazard| matches!(hazard.kind, HazardKind::NeverBulbs { .. }))
    };
    assert!(never(&of(Kind::LongDay)));
    assert!(!never(&of(Kind::ShortDay)));
}

#[test]
fn cauliflower_that_heads_in_the_heat_has_loose_curds() {
    let knowledge = Knowledge::embedded();
    let garden = station("Phoenix AZ (USA)", false);
    let of = |on| ask(&knowledge, &garden, "cauliflower", Kind::Plain, Method::Transplanted, on);
    let loose = |answer: &SeasonAnswer<'_>| {
        answer.hazards.iter().any(|hazard| matches!(hazard.kind, HazardKind::LooseHeads { .. }))
    };
    assert!(loose(&of("2025-04-15")));
    assert!(!loose(&of("2025-10-15")));
}

#[test]
fn a_later_start_is_never_ready_earlier() {
    let knowledge = Knowledge::embedded();
    let garden = station("Charlotte NC (USA)", false);
    let mut before: Option<Date> = None;
    for step in 0..24 {
        let on = add_days(day("2025-01-01"), f64::from(step) * 15.0).to_string();
        let answer = ask(&knowledge, &garden, "lettuce", Kind::Plain, Method::Sown, &on);
        let ready = answer.course.first_harvest.likely;
        let course = answer.course.first_harvest;
        assert!(course.early <= ready && (course.late.is_none() || ready <= course.late));
        assert!(before.is_none() || ready >= before, "{on}");
        before = ready;
    }
}
