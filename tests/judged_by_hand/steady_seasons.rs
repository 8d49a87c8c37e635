//! Sites where each day is like the other, so that a limit is met on all days or on none: what a
//! start is told at temperatures on either side of each printed limit.

use breakcrop::assess::season::{HazardEffect, HazardKind, Kind, SeasonAnswer, days_from, season};
use breakcrop::climate::Climate;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Method};
use breakcrop::season::{Date, add_days};
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge, near};

use HazardEffect::{Forbids, Harms};

fn steady(tmin: f64, tmax: f64) -> Garden {
    let months: Vec<String> = (1..=12).map(|month| format!("{month},{tmin},{tmax}\n")).collect();
    let months = months.concat();
    let files = [
        ("site.csv", "name,latitude,longitude\nsteady,45,0\n".to_owned()),
        ("climate.csv", format!("month,tmin_c,tmax_c\n{months}")),
    ];
    garden_of(knowledge(), files, "steady")
}

fn start(
    garden: &Garden,
    crop: &str,
    kind: Kind,
    method: Method,
    on: Date,
) -> SeasonAnswer<'static> {
    let policy = Policy::default();
    let climate = Climate::of(garden).expect("twelve months");
    let days = days_from(&climate, &policy, on);
    let crop = knowledge().crops.find(crop).expect("a crop");
    season(knowledge(), &policy, &days, crop, kind, Some(method), on)
}

/// The effect of one kind of hazard at a minimum and a maximum, from the first of April on.
fn told(
    crop: (&str, Kind, Method),
    (tmin, tmax): (f64, f64),
    is_meant: fn(&HazardKind) -> bool,
) -> Option<HazardEffect> {
    let answer = start(&steady(tmin, tmax), crop.0, crop.1, crop.2, day("2025-04-01"));
    answer.hazards.iter().find(|hazard| is_meant(&hazard.kind)).map(|hazard| hazard.effect)
}

fn about(mean: f64) -> (f64, f64) {
    (mean - 4.0, mean + 4.0)
}

/// Cucumber grows from 60 F (15.6 C) to 90 F (32.2 C) (Knott); a degree either way is let pass, three
/// at the start.
#[test]
fn growth_is_too_cool_or_too_hot() {
    let cucumber = ("cucumber", Kind::Plain, Method::Sown);
    let of = |mean, is_meant| told(cucumber, about(mean), is_meant);
    for (mean, effect) in [(14.5, Some(Forbids)), (14.7, None), (20.0, None)] {
        assert_eq!(of(mean, |kind| matches!(kind, HazardKind::TooCool { .. })), effect, "{mean}");
    }
    for (mean, effect) in [(12.5, Some(Forbids)), (12.7, None)] {
        let found = of(mean, |kind| matches!(kind, HazardKind::StartTooCool { .. }));
        assert_eq!(found, effect, "{mean}");
    }
    // Peas are no tender crop: a cold start harms them.
    let pea = ("pea", Kind::Plain, Method::Sown);
    for (mean, effect) in [(4.1, Some(Harms)), (4.3, None)] {
        let found = told(pea, about(mean), |kind| matches!(kind, HazardKind::StartTooCool { .. }));
        assert_eq!(found, effect, "{mean}");
    }
    for (mean, effect) in
        [(32.1, None), (32.3, Some(Harms)), (33.1, Some(Harms)), (33.3, Some(Forbids))]
    {
        assert_eq!(of(mean, |kind| matches!(kind, HazardKind::TooHot { .. })), effect, "{mean}");
    }
}

/// Tomatoes set fruit in nights of 10 to 15.6 C at least and 23.9 to 26 C at most, and days of 32.2 to
/// 33.3 C at most, as sources print; small fruit bears two degrees more.
#[test]
fn fruit_sets_between_limits() {
    let of = |kind, temperatures, is_meant| {
        told(("tomato", kind, Method::Transplanted), temperatures, is_meant)
    };
    let cold: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::SetNightsCold { .. });
    let warm: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::SetNightsWarm { .. });
    let hot: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::SetDaysHot { .. });
    for (is_meant, temperatures, plain, small) in [
        (cold, (7.9, 24.0), Some(Forbids), Some(Forbids)),
        (cold, (8.1, 24.0), Some(Forbids), Some(Harms)),
        (cold, (9.9, 24.0), Some(Forbids), Some(Harms)),
        (cold, (10.1, 24.0), Some(Harms), Some(Harms)),
        (cold, (13.7, 24.0), Some(Harms), None),
        (cold, (15.5, 24.0), Some(Harms), None),
        (cold, (15.7, 24.0), None, None),
        (warm, (23.8, 30.0), None, None),
        (warm, (24.0, 30.0), Some(Harms), None),
        (warm, (26.1, 30.0), Some(Forbids), Some(Harms)),
        (warm, (28.1, 30.0), Some(Forbids), Some(Forbids)),
        (hot, (18.0, 32.1), None, None),
        (hot, (18.0, 32.3), Some(Harms), None),
        (hot, (18.0, 33.4), Some(Forbids), None),
        (hot, (18.0, 34.3), Some(Forbids), Some(Harms)),
        (hot, (18.0, 35.4), Some(Forbids), Some(Forbids)),
    ] {
        assert_eq!(of(Kind::Plain, temperatures, is_meant), plain, "{temperatures:?}");
        assert_eq!(of(Kind::SmallFruited, temperatures, is_meant), small, "{temperatures:?}");
    }
}

/// Ripening stops below 10 C with days below 16 C, is slow below a mean of 13 C, and gives no red above
/// 85 F (29.4 C).
#[test]
fn ripening_has_its_limits() {
    let of = |temperatures, is_meant| {
        told(("tomato", Kind::SmallFruited, Method::Transplanted), temperatures, is_meant)
    };
    let slow: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::RipeningSlow { .. });
    let no_red: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::NoRed { .. });
    assert_eq!(of((10.4, 15.4), slow), Some(Harms));
    assert_eq!(of((10.6, 15.6), slow), None, "a mean of 13.1");
    assert_eq!(of((18.0, 29.3), no_red), None);
    assert_eq!(of((18.0, 29.5), no_red), Some(Harms));
    // A fortnight, not a day more or less.
    let garden = steady(18.0, 29.5);
    let answer = start(&garden, "tomato", Kind::Plain, Method::Transplanted, day("2025-04-01"));
    let ready = answer.course.first_harvest.likely.expect("warm enough");
    let hazard = answer.hazards.iter().find(|hazard| no_red(&hazard.kind)).expect("hot");
    assert_eq!((hazard.from, hazard.to), (ready, add_days(ready, 14.0)));
}

/// Cold below 10 C after the juvenile stage makes cabbage bolt; 15 days at 10 C and below do it for
/// celery.
#[test]
fn cold_makes_grown_plants_bolt() {
    let bolts: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::BoltsAfterCold { .. });
    let cabbage = ("cabbage", Kind::Plain, Method::Transplanted);
    assert_eq!(told(cabbage, about(9.9), bolts), Some(Forbids));
    assert_eq!(told(cabbage, about(10.1), bolts), None);
    let celery = ("celery", Kind::Plain, Method::Transplanted);
    assert_eq!(told(celery, about(9.9), bolts), Some(Forbids));
    assert_eq!(told(celery, about(10.1), bolts), None);
    // Garlic must have its cold.
    assert_eq!(told(("garlic", Kind::Plain, Method::Sown), about(6.0), bolts), None);
}

/// Over a year of starts: spinach bolts by the length of the day of its first harvest.
#[test]
fn long_days_make_spinach_bolt() {
    let garden = steady(10.0, 18.0);
    let climate = Climate::of(&garden).expect("twelve months");
    let mut told = [0; 3];
    for step in 0..52 {
        let on = add_days(day("2025-01-01"), f64::from(step) * 7.0);
        let answer = start(&garden, "spinach", Kind::Plain, Method::Sown, on);
        let ready = answer.course.first_harvest.likely.expect("warm enough");
        let hours = climate.daylength(ready).expect("a latitude").0;
        let expected = if hours > 15.0 {
            Some(Forbids)
        } else if hours > 13.0 {
            Some(Harms)
        } else {
            None
        };
        let found = answer.hazards.iter().find_map(|hazard| match hazard.kind {
            HazardKind::BoltsInLongDays { hours, .. } => Some((hazard.effect, hours)),
            _ => None,
        });
        assert_eq!(found.map(|found| found.0), expected, "{on}");
        if let Some((_, of_day)) = found {
            near(of_day, hours, "hours");
        }
        told[expected.map_or(0, |effect| if effect == Harms { 1 } else { 2 })] += 1;
    }
    assert!(told.iter().all(|count| *count > 3), "{told:?}");
}

/// A quarter more than the longest days printed is slow; a tender crop has no season for four fifths
/// more. Seed that lies more than three weeks is slow to come up, more than six it is lost.
#[test]
fn what_takes_too_long_is_told() {
    let mut told = Vec::new();
    for step in 0..60 {
        let mean = 11.0 + f64::from(step) * 0.2;
        let garden = steady(mean - 4.0, mean + 4.0);
        let on = day("2025-04-01");
        let cucumber = start(&garden, "cucumber", Kind::Plain, Method::Sown, on);
        let slow = cucumber.hazards.iter().find_map(|hazard| match hazard.kind {
            HazardKind::Slow { days, .. } => Some((hazard.effect, days)),
            _ => None,
        });
        if let Some(ready) = cucumber.course.first_harvest.likely {
            let days = (ready - on).num_days() as f64;
            let expected = if days > 70.0 * 1.8 {
                Some((Forbids, days))
            } else if days > 70.0 * 1.25 {
                Some((Harms, days))
            } else {
                None
            };
            assert_eq!(slow, expected, "{mean}");
        } else {
            let never = |kind: &HazardKind| matches!(kind, HazardKind::NeverReady);
            assert!(cucumber.hazards.iter().any(|hazard| never(&hazard.kind)), "{mean}");
        }
        told.push(slow.map(|slow| slow.0));
    }
    told.dedup();
    assert!(told.ends_with(&[Some(Forbids), Some(Harms), None]), "{told:?}");
    let mut told = Vec::new();
    for step in 0..80 {
        let mean = 2.0 + f64::from(step) * 0.2;
        let garden = steady(mean - 4.0, mean + 4.0);
        let on = day("2025-04-01");
        let carrot = start(&garden, "carrot", Kind::Plain, Method::Sown, on);
        let slow = carrot.hazards.iter().find_map(|hazard| match hazard.kind {
            HazardKind::SlowToEmerge { days } => Some((hazard.effect, days)),
            _ => None,
        });
        if let Some(up) = carrot.course.emergence.likely {
            let days = (up - on).num_days() as f64;
            let expected = if days > 42.0 {
                Some((Forbids, Some(days)))
            } else if days > 21.0 {
                Some((Harms, Some(days)))
            } else {
                None
            };
            assert_eq!(slow, expected, "{mean}");
        }
        told.push(slow.map(|slow| slow.0));
    }
    told.dedup();
    assert!(told.ends_with(&[Some(Harms), None]), "{told:?}");
}

/// Cauliflower heads loosen above 80 F (26.7 C) by day.
#[test]
fn heads_loosen_in_the_heat() {
    let loose: fn(&HazardKind) -> bool = |kind| matches!(kind, HazardKind::LooseHeads { .. });
    let cauliflower = ("cauliflower", Kind::Plain, Method::Transplanted);
    assert_eq!(told(cauliflower, (14.0, 26.6), loose), None);
    assert_eq!(told(cauliflower, (14.0, 26.8), loose), Some(Forbids));
}

/// Seed rots in soil colder than the coldest it is known to come up in, and fails in the hottest.
#[test]
fn soil_is_too_cold_or_too_hot_for_seed() {
    let bean = ("snap_bean", Kind::Plain, Method::Sown);
    let mut told = Vec::new();
    for step in 0..110 {
        let mean = 12.0 + f64::from(step) * 0.2;
        let answer =
            start(&steady(mean - 4.0, mean + 4.0), bean.0, bean.1, bean.2, day("2025-04-01"));
        let found = answer.hazards.iter().find_map(|hazard| match hazard.kind {
            HazardKind::SoilTooCold { soil_c, least_c } => {
                near(least_c, 15.6, "60 F");
                assert!(soil_c < 15.6 && hazard.effect == Forbids);
                Some("cold")
            }
            HazardKind::SoilTooHot { soil_c, most_c } => {
                near(most_c, 35.0, "95 F");
                assert!(soil_c > 35.0 && hazard.effect == Forbids);
                Some("hot")
            }
            _ => None,
        });
        let soil_c = answer.seedlings.map(|seedlings| seedlings.soil_c);
        if let Some(soil_c) = soil_c {
            let expected = match soil_c {
                cold if cold < 15.6 => Some("cold"),
                hot if hot > 35.0 => Some("hot"),
                _ => None,
            };
            assert_eq!(found, expected, "{soil_c}");
        }
        told.push(found);
    }
    told.dedup();
    assert!(told.starts_with(&[Some("cold"), None]), "{told:?}");
    // What is set out does not ask for seed.
    let set_out =
        start(&steady(8.0, 16.0), bean.0, bean.1, Method::Transplanted, day("2025-04-01"));
    let of_soil = |kind: &HazardKind| matches!(kind, HazardKind::SoilTooCold { .. });
    assert!(!set_out.hazards.iter().any(|hazard| of_soil(&hazard.kind)));
}

/// The words of a seed packet.
#[test]
fn kinds_go_by_the_words_of_the_variety() {
    for (crop, words, kind) in [
        ("onion", "Short-day yellow", Kind::ShortDay),
        ("onion", "intermediate red", Kind::Intermediate),
        ("onion", "long day keeper", Kind::LongDay),
        ("onion", "yellow", Kind::Plain),
        ("tomato", "Red Cherry", Kind::SmallFruited),
        ("pepper", "large bell", Kind::LargeFruited),
        ("eggplant", "mini", Kind::SmallFruited),
        ("leek", "long white", Kind::Plain),
    ] {
        assert_eq!(Kind::of(crop, words), kind, "{words} {crop}");
    }
}
