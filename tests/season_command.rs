//! `season` from record files to answer: will a fruiting crop still ripen, and when is a crop
//! started here.

#![expect(clippy::disallowed_methods, reason = "the test writes record files")]

mod support;

use std::path::Path;

use support::{garden_folder, run};

/// The demo garden in a folder of its own.
fn garden(folder: &Path) {
    let records = garden_folder("gullcombe_terrace");
    let records = records.to_str().expect("a path");
    let ran = run(folder, &["-g", "g.breakcrop", "--today", "2026-10-12", "import", records]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}

fn asked(folder: &Path, arguments: &[&str]) -> serde_json::Value {
    let mut all = vec!["-g", "g.breakcrop", "--today", "2026-10-12", "--json", "season"];
    all.extend(arguments);
    let ran = run(folder, &all);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    serde_json::from_str(&ran.stdout).expect("JSON")
}

#[test]
fn a_tomato_set_out_in_october_does_not_ripen_and_the_answer_says_why() {
    let folder = tempfile::tempdir().expect("a folder");
    garden(folder.path());
    let large = asked(folder.path(), &["tomato", "--variety", "beefsteak", "--on", "2026-10-12"]);
    let small = asked(folder.path(), &["tomato", "--variety", "cherry", "--on", "2026-10-12"]);
    assert_eq!(large["fits"], false);
    assert_eq!(large["kind"], "large_fruited");
    let texts = |answer: &serde_json::Value, effect: &str| -> Vec<String> {
        answer["hazards"]
            .as_array()
            .expect("hazards")
            .iter()
            .filter(|hazard| hazard["effect"] == effect)
            .map(|hazard| hazard["text"].as_str().expect("text").to_owned())
            .collect()
    };
    let cold_set = |texts: &[String]| texts.iter().any(|text| text.contains("fruit to set"));
    assert!(cold_set(&texts(&large, "forbids")));
    assert!(!cold_set(&texts(&small, "forbids")), "small fruit sets in cooler nights");
    let ready = |answer: &serde_json::Value| {
        answer["first_harvest"]["likely"].as_str().expect("a day").to_owned()
    };
    assert!(ready(&small) < ready(&large));
    for hazard in large["hazards"].as_array().expect("hazards") {
        let named = !hazard["sources"].as_array().expect("sources").is_empty();
        assert!(named || hazard["how"].is_null(), "{hazard}");
    }
}

#[test]
fn a_standing_crop_is_asked_from_its_own_planting() {
    let folder = tempfile::tempdir().expect("a folder");
    garden(folder.path());
    let answer = asked(folder.path(), &["tomato", "--bed", "L1"]);
    let on = answer["on"].as_str().expect("a day");
    assert!(on < "2026-10-12", "the planting's day, not today: {on}");
    assert_eq!(answer["method"], "transplanted");
}

#[test]
fn frost_that_does_not_come_in_most_years_has_no_date() {
    let folder = tempfile::tempdir().expect("a folder");
    garden(folder.path());
    let answer = asked(folder.path(), &["lettuce"]);
    assert!(answer["last_frost"]["usual"].is_null());
    assert_eq!(answer["last_frost"]["basis"], "recorded");
    assert!(!answer["good_windows"].as_array().expect("windows").is_empty());
    let page =
        run(folder.path(), &["-g", "g.breakcrop", "--today", "2026-10-12", "season", "lettuce"]);
    assert!(page.stdout.contains("last frost none in most years"));
    assert!(page.stdout.lines().all(|line| line.chars().count() <= 80), "{}", page.stdout);
}

#[test]
fn without_a_climate_it_says_what_is_missing() {
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("records");
    std::fs::create_dir(&records).expect("a folder");
    let beds = "bed,kind,length_m,width_m\nbed,ground,6,1.2\n";
    std::fs::write(records.join("beds.csv"), beds).expect("writes");
    let imported = run(folder.path(), &["-g", "g.breakcrop", "import", "records"]);
    assert_eq!(imported.code, 0, "{}", imported.stderr);
    let ran = run(folder.path(), &["-g", "g.breakcrop", "season", "tomato"]);
    assert_eq!(ran.code, 3, "{}", ran.stderr);
    assert!(ran.stderr.contains("climate.csv"));
}

#[test]
fn in_a_warm_soil_it_says_how_little_spinach_grows() {
    let folder = tempfile::tempdir().expect("a folder");
    garden(folder.path());
    let share = |on| {
        let answer = asked(folder.path(), &["spinach", "--on", on]);
        let seedlings = &answer["seedlings"];
        let soil = seedlings["soil_c"].as_f64().expect("a temperature");
        (soil, seedlings["share"].as_f64().expect("a share"))
    };
    let ((warm, few), (cool, many)) = (share("2026-09-01"), share("2027-01-10"));
    // 82 % at 15 C, 52 % at 20 C, 28 % at 25 C, 32 % at 30 C (Harrington and Minges).
    assert!(warm > 20.0 && (0.28..0.52).contains(&few), "{few} at {warm} C");
    assert!((15.0..20.0).contains(&cool) && (0.52..0.82).contains(&many), "{many} at {cool} C");
    let set_out = asked(folder.path(), &["tomato", "--on", "2027-04-10"]);
    assert!(set_out["seedlings"].is_null(), "nothing is sown");
    let page = ["-g", "g.breakcrop", "season", "spinach", "--on", "2026-09-01"];
    let page = run(folder.path(), &page).stdout;
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.contains("of 100 good seeds grow"), "{page}");
}
