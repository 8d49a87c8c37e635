//! `reference` answers for names in other languages, synonyms, codes and keys, and for the
//! questions of the graph.

mod support;

use std::path::Path;

use pretty_assertions::assert_eq;
use support::{Ran, run};

fn ask(words: &[&str]) -> Ran {
    let mut arguments = vec!["--json", "reference"];
    arguments.extend(words);
    run(Path::new(env!("CARGO_MANIFEST_DIR")), &arguments)
}

fn key(name: &str) -> String {
    let ran = ask(&[name]);
    let document: serde_json::Value =
        serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{name}: {}", ran.stderr));
    let one = if document.is_array() { &document[0] } else { &document };
    one["key"].as_str().unwrap_or_default().to_owned()
}

/// Names in other languages and synonyms, with the key each stands for.
#[test]
fn names_of_many_kinds_are_known() {
    for (name, wanted) in [
        ("courgette", "summer_squash"),
        ("aubergine", "eggplant"),
        ("rocket", "arugula"),
        ("coriander", "cilantro"),
        ("Swiss chard", "chard"),
        ("berenjena", "eggplant"),
        ("calabacín", "summer_squash"),
        ("lechuga", "lettuce"),
        ("cebolla", "onion"),
        ("ajo", "garlic"),
        ("beringela", "eggplant"),
        ("couve-flor", "cauliflower"),
        ("alface", "lettuce"),
        ("pomme de terre", "potato"),
        ("chou-fleur", "cauliflower"),
        ("haricot vert", "snap_bean"),
        ("poireau", "leek"),
        ("fraise", "strawberry"),
        ("Solanum lycopersicum", "tomato"),
        ("mangetout", "pea"),
        ("beetroot", "beet"),
        ("broad bean", "fava_bean"),
        ("club root", "plasmodiophora_brassicae"),
        ("Verticillium dahliae", "verticillium_dahliae"),
        ("VERTDA", "verticillium_dahliae"),
        ("LYPES", "tomato"),
        ("purple vetch", "purple_vetch"),
        ("wood ash", "wood_ash"),
        ("blossom end rot", "blossom_end_rot"),
        ("solarisation", "solarization"),
        ("NOP-DEF", "NOP-DEF"),
        ("Fol:0", "Fol:0"),
        ("ar_96023", "ar_96023"),
        ("neon_rotation_slides", "neon_rotation_slides"),
    ] {
        assert_eq!((name, key(name).as_str()), (name, wanted));
    }
}

#[test]
fn an_eppo_code_of_several_crops_finds_them_all() {
    let ran = ask(&["ZEAMX"]);
    for crop in ["field_corn", "popcorn", "sweet_corn"] {
        assert!(ran.stdout.contains(&format!("\"{crop}\"")), "{crop}: {}", ran.stdout);
    }
}

#[test]
fn every_figure_of_a_crop_is_printed_with_its_source() {
    let ran = run(Path::new("."), &["--width", "160", "reference", "crimson_clover"]);
    let begins = ran.stdout.find("\n figure").expect("a table of figures");
    let rows: Vec<&str> =
        ran.stdout[begins + 1..].lines().skip(1).take_while(|line| line.starts_with(' ')).collect();
    assert!(rows.len() > 15, "{}", ran.stdout);
    // A wrapped source goes on in the next line.
    let text = rows.join("\n");
    assert!(
        text.matches('[').count() > 15 && text.matches('[').count() == text.matches(']').count()
    );
    for field in ["winter kill ", " C ", "dry matter ", " t/ha "] {
        assert!(text.contains(field), "{field}: {text}");
    }
}

#[test]
fn crops_that_break_several_diseases_keep_none_of_them() {
    let ran = ask(&["breaks", "verticillium_dahliae", "plasmodiophora_brassicae"]);
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    let all: Vec<&str> = document["all"]
        .as_array()
        .expect("crops")
        .iter()
        .filter_map(|one| one["crop"].as_str())
        .collect();
    assert!(!all.is_empty());
    for host in ["tomato", "potato", "strawberry", "broccoli", "cabbage", "radish"] {
        assert!(!all.contains(&host), "{host} hosts one of them");
    }
}

#[test]
fn a_path_leads_from_a_wilt_to_a_strawberry_by_sourced_rows() {
    let ran = ask(&["path", "tomato", "verticillium", "strawberry"]);
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    let steps = document["steps"].as_array().expect("steps");
    let keys: Vec<&str> = steps.iter().filter_map(|step| step["key"].as_str()).collect();
    assert_eq!(keys, ["tomato", "verticillium_dahliae", "strawberry"]);
    assert!(
        steps[1..].iter().all(|step| step["sources"].as_array().is_some_and(|s| !s.is_empty()))
    );
}

#[test]
fn weeds_and_covers_carry_a_wilt_over() {
    let ran = ask(&["bridges", "verticillium_dahliae"]);
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    let plants: Vec<&str> = document["plants"]
        .as_array()
        .expect("plants")
        .iter()
        .filter_map(|one| one.as_str())
        .collect();
    assert!(plants.contains(&"black_nightshade"), "{plants:?}");
    assert!(plants.contains(&"hairy_vetch"), "{plants:?}");
    assert!(!plants.contains(&"tomato"), "a crop is no bridge");
}

#[test]
fn words_are_found_in_titles_and_names() {
    let ran = ask(&["find", "clubroot"]);
    for what in ["\"disease\"", "\"source\""] {
        assert!(ran.stdout.contains(what), "{what}: {}", ran.stdout);
    }
    let none = ask(&["xyzzyplugh"]);
    assert_eq!(none.code, 3);
    assert!(none.stderr.contains("know nothing named"), "{}", none.stderr);
}

#[test]
fn lists_and_coverage_print() {
    for list in
        ["crops", "covers", "pathogens", "materials", "rootstocks", "codes", "clauses", "sources"]
    {
        let ran = ask(&[list]);
        let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
        assert!(document.as_array().is_some_and(|rows| rows.len() > 20), "{list}");
    }
    let ran = ask(&["coverage"]);
    let document: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    for holding in document["holdings"].as_array().expect("holdings") {
        if let Some(least) = holding["least"].as_u64() {
            assert!(holding["count"].as_u64() >= Some(least), "{holding}");
        }
    }
}
