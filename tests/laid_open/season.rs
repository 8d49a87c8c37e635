//! Crops at sites that are nothing like each other: needs, windows, and single starts.

use std::fmt::Write;

use breakcrop::assess::season::{
    CropNeeds, Kind, SeasonAnswer, Sourced, Window, days_from, normal_year, season, windows,
};
use breakcrop::climate::Climate;
use breakcrop::climate::heat::Reached;
use breakcrop::knowledge::Citation;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Method};
use breakcrop::season::Date;

use crate::support::garden_of;
use crate::written::{figure, range, short};
use crate::{crop, day, knowledge};

/// Mean minimum and maximum of each month.
type Months = [(f64, f64); 12];

/// A site with mild winters and cool summers, one with hard winters and hot summers, one without
/// winter, one far in the north, one in the south.
const SITES: [(&str, f64, Months); 5] = [
    (
        "coast",
        51.9,
        [
            (1.6, 7.4),
            (1.5, 8.1),
            (2.9, 10.9),
            (4.5, 14.0),
            (7.4, 17.3),
            (10.3, 20.2),
            (12.4, 22.7),
            (12.4, 22.6),
            (10.1, 19.3),
            (7.4, 15.1),
            (4.2, 10.7),
            (2.1, 7.9),
        ],
    ),
    (
        "plain",
        40.4,
        [
            (-10.8, 5.1),
            (-9.1, 6.8),
            (-4.7, 12.6),
            (0.1, 17.0),
            (6.4, 22.4),
            (12.0, 29.1),
            (15.3, 32.7),
            (14.3, 31.3),
            (9.0, 26.8),
            (1.6, 19.0),
            (-5.4, 11.2),
            (-10.2, 5.2),
        ],
    ),
    (
        "low_south",
        13.1,
        [
            (21.0, 29.5),
            (21.5, 31.0),
            (23.0, 33.0),
            (25.5, 35.0),
            (27.0, 37.0),
            (27.0, 37.0),
            (26.0, 35.5),
            (25.5, 34.5),
            (25.0, 34.0),
            (24.0, 32.0),
            (22.5, 29.5),
            (21.5, 29.0),
        ],
    ),
    (
        "north",
        65.0,
        [
            (-14.0, -6.0),
            (-14.0, -6.0),
            (-10.0, -1.0),
            (-4.0, 4.5),
            (2.0, 11.5),
            (8.0, 17.5),
            (11.0, 20.5),
            (9.0, 18.0),
            (4.5, 12.0),
            (0.0, 5.5),
            (-6.0, -0.5),
            (-11.0, -4.0),
        ],
    ),
    (
        "down_under",
        -37.8,
        [
            (15.0, 25.6),
            (15.4, 26.2),
            (14.6, 24.2),
            (12.1, 20.9),
            (9.6, 17.2),
            (7.6, 14.4),
            (7.0, 13.9),
            (7.6, 15.3),
            (8.9, 17.6),
            (10.5, 20.0),
            (12.2, 22.3),
            (13.8, 24.4),
        ],
    ),
];

pub(crate) fn site(name: &str) -> Garden {
    let (_, latitude, months) =
        SITES.iter().find(|(known, ..)| *known == name).unwrap_or_else(|| panic!("{name}"));
    let months: Vec<String> = months
        .iter()
        .enumerate()
        .map(|(month, (tmin, tmax))| format!("{},{tmin},{tmax}\n", month + 1))
        .collect();
    let months = months.concat();
    let files = [
        ("site.csv", format!("name,latitude,longitude\n{name},{latitude},0\n")),
        ("climate.csv", format!("month,tmin_c,tmax_c\n{months}")),
    ];
    garden_of(knowledge(), files, name)
}

fn sourced(limit: Option<Sourced<'_>>) -> String {
    limit.map_or_else(
        || "-".to_owned(),
        |limit| {
            let keys: Vec<&str> = limit.citation.keys().collect();
            format!("{} [{}]", range(limit.value), keys.join(" "))
        },
    )
}

/// Crops of every way to grow: fruit, leaf, root, bulb, head, seed, cover, perennial.
const CROPS: [(&str, Kind); 24] = [
    ("tomato", Kind::Plain),
    ("tomato", Kind::SmallFruited),
    ("pepper", Kind::LargeFruited),
    ("cucumber", Kind::Plain),
    ("watermelon", Kind::Plain),
    ("sweet_corn", Kind::Plain),
    ("snap_bean", Kind::Plain),
    ("pea", Kind::Plain),
    ("fava_bean", Kind::Plain),
    ("lettuce", Kind::Plain),
    ("spinach", Kind::Plain),
    ("napa_cabbage", Kind::Plain),
    ("broccoli", Kind::Plain),
    ("cauliflower", Kind::Plain),
    ("kale", Kind::Plain),
    ("carrot", Kind::Plain),
    ("beet", Kind::Plain),
    ("celery", Kind::Plain),
    ("potato", Kind::Plain),
    ("onion", Kind::Plain),
    ("onion", Kind::ShortDay),
    ("onion", Kind::LongDay),
    ("garlic", Kind::Plain),
    ("strawberry", Kind::Plain),
];

#[test]
fn what_crops_need() {
    let policy = Policy::default();
    let mut text = String::new();
    for (key, kind) in CROPS {
        let needs = CropNeeds::of(knowledge(), &policy, crop(key), kind, Some(51.9));
        let _ = writeln!(text, "{key} {:?}, counted from {:?}", needs.kind, needs.counted_from);
        for (name, limit) in [
            ("maturity", needs.maturity_days),
            ("picked", needs.harvest_days),
            ("soil least", needs.soil_least),
            ("soil most", needs.soil_most),
            ("growth least", needs.growth_least),
            ("growth best", needs.growth_best),
            ("growth most", needs.growth_most),
            ("kill", needs.kill),
            ("bulbing", needs.bulbing),
        ] {
            let _ = writeln!(text, "  {name}: {}", sourced(limit));
        }
        if let Some(heat) = needs.heat {
            let _ = writeln!(
                text,
                "  heat: {} from {:?}, printed {}, counted {}, {} to {}, nursery {}",
                range(heat.degree_days),
                heat.from,
                heat.is_printed,
                heat.counted.is_some(),
                figure(heat.base_c),
                figure(heat.optimum_c),
                figure(heat.nursery_day),
            );
        }
        let after = [Method::Sown, Method::Transplanted]
            .map(|method| needs.heat_after(&policy, method).map_or("-".to_owned(), range));
        let growth: Vec<String> = (0..=8)
            .map(|at| needs.growth_at(f64::from(at) * 5.0).map_or("-".to_owned(), figure))
            .collect();
        let _ = writeln!(
            text,
            "  sown {}, set out {}; usually {:?}, tender {}, known {}; growth at 0, 5 .. 40 C: {}",
            after[0],
            after[1],
            needs.method(None),
            needs.is_tender,
            needs.are_known(),
            growth.join(" "),
        );
    }
    // Of which crops nothing is known, and which are set out unless something else is said.
    let all = knowledge().crops.iter().map(|(id, row)| {
        (&*row.key, CropNeeds::of(knowledge(), &policy, id, Kind::Plain, Some(51.9)))
    });
    let (known, unknown): (Vec<_>, Vec<_>) = all.partition(|(_, needs)| needs.are_known());
    let keys = |list: Vec<&str>| list.join(" ");
    let set_out = known.iter().filter(|(_, needs)| needs.method(None) == Method::Transplanted);
    let of_heat = known.iter().filter(|(_, needs)| needs.heat.is_some());
    let _ = writeln!(text, "unknown: {}", keys(unknown.iter().map(|one| one.0).collect()));
    let _ = writeln!(text, "set out: {}", keys(set_out.map(|one| one.0).collect()));
    let _ = writeln!(text, "with heat: {}", keys(of_heat.map(|one| one.0).collect()));
    insta::assert_snapshot!(text);
}

fn window(window: &Window) -> String {
    format!(
        "{} to {} ({}); before: {}; after: {}",
        window.from,
        window.to,
        window.days,
        window.opens_after.map_or("-".to_owned(), |shut| short(&shut)),
        window.closes_before.map_or("-".to_owned(), |shut| short(&shut)),
    )
}

#[test]
fn when_they_may_start() {
    let policy = Policy::default();
    let mut text = String::new();
    for (name, ..) in SITES {
        let garden = site(name);
        let climate = Climate::of(&garden).expect("twelve months");
        let days = normal_year(&climate, &policy, day("2025-01-01"));
        for (key, kind) in CROPS {
            let found = windows(knowledge(), &policy, &days, crop(key), kind, None);
            for (word, list) in [("possible", &found.possible), ("good", &found.good)] {
                for one in list {
                    let _ = writeln!(text, "{name} {key} {kind:?} {word} {}", window(one));
                }
            }
        }
    }
    insta::assert_snapshot!(text);
}

fn reached(reached: Reached) -> String {
    [reached.early, reached.likely, reached.late].map(date).join(" ")
}

fn date(date: Option<Date>) -> String {
    date.map_or("-".to_owned(), |date| date.to_string())
}

fn start(answer: &SeasonAnswer<'_>) -> String {
    let (course, leaves) = (&answer.course, &answer.leaves);
    let mut text = format!(
        "{:?}; up {}; ready {}; last {}{}; fit {}; picked {}, suits {}, light {}, harmed {}, whole {}\n",
        answer.method,
        reached(course.emergence),
        reached(course.first_harvest),
        date(course.last_harvest),
        if course.ended_by_cold { " by cold" } else { "" },
        answer.fit.map_or("-".to_owned(), figure),
        range(leaves.picked),
        leaves.suits.map_or("-".to_owned(), range),
        range(leaves.light),
        range(leaves.harmed),
        range(leaves.whole()),
    );
    if let Some(seedlings) = answer.seedlings {
        let _ = writeln!(
            text,
            "  seedlings {} at {} C",
            figure(seedlings.share),
            figure(seedlings.soil_c)
        );
    }
    for hazard in &answer.hazards {
        let keys: Vec<&str> = hazard.citation.into_iter().flat_map(Citation::keys).collect();
        let _ = writeln!(
            text,
            "  {:?} {} to {}: {} [{}]",
            hazard.effect,
            hazard.from,
            hazard.to,
            short(&hazard.kind),
            keys.join(" "),
        );
    }
    text
}

#[test]
fn how_starts_fare() {
    let policy = Policy::default();
    let mut text = String::new();
    let starts = [
        ("coast", ["2025-01-20", "2025-04-05", "2025-06-25", "2025-09-01"]),
        ("plain", ["2025-03-15", "2025-05-20", "2025-07-25", "2025-10-10"]),
        ("low_south", ["2025-01-10", "2025-04-10", "2025-07-10", "2025-10-10"]),
        ("north", ["2025-05-10", "2025-06-10", "2025-07-10", "2025-08-20"]),
        ("down_under", ["2025-02-10", "2025-05-10", "2025-09-10", "2025-11-10"]),
    ];
    for (name, dates) in starts {
        let garden = site(name);
        let climate = Climate::of(&garden).expect("twelve months");
        for (turn, on) in dates.map(day).into_iter().enumerate() {
            let days = days_from(&climate, &policy, on);
            for (key, kind) in CROPS.into_iter().skip(turn % 2).step_by(2) {
                let answer = season(knowledge(), &policy, &days, crop(key), kind, None, on);
                let _ = write!(text, "{name} {on} {key} {kind:?} {}", start(&answer));
            }
        }
    }
    insta::assert_snapshot!(text);
}
