//! Metric and US units in and out: what is written in one comes back from the other with the digits
//! it was written in, and every page shows the units asked for.
#![expect(clippy::disallowed_methods, reason = "the test writes and reads files")]

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

/// What a page in US units must not show: a metric unit, but in words that a table prints as they
/// are (each told with its source, or with what a grower may see).
fn metric_left(page: &str) -> Vec<String> {
    const PRINTED: [&str; 4] = ["25-30 cm (10-12 in)", "kg N/ha", "kg N per ha", "MJ/m2"];
    let text = page.split_whitespace().collect::<Vec<_>>().join(" ");
    let text = PRINTED.iter().fold(text, |text, printed| text.replace(printed, ""));
    let words: Vec<&str> = text
        .split(' ')
        .map(|word| word.trim_matches(|sign: char| ",.;:()[]".contains(sign)))
        .collect();
    let is_number = |word: &str| word.parse::<f64>().is_ok();
    words
        .windows(2)
        .filter(|pair| {
            matches!(pair[1], "g/m2" | "m2" | "kg/m2" | "t/ha" | "kg/ha")
                || is_number(pair[0]) && matches!(pair[1], "g" | "kg" | "cm" | "mm" | "m" | "C")
        })
        .map(|pair| pair.join(" "))
        .collect()
}

/// Two beds, small enough that every page is quick, with something to say on each.
const SMALL: [(&str, &str); 8] = [
    ("site.csv", "name,latitude,longitude\nSmall,34,-118\n"),
    (
        "climate.csv",
        "month,tmin_c,tmax_c,rain_mm\n1,8.8,20,79\n2,9.6,20,96\n3,10.6,21,62\n4,12,23,23\n\
         5,14,24,7\n6,15.8,26,2\n7,17.6,28,0\n8,17.8,29,1\n9,17.3,28,6\n10,14.8,26,17\n\
         11,11.2,23,26\n12,8.6,20,59\n",
    ),
    (
        "beds.csv",
        "bed,kind,length_m,width_m,x_m,y_m,soil_depth_cm\nA,raised,2.4,1.2,0,0,60\n\
         B,raised,2.4,1.2,3,0,60\n",
    ),
    (
        "plantings.csv",
        "bed,section,crop,variety,method,planted,removed,plants,area_m2,row_spacing_cm,\
         plant_spacing_cm\n\
         A,,pepper,,transplanted,2026-04-18,,10,,60,45\n\
         B,east,tomato,small red,transplanted,2026-04-18,2026-09-20,3,1.4,,\n\
         B,west,tomato,large red,transplanted,2026-04-18,2026-09-20,3,1.4,,\n",
    ),
    (
        "observations.csv",
        "bed,section,date,crop,cause,symptom,extent,certainty\n\
         B,east,2026-08-10,tomato,verticillium_dahliae,,moderate,field_check\n",
    ),
    (
        "harvests.csv",
        "bed,section,date,crop,mass_kg\nB,east,2026-08-01,tomato,9\nB,west,2026-08-01,tomato,6\n",
    ),
    (
        "amendments.csv",
        "bed,section,date,material,mass_kg\nA,,2026-04-01,chicken_manure_pellets,2\n",
    ),
    ("wishes.csv", "crop,mass_kg,area_m2,month\nbroad bean,3,,spring\nlettuce,,1,4\n"),
];

const TODAY: [&str; 2] = ["--today", "2026-10-12"];

/// The small garden in a folder of its own.
fn small_garden() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for (name, text) in SMALL {
        fs::create_dir_all(folder.path().join("records")).expect("a folder");
        fs::write(folder.path().join("records").join(name), text).expect("writes");
    }
    let ran = run(folder.path(), &["-g", "small.breakcrop", "import", "records"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    folder
}

/// A page in the units asked for, wide enough that no unit is wrapped away from its number.
fn page(folder: &tempfile::TempDir, units: &str, arguments: &[&str]) -> String {
    let asked = ["--units", units, "--width", "200"];
    let ran = run(folder.path(), &[&TODAY, &asked[..], arguments].concat());
    assert!(ran.code <= 1, "{arguments:?}: {}", ran.stderr);
    ran.stdout
}

/// A page shows US units and nothing metric, the same in metric units nothing of the US, and JSON
/// does not change.
fn shown_in_both(folder: &tempfile::TempDir, arguments: &[&str], wanted: &[&str]) {
    let us = page(folder, "us", arguments);
    for wanted in wanted {
        assert!(us.contains(wanted), "{arguments:?} does not show {wanted}:\n{us}");
    }
    assert_eq!(metric_left(&us), Vec::<String>::new(), "{arguments:?}:\n{us}");
    let metric = page(folder, "metric", arguments);
    let left = [" lb", " oz", "ft2", " ft\n", " in "].iter().find(|unit| metric.contains(**unit));
    let left = left.filter(|unit| **unit != " in " || metric.contains("in deep"));
    assert_eq!(left, None, "{arguments:?} --units metric:\n{metric}");
    let json = |units| page(folder, units, &[arguments, &["--json"]].concat());
    assert_eq!(json("metric"), json("us"), "{arguments:?} --json");
}

#[test]
fn covers_speak_us_units() {
    let folder = small_garden();
    let ask = ["cover", "B/west", "--next", "potato"];
    shown_in_both(&folder, &ask, &["seed oz", "lb/1000 ft2", "ft2 by hand", " F", "in deep"]);
    let why = [&ask[..], &["--why", "bell bean"]].concat();
    shown_in_both(&folder, &why, &["in deep", "lb/1000 ft2 of dry matter", "winter kill 16 F"]);
}

#[test]
fn company_speaks_us_units_and_takes_spacings_in_them() {
    let folder = small_garden();
    let ask = ["intersow", "A", "--on", "2026-10-20", "--svg", "bed.svg"];
    let wanted = ["ft2 are free", "in kept free", "by 3.9 ft", "N oz", "in from the long side"];
    shown_in_both(&folder, &ask, &wanted);
    page(&folder, "us", &ask);
    let picture = fs::read_to_string(folder.path().join("bed.svg")).expect("the picture");
    assert!(picture.contains("the bed is 7.9 by 3.9 ft"), "{picture}");
    assert!(!picture.contains(" cm") && !picture.contains(" m<"), "{picture}");
    let corn = |rows, plants| {
        let what = ["intersow", "B/west", "--crop", "sweet_corn", "--planted", "2026-06-01"];
        let spaced = ["--json", "--row-spacing", rows, "--plant-spacing", plants];
        page(&folder, "us", &[&what[..], &spaced].concat())
    };
    assert_eq!(corn("76.2", "25.4"), corn("30in", "10 in"));
}

#[test]
fn plan_calendar_and_walk_sheet_speak_us_units() {
    let folder = small_garden();
    let plan = ["plan", "--months", "8", "--write", "plan.csv"];
    shown_in_both(&folder, &plan, &["ft2 of full crops", "6.6 lb", "11 ft2", "lb/1000 ft2)"]);
    let us = page(&folder, "us", &plan);
    let kept = fs::read_to_string(folder.path().join("plan.csv")).expect("the plan");
    page(&folder, "metric", &plan);
    let metric = fs::read_to_string(folder.path().join("plan.csv")).expect("the plan");
    assert_eq!(kept, metric, "the file of a plan names its units:\n{us}");
    shown_in_both(&folder, &["calendar", "--plan", "plan.csv"], &["Week of", " ft2, ", " plants"]);
    shown_in_both(&folder, &["walk", "--plan", "plan.csv"], &["Walk sheet"]);
}

#[test]
fn beds_and_years_speak_us_units() {
    let folder = small_garden();
    shown_in_both(&folder, &["bed", "A"], &["raised 7.9 by 3.9 ft"]);
    shown_in_both(&folder, &["trend", "--all"], &["N, lb/1000", "lb/ft2"]);
    let audit = ["audit", "--all", "--reasons"];
    shown_in_both(&folder, &audit, &["3.5 lb/1000 ft2 is the most of an organic holding"]);
}

/// The text of an HTML page without tags and style.
fn text_of(page: &str) -> String {
    let body = page.split_once("</style>").map_or(page, |(_, body)| body);
    body.split('<').filter_map(|part| part.split_once('>')).map(|(_, text)| text).fold(
        String::new(),
        |mut all, text| {
            all.push_str(text);
            all.push(' ');
            all
        },
    )
}

#[test]
fn figures_of_a_crop_speak_us_units() {
    let folder = small_garden();
    let ask = ["reference", "spinach"];
    let us = page(&folder, "us", &ask);
    for wanted in ["in row max", "4 in", "growth opt high", "65 F", "lb/1000 ft2", "lb/ft2"] {
        assert!(us.contains(wanted), "{wanted}:\n{us}");
    }
    let metric = page(&folder, "metric", &ask);
    assert!(metric.contains("10.2 cm") && metric.contains("18.3 C"), "{metric}");
    let json = |units| page(&folder, units, &[&ask[..], &["--json"]].concat());
    assert_eq!(json("metric"), json("us"));
}

#[test]
fn the_report_and_the_file_for_an_inspector_speak_us_units() {
    let folder = small_garden();
    for (units, wanted, other) in [
        ("us", ["lb/1000 ft2", "raised bed, 7.9 by 3.9 ft", ">3 ft<", "24 in of soil"], "g/m2"),
        ("metric", ["g/m2", "raised bed, 2.4 by 1.2 m", ">1 m<", "60 cm of soil"], "lb/1000 ft2"),
    ] {
        page(&folder, units, &["report"]);
        page(&folder, units, &["audit", "--evidence", "proofs"]);
        let read = |file| fs::read_to_string(folder.path().join(file)).expect("the file");
        let (report, proofs) = (read("report.html"), read("proofs/evidence.html"));
        for wanted in wanted {
            assert!(report.contains(wanted), "{units}: no {wanted}");
        }
        for page in [&report, &proofs] {
            assert!(!page.contains(other), "{units}: {other}");
            if units == "us" {
                assert_eq!(metric_left(&text_of(page)), Vec::<String>::new());
            }
        }
    }
}
