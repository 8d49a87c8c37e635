//! Heat of single days and of whole crops, the length of a day, how soon and how much seed comes up.

use breakcrop::assess::season::{Kind, days_from, season};
use breakcrop::climate::Climate;
use breakcrop::climate::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use breakcrop::climate::emergence::{EmergenceRate, normal_share, rate_by_trials};
use breakcrop::climate::sun::daylength;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::FrostDay;
use breakcrop::season::iso_day;
use breakcrop::units::{Dimension, UnitSystem};

use super::support::station::station_garden;
use super::support::{Row, published};
use super::{Check, check, numbers};

pub(super) fn row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    day_row(row).or_else(|| heat_row(knowledge, row)).or_else(|| seed_row(knowledge, row))
}

/// Degree-days of single days, Fahrenheit as printed, and the length of a day.
fn day_row(row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    let limited =
        HeatModel { curve: Curve::ModifiedAverage, base: 50.0, cutoff: Cutoff::Horizontal(86.0) };
    let simple = HeatModel { curve: Curve::Average, base: 50.0, cutoff: Cutoff::None };
    let of = |model: HeatModel, a: f64, b: f64| {
        model.degree_days(DayTemperature { tmin: a.min(b), tmax: a.max(b) }, None)
    };
    Some(match row.get("id") {
        "C32" => {
            let each: Vec<f64> =
                given.chunks_exact(2).map(|pair| of(limited, pair[0], pair[1])).collect();
            let total = each.iter().sum();
            let mut checks: Vec<Check> =
                each.iter().zip(&want).map(|(got, want)| check(*got, *want, 1e-9)).collect();
            checks.push(check(total, want[3], 1e-9));
            checks
        }
        "C33" => vec![check(of(limited, given[0], given[1]), want[0], 1e-9)],
        "C34" => vec![check(of(limited, given[0], given[0]), want[0], 1e-9)],
        "C35" => vec![check(of(simple, given[0], given[1]), want[0], 1e-9)],
        "C36" => vec![
            check(of(simple, given[0], given[1]), want[4], 1e-9),
            check(of(limited, given[0], given[1]), want[9], 1e-9),
        ],
        "C37" => vec![check(of(simple, 38.0, 52.0), want[0], 1e-9)],
        // Sonoma County, the day after 18 November: less than ten hours, and not yet much less.
        "C62" => {
            let hours = daylength(38.3, -122.7, iso_day("2025-11-19")?).0;
            vec![check(hours, want[0] - 0.1, 0.1)]
        }
        _ => return None,
    })
}

/// Heat sums to harvest, as the season follows them, in the row's Fahrenheit degree-days. The day on
/// which a sum was reached is weather of one spring at a place without a station here, so the sum and
/// its base are what is asked.
fn heat_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let (crop, sown) = match row.get("id") {
        "C38" => ("sweet_corn", "2025-05-10"),
        "C39" => ("pea", "2025-03-15"),
        _ => return None,
    };
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    // Any climate will do: what a crop needs is asked, not when it is had.
    let (normals, _) = published("climate_normals.csv");
    let garden = station_garden(&normals, "Philadelphia PA (USA)", [FrostDay::Unknown; 2]);
    let policy = Policy::default();
    let sown = iso_day(sown)?;
    let climate = Climate::of(&garden).expect("twelve months");
    let days = days_from(&climate, &policy, sown);
    let crop = knowledge.crops.find(crop)?;
    let answer = season(knowledge, &policy, &days, crop, Kind::Plain, None, sown);
    let need = answer.needs.heat?.degree_days;
    let printed = knowledge.heat_sum(crop)?;
    let us = |dimension: Dimension, kept| dimension.shown_in(UnitSystem::Us).1.back(kept);
    let sum = printed.degree_days.high;
    // To the degree-day Celsius and the tenth of a degree to which the table keeps them.
    let mut checks = vec![
        check(us(Dimension::TemperatureSpread, sum), want[0], 1.0),
        check(us(Dimension::Temperature, printed.base_c), given[0], 0.1),
        // What the cultivars of the crop need, from early to late, holds the printed one.
        check(f64::from(u8::from(need.brackets(sum))), 1.0, 0.0),
    ];
    if let Some(upper) = printed.upper_c {
        checks.push(check(us(Dimension::Temperature, upper), given[1], 0.1));
    }
    Some(checks)
}

/// Trials of seed at constant soil temperatures, and the temperatures between which it germinates.
fn seed_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    let crop = |key: &str| knowledge.crops.find(key).expect("a crop");
    let days = |key: &str| {
        let emergence = knowledge.emergence(crop(key));
        let came_up = want.iter().zip(&given);
        let mut checks: Vec<Check> = came_up
            .map(|(want, soil)| {
                let days = rate_by_trials(&emergence, *soil).days();
                check(days.unwrap_or(f64::INFINITY), *want, 1e-9)
            })
            .collect();
        // What is printed after "none at" must not come up.
        for none in want.iter().skip(given.len()) {
            let rate = rate_by_trials(&emergence, *none);
            checks.push(check(f64::from(u8::from(rate == EmergenceRate::None)), 1.0, 0.0));
        }
        checks
    };
    let grow = |key: &str, soils: &[f64]| -> Vec<Check> {
        let emergence = knowledge.emergence(crop(key));
        let each = soils.iter().zip(&want);
        each.map(|(soil, want)| {
            let share = normal_share(&emergence, *soil);
            check(share.map_or(f64::INFINITY, |share| share * 100.0), *want, 1e-9)
        })
        .collect()
    };
    Some(match row.get("id") {
        "C53" => days("carrot"),
        "C54" => days("tomato"),
        "C55" => days("lettuce"),
        "C56" => days("pepper"),
        "C57" => days("snap_bean"),
        "C58" => days("onion"),
        "C59" => grow("spinach", &[0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0]),
        "C60" => grow("okra", &given),
        "C61" => ["carrot", "beet"]
            .iter()
            .zip(want.chunks_exact(3))
            .flat_map(|(key, want)| {
                let [base, optimum] = cardinal(knowledge, key);
                // At the printed ceiling nothing comes up any more.
                let above = rate_by_trials(&knowledge.emergence(crop(key)), want[2]).days();
                vec![
                    check(base, want[0], 1e-9),
                    check(optimum, want[1], 1e-9),
                    check(above.map_or(0.0, |_| 1.0), 0.0, 0.0),
                ]
            })
            .collect(),
        _ => return None,
    })
}

/// Least and best temperature of germination, from the source of the row.
fn cardinal(knowledge: &Knowledge, crop: &str) -> [f64; 2] {
    let row = knowledge
        .thermal_times()
        .iter()
        .filter(|row| &*row.crop == crop)
        .find(|row| row.citation.keys().any(|key| key.starts_with("goodger_2013")))
        .expect("the source's row");
    [row.base_c, row.optimum_c].map(|figure| figure.expect("a figure"))
}
