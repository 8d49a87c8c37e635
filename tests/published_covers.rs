//! Covers against what is published of them: growth at stations, nitrogen credits.

mod support;

use std::fmt::Write as _;

use breakcrop::climate::Climate;
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::Garden;
use breakcrop::season::{Date, add_days, iso_day};
use breakcrop::state::stand::{Days, Habit, Stand, stand};
use support::{garden_of, published};

/// A garden of nothing but the climate of a published station.
fn garden_at(knowledge: &Knowledge, station: &str) -> Garden {
    let months: Vec<_> =
        knowledge.climate_months().iter().filter(|row| &*row.station == station).collect();
    assert_eq!(months.len(), 12, "{station}");
    let mut climate = "month,tmin_c,tmax_c,rain_mm\n".to_owned();
    for row in &months {
        let rain = row.rain_mm.map(|rain| rain.to_string()).unwrap_or_default();
        writeln!(climate, "{},{},{},{rain}", row.month, row.low_c, row.high_c).expect("writes");
    }
    let site =
        format!("name,latitude,longitude\nx,{},{}\n", months[0].latitude, months[0].longitude);
    garden_of(knowledge, [("site.csv", site), ("climate.csv", climate)], station)
}

fn day(text: &str) -> Date {
    iso_day(text).unwrap_or_else(|| panic!("{text}"))
}

/// A stand, on what the soil gives it in nitrogen, or on all it wants.
fn stand_at(
    knowledge: &Knowledge,
    (station, cover): (&str, &str),
    (sown, cut): (Date, Date),
    soil_nitrogen: Option<Estimate>,
) -> Stand {
    let policy = Policy::default();
    let garden = garden_at(knowledge, station);
    let climate = Climate::of(&garden).expect("twelve months");
    let crop = knowledge.crops.find(cover).unwrap_or_else(|| panic!("{cover}"));
    let habit = Habit::of(knowledge, &policy, crop).unwrap_or_else(|| panic!("{cover}"));
    let days = Days::new(&climate, &policy, sown, 400);
    let cut = cut.max(add_days(sown, 1.0));
    stand(knowledge, &policy, &habit, &days, (sown, cut), soil_nitrogen).expect("light is known")
}

/// Dry matter by heat and light against stands that were weighed.
#[test]
fn growth_against_stands_that_were_weighed() {
    let knowledge = Knowledge::embedded();
    let (rows, is_own) = published("cover_growth.csv");
    let (mut overlap, mut within_two, mut total) = (0, 0, 0);
    for row in &rows {
        let (sown, cut) = (day(row.get("sown")), day(row.get("cut")));
        // What an unfertilised field gives over a winter is assumed, and stands in the table.
        let soil = row
            .number("soil_n_kg_ha_low")
            .zip(row.number("soil_n_kg_ha_high"))
            .map(|(low, high)| Estimate::between(low / 10.0, high / 10.0));
        let at = (row.get("station"), row.get("cover"));
        let ours = stand_at(&knowledge, at, (sown, cut), soil);
        let mass = ours.dry_matter.map(|grams| grams / 100.0);
        let low = row.number("dry_matter_t_ha_low").expect("low");
        let high = row.number("dry_matter_t_ha_high").expect("high");
        let meets = mass.low <= high && low <= mass.high;
        let middle = (low * high).sqrt();
        let near = (0.5..=2.0).contains(&(mass.likely / middle));
        total += 1;
        overlap += usize::from(meets);
        within_two += usize::from(near);
        println!(
            "{} {} at {}: printed {low} to {high}, ours {:.1} ({:.1} to {:.1}) t/ha; light {:.0} MJ, grown {:.2}, {:.1} % N{}{}",
            row.get("id"),
            row.get("cover"),
            row.get("station"),
            mass.likely,
            mass.low,
            mass.high,
            ours.light_mj.likely,
            ours.grown.likely,
            ours.nitrogen_percent.likely,
            if meets { "" } else { "   <-- apart" },
            if near { "" } else { "   <-- not within a factor of two" },
        );
    }
    println!(
        "cover_growth: ranges meet {overlap}/{total}, likely within a factor of two {within_two}/{total}"
    );
    if is_own {
        assert!(overlap * 10 >= total * 9, "{overlap}/{total}");
        assert!(within_two * 10 >= total * 8, "{within_two}/{total}");
    }
}
