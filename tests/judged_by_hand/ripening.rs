//! Cold nights and cool days end the ripening of what is picked; windows come in calendar order.

use breakcrop::assess::season::{
    Hazard, HazardEffect, HazardKind, Kind, days_from, normal_year, season, windows,
};
use breakcrop::climate::Climate;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Method};
use breakcrop::season::add_days;
use pretty_assertions::assert_eq;

use crate::support::garden_of;
use crate::{day, knowledge, near};

/// A warm summer, then an autumn of these minima and maxima from October on, without frost.
fn autumn(tmin: f64, tmax: f64) -> Garden {
    let months: String = (1..=12)
        .map(|month| match month {
            5..=9 => format!("{month},15,27\n"),
            _ => format!("{month},{tmin},{tmax}\n"),
        })
        .collect();
    let files = [
        ("site.csv", "name,latitude,longitude\nmild,36,0\n".to_owned()),
        ("climate.csv", format!("month,tmin_c,tmax_c\n{months}")),
    ];
    garden_of(knowledge(), files, "autumn")
}

/// Where the ripening of a tomato set out on a day stops.
fn stops(garden: &Garden, on: &str) -> Option<(Hazard<'static>, f64, f64)> {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let climate = Climate::of(garden).expect("twelve months");
    let days = days_from(&climate, &policy, day(on));
    let tomato = knowledge.crops.find("tomato").expect("a crop");
    let method = Some(Method::Transplanted);
    let answer = season(knowledge, &policy, &days, tomato, Kind::Plain, method, day(on));
    answer.hazards.into_iter().find_map(|hazard| match hazard.kind {
        HazardKind::RipeningStops { night_c, day_c } => Some((hazard, night_c, day_c)),
        _ => None,
    })
}

/// Means of the fortnight from a day, by the climate's own days.
fn fortnight(garden: &Garden, from: chrono::NaiveDate) -> (f64, f64) {
    let climate = Climate::of(garden).expect("twelve months");
    let of = |value: &dyn Fn(chrono::NaiveDate) -> f64| {
        (0..14).map(|step| value(add_days(from, f64::from(step)))).sum::<f64>() / 14.0
    };
    (
        of(&|date| climate.tmin_c(date)),
        of(&|date| 2.0 * climate.mean_c(date) - climate.tmin_c(date)),
    )
}

/// Tomatoes stop ripening where nights stay below 50 F (10 C) with days below 60 F (16 C).
#[test]
fn ripening_stops_with_the_first_fortnight_of_cold_nights_and_cool_days() {
    let garden = autumn(6.0, 13.0);
    let mut effects = Vec::new();
    for step in 0..12 {
        let on = add_days(day("2025-06-01"), f64::from(step) * 5.0).to_string();
        let Some((hazard, night_c, day_c)) = stops(&garden, &on) else { continue };
        let (night, noon) = fortnight(&garden, hazard.from);
        near(night_c, night, "nights");
        near(day_c, noon, "days");
        assert!(night < 10.0 && noon < 16.0, "{night} {noon}");
        let (night, noon) = fortnight(&garden, add_days(hazard.from, -1.0));
        let was_warm = night >= 10.0 || noon >= 16.0;
        // Where the first fruit is not yet there when the cold comes, nothing ripens at all.
        assert_eq!(was_warm, hazard.effect == HazardEffect::Harms, "{on}");
        effects.push(hazard.effect);
    }
    effects.dedup();
    assert_eq!(effects, [HazardEffect::Harms, HazardEffect::Forbids]);
    // Cold nights after warm days, or mild nights after cool days, do not end it.
    assert!(stops(&autumn(6.0, 22.0), "2025-06-05").is_none());
    assert!(stops(&autumn(12.0, 14.0), "2025-06-05").is_none());
}

/// A year that begins on the day a window opens begins with that window.
#[test]
fn windows_come_in_the_order_of_the_days() {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let garden = autumn(2.0, 9.0);
    let climate = Climate::of(&garden).expect("twelve months");
    let tomato = knowledge.crops.find("tomato").expect("a crop");
    let of = |from: chrono::NaiveDate| {
        let days = normal_year(&climate, &policy, from);
        let method = Some(Method::Transplanted);
        windows(knowledge, &policy, &days, tomato, Kind::Plain, method).possible
    };
    let opens = of(day("2025-01-01"))[0].from;
    assert!(opens > day("2025-01-01"));
    let around = of(opens);
    assert_eq!(around[0].from, opens);
    assert!(around.windows(2).all(|pair| pair[0].from < pair[1].from), "{around:?}");
}

/// Four days and more below 50 F (10 C) while it is young make cauliflower button.
#[test]
fn cauliflower_that_is_cold_while_young_buttons() {
    let (knowledge, policy) = (knowledge(), Policy::default());
    let cauliflower = knowledge.crops.find("cauliflower").expect("a crop");
    let buttons = |spring: &str| {
        let months: String =
            (1..=12)
                .map(|month| {
                    if month < 5 {
                        format!("{month},{spring}\n")
                    } else {
                        format!("{month},13,21\n")
                    }
                })
                .collect();
        let files = [
            ("site.csv", "name,latitude,longitude\nspring,45,0\n".to_owned()),
            ("climate.csv", format!("month,tmin_c,tmax_c\n{months}")),
        ];
        let garden = garden_of(knowledge, files, "spring");
        let climate = Climate::of(&garden).expect("twelve months");
        let on = day("2025-03-20");
        let days = days_from(&climate, &policy, on);
        let method = Some(Method::Transplanted);
        let answer = season(knowledge, &policy, &days, cauliflower, Kind::Plain, method, on);
        answer.hazards.iter().find_map(|hazard| match hazard.kind {
            HazardKind::Buttons { days, below_c } => Some((days, below_c, hazard.effect)),
            _ => None,
        })
    };
    let (days, below_c, effect) = buttons("4,11").expect("cold");
    assert!(days >= 20, "{days}");
    near(below_c, 10.0, "50 F");
    assert_eq!(effect, HazardEffect::Harms);
    assert_eq!(buttons("10,16"), None);
}
