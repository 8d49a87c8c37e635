//! Frost dates from normals against counted ones, for the stations that stand in both
//! `climate_normals.csv` and `frost_dates.csv`. The spread of days is the assumed one.

mod support;

use breakcrop::climate::Climate;
use breakcrop::climate::frost::{Frost, FrostDate};
use breakcrop::climate::temperature::place_in_year;
use breakcrop::origin::Origin;
use breakcrop::policy::Policy;
use breakcrop::records::{ClimateMonth, Garden};
use breakcrop::season::iso_day;
use breakcrop::units::Celsius;
use support::{Row, published};

/// Days off that were met when the method was chosen, with the stations' own spread.
const MEDIAN_DAYS: i64 = 16;

fn garden(rows: &[Row], station: &str) -> Option<Garden> {
    let months: Vec<&Row> = rows.iter().filter(|row| row.get("station") == station).collect();
    (months.len() == 12).then(|| Garden {
        climate: months
            .iter()
            .zip(1..)
            .map(|(row, month)| ClimateMonth {
                month,
                tmin: Celsius(row.number("tmin_c").expect("a minimum")),
                tmax: Celsius(row.number("tmax_c").expect("a maximum")),
                rain: None,
                tmin_sd: None,
                origin: Origin::new("climate.csv", 2),
            })
            .collect(),
        ..Garden::default()
    })
}

/// Days from the counted date to ours; `None` if one of the two has no date.
fn off(ours: FrostDate, counted: &str) -> Option<i64> {
    let FrostDate::At(ours) = ours else { return None };
    let counted = place_in_year(iso_day(&format!("2024-{counted}"))?);
    let gap = (i64::try_from(ours).ok()? - i64::try_from(counted).ok()?).rem_euclid(366);
    Some(if gap > 183 { gap - 366 } else { gap })
}

#[test]
fn published_frost_dates() {
    let (normals, _) = published("climate_normals.csv");
    let (frosts, is_own) = published("frost_dates.csv");
    let policy = Policy::default();
    let (mut agree, mut counted) = (0, 0);
    for row in &frosts {
        let Some(garden) = garden(&normals, row.get("place")) else { continue };
        let climate = Climate::of(&garden).expect("twelve months");
        let frost = Frost::at(&climate, &policy);
        let threshold = row.number("threshold_c").unwrap_or(0.0);
        for (what, ours, column) in [
            ("last", frost.last(threshold, 0.5), "last_spring_frost_50pct"),
            ("first", frost.first(threshold, 0.5), "first_fall_frost_50pct"),
            ("last of one year in ten", frost.last(threshold, 0.1), "last_spring_frost_10pct_risk"),
            (
                "first of one year in ten",
                frost.first(threshold, 0.1),
                "first_fall_frost_10pct_risk",
            ),
        ] {
            let stated = row.get(column);
            let same = if stated.is_empty() {
                ours == FrostDate::NotSoOften
            } else {
                off(ours, stated).is_some_and(|days| days.abs() <= MEDIAN_DAYS)
            };
            counted += 1;
            agree += usize::from(same);
            println!(
                "{} {what} frost: counted {} off by {:?} days{}",
                row.get("place"),
                if stated.is_empty() { "none so often" } else { stated },
                off(ours, stated),
                if same { "" } else { "   <-- differs" }
            );
        }
    }
    println!("published_frost_dates: {agree}/{counted}");
    if is_own {
        assert!(counted >= 16, "{counted}");
        assert!(agree * 4 >= counted * 3, "only {agree} of {counted}");
    }
}
