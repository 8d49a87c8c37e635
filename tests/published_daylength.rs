//! Lengths of days against three independent ephemerides, and against the day lengths printed in
//! FAO-56. Tables and sources: `fixtures/published/daylength_checks.csv`.

mod support;

use breakcrop::climate::sun::{daylength, daylength_fao56};
use breakcrop::season::iso_day;
use chrono::Datelike;
use support::published;

/// Seconds allowed for a sunrise-to-sunset length up to this latitude.
const SECONDS: f64 = 60.0;
const LATITUDE: f64 = 66.0;
/// Hours allowed for a cell of FAO-56 table 2.7.
const FAO_HOURS: f64 = 0.08;

#[test]
fn published_daylength() {
    let (rows, is_own) = published("daylength_checks.csv");
    let (mut agree, mut counted, mut worst) = (0, 0, 0.0_f64);
    let mut beyond = Vec::new();
    let (mut fao_agree, mut fao_counted) = (0, 0);
    for row in &rows {
        let (Some(latitude), Some(reference), Some(date)) =
            (row.number("lat"), row.number("daylength_h_reference"), iso_day(row.get("date")))
        else {
            panic!("a row without latitude, date or reference");
        };
        if row.get("definition").starts_with("fao56") {
            let ours = daylength_fao56(latitude, date.ordinal()).0;
            fao_counted += 1;
            fao_agree += usize::from((ours - reference).abs() <= FAO_HOURS);
            println!("fao56 lat={latitude} {date} table={reference} ours={ours:.3}");
            continue;
        }
        let ours = daylength(latitude, row.number("lon").unwrap_or(0.0), date).0;
        let off = (ours - reference) * 3600.0;
        println!(
            "sunrise lat={latitude} {date} {} reference={reference} ours={ours:.5} off={off:+.1} s",
            row.get("state")
        );
        if latitude.abs() <= LATITUDE {
            counted += 1;
            worst = worst.max(off.abs());
            agree += usize::from(off.abs() <= SECONDS);
        } else {
            beyond.push(off.abs());
        }
    }
    beyond.sort_by(f64::total_cmp);
    println!(
        "beyond {LATITUDE} degrees: {} rows, worst off by {:.0} s",
        beyond.len(),
        beyond.last().copied().unwrap_or(0.0)
    );
    println!("worst off up to {LATITUDE} degrees: {worst:.1} s");
    println!("published_daylength_fao56: {fao_agree}/{fao_counted}");
    println!("published_daylength: {agree}/{counted}");
    if is_own {
        assert_eq!(agree, counted, "rows further off than {SECONDS} s");
        assert_eq!(fao_agree, fao_counted, "FAO-56 cells further off than {FAO_HOURS} h");
    }
}
