//! Metric and US units in and out: what is written in one comes back from the other with the digits
//! it was written in.

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use breakcrop::records::RecordKind;
use breakcrop::tabular::Kind;
use breakcrop::units::{Dimension, UnitSystem, exact_digits};
use proptest::prelude::*;
use support::{garden_folder, run};

const DIMENSIONS: [Dimension; 8] = [
    Dimension::Length,
    Dimension::ShortLength,
    Dimension::Area,
    Dimension::Mass,
    Dimension::Volume,
    Dimension::Temperature,
    Dimension::TemperatureSpread,
    Dimension::Rain,
];

/// A number of up to six digits as people write it, with no zeros at its end.
fn written() -> impl Strategy<Value = String> {
    (-999_999_i64..=999_999, 0_u32..=4).prop_map(|(digits, places)| {
        exact_digits(digits as f64 / 10_f64.powi(places.cast_signed()))
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Every unit suffix of every quantity: read, kept, written back.
    #[test]
    fn what_is_written_in_a_unit_comes_back_in_it(text in written()) {
        let number: f64 = text.parse().expect("a number");
        for dimension in DIMENSIONS {
            for (suffix, conversion) in dimension.suffixes() {
                let back = exact_digits(conversion.back(conversion.apply(number)));
                prop_assert_eq!(&back, &text, "{:?} {}", dimension, suffix);
            }
        }
    }

    /// Written metric, given out in US units, read, given out metric.
    #[test]
    fn metric_through_us_and_back(text in written()) {
        let number: f64 = text.parse().expect("a number");
        for dimension in DIMENSIONS {
            let (_, metric) = dimension.shown_in(UnitSystem::Metric);
            let (suffix, us) = dimension.shown_in(UnitSystem::Us);
            let out = exact_digits(us.back(metric.apply(number)));
            let kept = us.apply(out.parse().expect("a number"));
            let places = text.split_once('.').map_or(0, |(_, places)| places.len());
            let back = round_to(metric.back(kept), places);
            prop_assert_eq!(&back, &text, "{:?} {}", dimension, suffix);
        }
    }
}

/// A number to so many places after the point.
fn round_to(number: f64, places: usize) -> String {
    let text = format!("{number:.places$}");
    if text.trim_matches(['-', '0', '.']).is_empty() { "0".to_owned() } else { text }
}

#[test]
fn every_quantity_of_the_record_files_has_both_systems() {
    let mut measured = 0;
    for kind in RecordKind::ALL {
        for column in kind.columns() {
            let Kind::Measured(dimension, ..) = column.kind else { continue };
            measured += 1;
            let (metric, us) =
                (dimension.shown_in(UnitSystem::Metric).0, dimension.shown_in(UnitSystem::Us).0);
            assert_ne!(metric, us, "{}", column.name);
            assert!(column.name.ends_with(metric), "{}", column.name);
        }
    }
    assert!(measured > 15, "{measured}");
}

/// Cells of a folder of record files by file, line and column.
fn cells(folder: &Path) -> BTreeMap<(String, usize, String), String> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).from_path(&path).expect("opens");
        let header = reader.headers().expect("a header").clone();
        for (line, record) in reader.records().enumerate() {
            for (column, cell) in header.iter().zip(&record.expect("a row")) {
                found.insert((name.clone(), line, column.to_owned()), cell.to_owned());
            }
        }
    }
    found
}

#[test]
fn a_garden_goes_out_in_feet_comes_in_and_goes_out_in_metres_as_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    let ok = |arguments: &[&str]| {
        let ran = run(folder.path(), arguments);
        assert_eq!(ran.code, 0, "{arguments:?}: {}", ran.stderr);
    };
    let records = folder.path().join("records");
    fs::create_dir(&records).expect("a folder");
    for entry in fs::read_dir(garden_folder("gullcombe_terrace")).expect("the garden") {
        let path = entry.expect("a file").path();
        if path.extension().is_some_and(|ending| ending == "csv") {
            fs::copy(&path, records.join(path.file_name().expect("a name"))).expect("copies");
        }
    }
    let today = ["--today", "2026-10-12"];
    ok(&[&today[..], &["-g", "one.breakcrop", "import", "records"]].concat());
    ok(&[&today[..], &["-g", "one.breakcrop", "export", "plain"]].concat());
    ok(&[&today[..], &["-g", "one.breakcrop", "export", "feet", "--units", "us"]].concat());
    ok(&[&today[..], &["-g", "two.breakcrop", "import", "feet"]].concat());
    ok(&[&today[..], &["-g", "two.breakcrop", "export", "metres", "--units", "metric"]].concat());
    let (plain, feet, metres) = (
        cells(&folder.path().join("plain")),
        cells(&folder.path().join("feet")),
        cells(&folder.path().join("metres")),
    );
    assert!(feet.keys().any(|(file, _, column)| file == "beds.csv" && column == "length_ft"));
    assert!(feet.keys().any(|(file, _, column)| file == "climate.csv" && column == "tmin_f"));
    assert!(feet.keys().any(|(file, _, column)| file == "harvests.csv" && column == "mass_lb"));
    assert_eq!(plain.len(), metres.len());
    for (place, cell) in &plain {
        let back = &metres[place];
        match (cell.parse::<f64>(), back.parse::<f64>()) {
            (Ok(was), Ok(is)) => assert_eq!(round_to(was, 7), round_to(is, 7), "{place:?}"),
            _ => assert_eq!(cell, back, "{place:?}"),
        }
    }
}

#[test]
fn pages_show_the_units_asked_for_and_json_keeps_metric() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = run(folder.path(), &["demo"]);
    assert_eq!(demo.code, 0, "{}", demo.stderr);
    let ask = |arguments: &[&str]| {
        let ran = run(folder.path(), &[&["--today", "2026-10-12"], arguments].concat());
        assert_eq!(ran.code, 0, "{arguments:?}: {}", ran.stderr);
        ran.stdout
    };
    let soil = ["soil", "L4", "--crop", "broccoli", "--on", "2027-03-15"];
    let us = ask(&[&soil[..], &["--units", "us"]].concat());
    assert!(us.contains("lb/1000 ft2") && !us.contains("g/m2"), "{us}");
    let season = ["season", "tomato", "--on", "2026-10-12"];
    let us = ask(&[&season[..], &["--units", "us"]].concat());
    assert!(us.contains(" F") && !us.contains(" C,") && !us.contains(" C:"), "{us}");
    let plain = ask(&[&season[..], &["--json"]].concat());
    assert_eq!(plain, ask(&[&season[..], &["--json", "--units", "us"]].concat()));
}
