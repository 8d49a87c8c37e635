//! What the books mean to a grower: legumes before hungry crops, phosphorus that is not piled up in
//! silence, findings of the audit, the `soil` command end to end.

#![expect(clippy::disallowed_methods, reason = "the test writes record files")]

mod support;

use std::fmt::Write as _;
use std::path::Path;

use breakcrop::estimate::Estimate;
use breakcrop::knowledge::Knowledge;
use pretty_assertions::assert_eq;
use serde_json::Value;
use support::{Ran, garden_folder, run};

const SITE: &str = "name,latitude,longitude\nsoil,44.6,-123.2\n";
const BEDS: &str = "bed,kind,length_m,width_m,records_from\nb,ground,5,2,2020-01-01\n";
const CLIMATE: &str = "month,tmin_c,tmax_c,rain_mm\n1,1,8,160\n2,1,10,120\n3,3,13,100\n4,4,16,70\n\
5,7,20,55\n6,10,23,35\n7,12,28,12\n8,12,28,15\n9,9,25,35\n10,5,18,80\n11,3,11,150\n12,1,8,170\n";

/// Runs a command on a garden of these files.
fn ask(files: &[(&str, &str)], today: &str, arguments: &[&str]) -> Ran {
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("records");
    std::fs::create_dir(&records).expect("a folder");
    let fixed = [("site", SITE), ("beds", BEDS), ("climate", CLIMATE)];
    for (name, text) in fixed.iter().chain(files) {
        std::fs::write(records.join(format!("{name}.csv")), text).expect("writes");
    }
    on(folder.path(), &records, today, arguments)
}

fn on(folder: &Path, records: &Path, today: &str, arguments: &[&str]) -> Ran {
    let records = records.to_str().expect("a path");
    let imported = run(folder, &["-g", "g.breakcrop", "--today", today, "import", records]);
    assert_eq!(imported.code, 0, "{}", imported.stderr);
    let mut all = vec!["-g", "g.breakcrop", "--today", today];
    all.extend(arguments);
    run(folder, &all)
}

fn json(ran: &Ran) -> Value {
    serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}{}", ran.stdout, ran.stderr))
}

/// The nutrient part of the yield of broccoli on a soil of so much organic matter and nitrate in
/// early spring, after a cover or after bare ground.
fn broccoli_after(cover: Option<&str>, organic_matter: f64, nitrate: f64) -> f64 {
    let mut plantings = "bed,crop,planted,removed,residue\n".to_owned();
    if let Some(cover) = cover {
        writeln!(plantings, "b,{cover},2024-09-15,2025-04-25,dug_in").expect("writes");
    }
    let tests = format!(
        "bed,date,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method,k_ppm\n\
         b,2025-04-20,{organic_matter},{nitrate},20,olsen,180\n"
    );
    let files = [("plantings", plantings.as_str()), ("soil_tests", tests.as_str())];
    let ran = ask(&files, "2025-05-10", &["--json", "soil", "b", "--crop", "broccoli"]);
    likely(&json(&ran)["feeding"]["yield_fraction"])
}

fn likely(value: &Value) -> f64 {
    value["likely"].as_f64().expect("a likely figure")
}

#[test]
fn a_legume_pays_where_nitrogen_is_short_and_not_where_it_is_plenty() {
    let worth = |organic_matter, nitrate| {
        broccoli_after(Some("hairy_vetch"), organic_matter, nitrate)
            / broccoli_after(None, organic_matter, nitrate)
    };
    let (poor, rich) = (worth(2.0, 6.0), worth(7.0, 150.0));
    println!("vetch before broccoli: poor soil {poor:.3}, rich soil {rich:.3}");
    // Trials: up to a fifth, more where nitrogen is short, nothing where it is plenty.
    assert!((1.05..=1.25).contains(&poor), "{poor}");
    assert!((rich - 1.0).abs() < 0.005, "{rich}");
    // A headed cereal before it does harm on the poor soil.
    let rye = broccoli_after(Some("cereal_rye"), 2.0, 6.0);
    assert!(rye < broccoli_after(Some("hairy_vetch"), 2.0, 6.0));
}

#[test]
fn a_shortfall_is_filled_in_grams_with_what_comes_along() {
    let tests = "bed,date,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method,k_ppm\n\
                 b,2025-05-01,3,8,60,olsen,180\n";
    let arguments = [
        "--json",
        "soil",
        "b",
        "--crop",
        "broccoli",
        "--material",
        "feather meal",
        "--material",
        "chicken_manure_compost",
    ];
    let document = json(&ask(&[("soil_tests", tests)], "2025-05-10", &arguments));
    assert_eq!(document["phosphorus_class"], "excessive");
    let feeding = &document["feeding"];
    assert!(likely(&feeding["p_to_replace_g_m2"]).abs() < 1e-12);
    let short = likely(&feeding["n_shortfall_g_m2"]);
    assert!(short > 3.0);
    let portions = feeding["portions"].as_array().expect("portions");
    let feather = &portions[0];
    assert_eq!(feather["material"], "feather_meal");
    assert_eq!(feather["advised"], true);
    // Grams by share of nitrogen by share set free.
    let grams = likely(&feather["g_m2"]);
    let free = likely(&feather["n_g_m2"]) * 0.6;
    assert!((free - short).abs() < 1e-6, "{grams} g give {free}, short {short}");
    assert!((feather["grams"].as_f64().expect("grams") - grams * 10.0).abs() < 1e-6);
    let compost = &portions[1];
    assert_eq!(compost["advised"], false);
    assert_eq!(compost["cautions"][0], "piles_up_phosphorus");
    assert!(likely(&compost["p_g_m2"]) > 3.0);
}

#[test]
fn without_a_test_the_range_is_wide_and_the_missing_record_is_named() {
    let assessed = json(&ask(&[], "2025-05-10", &["--json", "assess", "b", "broccoli"]));
    let reason = assessed["reasons"]
        .as_array()
        .expect("reasons")
        .iter()
        .find(|reason| reason["rule"] == "nutrient_supply")
        .expect("a nutrient reason");
    assert_eq!(reason["effect"], "yield_only");
    let missing = reason["evidence"]
        .as_array()
        .expect("evidence")
        .iter()
        .any(|leaf| leaf["kind"] == "missing" && leaf["text"] == "a soil test of this place");
    assert!(missing);
    assert_eq!(assessed["verdict"], "plant", "nutrients make no verdict");
    let range = &assessed["expected_yield"];
    let width = range["high"].as_f64().expect("high") - range["low"].as_f64().expect("low");
    assert!(width > 0.25, "{range}");
}

#[test]
fn covers_are_not_fed() {
    let ran = ask(&[], "2025-05-10", &["soil", "b", "--crop", "hairy vetch"]);
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert!(ran.stderr.contains("covers are not fed"), "{}", ran.stderr);
}

/// The rules that fire on a garden, with the text of each finding.
fn found(files: &[(&str, &str)], today: &str, rule: &str) -> Vec<String> {
    json(&ask(files, today, &["--json", "audit"]))["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .filter(|finding| finding["rule"] == rule)
        .map(|finding| finding["text"].as_str().expect("text").to_owned())
        .collect()
}

const TEST_HEAD: &str = "bed,date,organic_matter_percent,nitrate_n_ppm,p_ppm,p_method,k_ppm\n";

#[test]
fn nitrogen_before_winter_fires_and_stays_silent() {
    let rich = format!("{TEST_HEAD}b,2023-09-20,4,40,20,olsen,180\n");
    let poor = format!("{TEST_HEAD}b,2023-09-20,2,3,20,olsen,180\n");
    let rule = "nitrogen_before_winter";
    assert_eq!(found(&[("soil_tests", &rich)], "2024-08-01", rule).len(), 1);
    assert_eq!(found(&[("soil_tests", &poor)], "2024-08-01", rule), Vec::<String>::new());
    // While the winter lasts nothing is said of it.
    assert_eq!(found(&[("soil_tests", &rich)], "2024-01-15", rule), Vec::<String>::new());
}

#[test]
fn phosphorus_loading_fires_and_stays_silent() {
    let rule = "phosphorus_loading";
    let compost = "bed,date,material,mass_kg\nb,2023-03-01,chicken_manure_compost,60\n\
                   b,2024-03-01,chicken_manure_compost,60\n";
    let high = format!("{TEST_HEAD}b,2024-09-20,4,10,60,olsen,180\n");
    let low = format!("{TEST_HEAD}b,2024-09-20,4,10,12,olsen,180\n");
    let with =
        |test: &str| found(&[("amendments", compost), ("soil_tests", test)], "2025-01-10", rule);
    assert_eq!(with(&high).len(), 1);
    assert_eq!(with(&low), Vec::<String>::new());
    let meal = "bed,date,material,mass_kg\nb,2024-03-01,feather_meal,1\n";
    let files = [("amendments", meal), ("soil_tests", high.as_str())];
    assert_eq!(found(&files, "2025-01-10", rule), Vec::<String>::new());
}

#[test]
fn nitrogen_tie_up_fires_and_stays_silent() {
    let rule = "nitrogen_tie_up";
    let plantings = "bed,crop,planted,removed,residue\nb,broccoli,2024-05-10,2024-08-10,removed\n";
    let test = format!("{TEST_HEAD}b,2024-05-01,3,10,20,olsen,180\n");
    let with = |material: &str, kg: u32| {
        let amendments = format!("bed,date,material,mass_kg\nb,2024-05-05,{material},{kg}\n");
        let files = [
            ("plantings", plantings),
            ("soil_tests", test.as_str()),
            ("amendments", amendments.as_str()),
        ];
        found(&files, "2024-09-10", rule)
    };
    assert_eq!(with("wheat_straw", 60).len(), 1);
    assert_eq!(with("wheat_straw", 3), Vec::<String>::new());
    assert_eq!(with("feather_meal", 2), Vec::<String>::new());
}

#[test]
fn soil_tests_stale_and_contradicting() {
    let meal = "bed,date,material,mass_kg\nb,2024-03-01,feather_meal,1\n";
    let old = format!("{TEST_HEAD}b,2020-03-01,4,10,20,olsen,180\n");
    let stale = |files: &[(&str, &str)]| found(files, "2025-01-10", "soil_test_stale");
    assert_eq!(stale(&[("amendments", meal)]), ["fed, and never tested"]);
    assert_eq!(
        stale(&[("amendments", meal), ("soil_tests", &old)]),
        ["fed, and the last soil test is of 2020-03-01"]
    );
    let fresh = format!("{TEST_HEAD}b,2024-09-01,4,10,20,olsen,180\n");
    assert_eq!(stale(&[("amendments", meal), ("soil_tests", &fresh)]), Vec::<String>::new());

    let contradicts = |second: &str| {
        let tests = format!("{TEST_HEAD}b,2024-06-01,4,10,20,olsen,180\nb,2024-07-01,4,{second}\n");
        found(&[("soil_tests", &tests)], "2025-01-10", "soil_test_contradicts")
    };
    assert_eq!(contradicts("11,20,olsen,180"), Vec::<String>::new());
    assert_eq!(contradicts("95,20,olsen,180").len(), 1);
    assert_eq!(contradicts("11,55,olsen,180").len(), 1);
    assert_eq!(contradicts("11,55,bray1,180"), Vec::<String>::new());
}

/// Every rule of nutrients over every fixture garden: how often it speaks.
#[test]
fn nutrient_findings_of_the_gardens() {
    let mut table = Vec::new();
    for garden in ["gullcombe_terrace", "kestrel_hollow", "larchwater"] {
        let folder = tempfile::tempdir().expect("a folder");
        let arguments = ["--json", "audit"];
        let ran = on(folder.path(), &garden_folder(garden), "2026-10-12", &arguments);
        let findings = json(&ran)["findings"].as_array().expect("findings").clone();
        for rule in [
            "nitrogen_before_winter",
            "nitrogen_tie_up",
            "phosphorus_loading",
            "soil_test_contradicts",
            "soil_test_stale",
        ] {
            let count = findings.iter().filter(|finding| finding["rule"] == rule).count();
            table.push(format!("{garden} {rule} {count}"));
        }
    }
    insta::assert_snapshot!(table.join("\n"));
}

/// The page fits 80 columns and the JSON closes: opening by balance of the month before.
#[test]
fn the_books_of_a_garden_print_and_close() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = on(
        folder.path(),
        &garden_folder("gullcombe_terrace"),
        "2026-10-12",
        &["soil", "U3", "--crop", "broccoli", "--months", "6"],
    );
    assert_eq!(page.code, 0, "{}", page.stderr);
    for line in page.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    assert!(page.stdout.contains("NOT ADVISED"));
    let again =
        run(folder.path(), &["-g", "g.breakcrop", "--today", "2026-10-12", "--json", "soil", "U3"]);
    let document = json(&again);
    let months = document["months"].as_array().expect("months");
    assert_eq!(months.len(), 24);
    for pair in months.windows(2) {
        let nutrients = |month: &Value| month["nutrients"].as_array().expect("three").clone();
        for (before, after) in nutrients(&pair[0]).iter().zip(nutrients(&pair[1])) {
            let closing = likely(&before["balance_g_m2"]) + likely(&after["in_g_m2"])
                - likely(&after["out_g_m2"]);
            assert!((closing - likely(&after["balance_g_m2"])).abs() < 1e-9);
        }
    }
}

/// Every crop with a harvest has a need, or is listed as one that has none.
#[test]
fn most_crops_have_a_need() {
    let knowledge = Knowledge::embedded();
    let policy = breakcrop::policy::Policy::default();
    let grown = knowledge
        .crops
        .iter()
        .filter(|(_, crop)| matches!(crop.role, breakcrop::knowledge::Role::Cash));
    let (mut with, mut total) = (0, 0);
    for (id, _) in grown {
        total += 1;
        if let Some(need) = breakcrop::state::nutrients::need(&knowledge, &policy, id) {
            with += 1;
            let soil: Estimate = need.from_soil();
            assert!(soil.low >= 0.0 && soil.high < 60.0, "{soil:?}");
        }
    }
    println!("crops with a need: {with}/{total}");
    assert!(with >= 70, "{with}/{total}");
}
