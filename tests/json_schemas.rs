//! The JSON of every command, held against `schemas/json/`: which fields there are, of which kind,
//! which may be null. A field that is added, lost or turned shows here. `UPDATE=1` writes the schemas
//! anew from the answers on the fixture gardens; read the difference before it is kept.
#![expect(clippy::disallowed_methods, reason = "the test reads and writes the schemas")]

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Map, Value, json};
use support::{garden_folder, run};

/// A command's document, and the questions that show all of it.
const QUESTIONS: &[(&str, &[&[&str]])] = &[
    ("assess", &[&["assess", "L2/east", "strawberry"], &["assess", "M3", "potato"]]),
    ("audit", &[&["audit"]]),
    ("audit_rule", &[&["audit", "rule"]]),
    ("bed", &[&["bed", "L2/east"], &["bed", "L1"], &["bed", "M2"]]),
    ("beds", &[&["beds"]]),
    ("calendar", &[&["calendar", "--months", "3"]]),
    ("clauses", &[&["audit", "clauses"]]),
    ("completions", &[&["completions", "bash"]]),
    ("cover", &[&["cover", "M3", "--to", "2027-02-15", "--next", "potato"]]),
    ("demo", &[&["demo", "--file", "another.breakcrop"]]),
    ("diagnose", &[&["diagnose", "L1"]]),
    ("doctor", &[&["doctor"]]),
    ("export", &[&["export", "out"]]),
    ("follow", &[&["follow", "L1"]]),
    ("import", &[&["import", "GARDEN", "--dry-run"], &["import", "FAULTS", "--dry-run"]]),
    ("intersow", &[&["intersow", "M2"]]),
    ("man", &[&["man", "pages"]]),
    ("new", &[&["new", "mine"]]),
    ("plan", &[&["plan", "--months", "3"]]),
    ("policy", &[&["policy"]]),
    ("reference_breaks", &[&["reference", "breaks", "verticillium", "sclerotinia"]]),
    ("reference_bridges", &[&["reference", "bridges", "clubroot"]]),
    ("reference_code", &[&["reference", "codes"]]),
    ("reference_coverage", &[&["reference", "coverage"]]),
    ("reference_crop", &[&["reference", "courgette"]]),
    ("reference_found", &[&["reference", "find", "microsclerotia"]]),
    ("reference_lint", &[&["reference", "lint"]]),
    ("reference_material", &[&["reference", "feather_meal"]]),
    ("reference_pair", &[&["reference", "tomato", "strawberry"]]),
    ("reference_path", &[&["reference", "path", "tomato", "verticillium", "strawberry"]]),
    ("reference_pathogen", &[&["reference", "clubroot"]]),
    ("reference_source", &[&["reference", "pnw_verticillium_wilt"]]),
    ("replay", &[&["replay"]]),
    ("report", &[&["report"]]),
    (
        "season",
        &[
            &["season", "tomato", "--on", "2027-04-10"],
            &["season", "spinach", "--on", "2026-10-12"],
        ],
    ),
    ("soil", &[&["soil", "L4", "--crop", "broccoli", "--on", "2027-03-15"]]),
    ("trend", &[&["trend"]]),
    ("walk", &[&["walk"]]),
    // It adds to the records that the others speak of.
    ("record", &[&["record", "L1, tomato, unknown"]]),
];

/// Words that a field of this name may hold, where they are few and promised.
const WORDS: &[(&str, &[&str])] = &[
    ("verdict", &["plant", "care", "wait"]),
    ("confidence", &["low", "moderate", "high"]),
    ("severity", &["remark", "warning", "severe"]),
];

fn schema_path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas/json").join(format!("{name}.schema.json"))
}

fn is_day(text: &str) -> bool {
    breakcrop::season::iso_day(text).is_some()
}

fn kind_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(number) if number.is_f64() => "number",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}

/// What values seen at one place have in common. `field` is the name of the place.
fn schema_of(field: &str, values: &[&Value]) -> Value {
    let mut kinds: Vec<&str> = values.iter().map(|value| kind_of(value)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    if kinds.contains(&"number") {
        kinds.retain(|kind| *kind != "integer");
    }
    let mut schema = Map::new();
    match kinds.as_slice() {
        [] => return json!({}),
        [one] => schema.insert("type".into(), json!(one)),
        several => schema.insert("type".into(), json!(several)),
    };
    let texts: Vec<&str> = values.iter().filter_map(|value| value.as_str()).collect();
    if !texts.is_empty() {
        let words = WORDS.iter().find(|(name, _)| *name == field);
        if let Some((_, words)) = words {
            let mut words: Vec<Value> = words.iter().map(|word| json!(word)).collect();
            if kinds.contains(&"null") {
                words.push(Value::Null);
            }
            schema.insert("enum".into(), words.into());
        } else if texts.iter().all(|text| is_day(text)) {
            schema.insert("format".into(), json!("date"));
        }
    }
    let items: Vec<&Value> = values.iter().filter_map(|value| value.as_array()).flatten().collect();
    if kinds.contains(&"array") {
        schema.insert("items".into(), schema_of(field, &items));
    }
    let objects: Vec<&Map<String, Value>> =
        values.iter().filter_map(|value| value.as_object()).collect();
    if !objects.is_empty() {
        let mut fields: BTreeMap<&str, Vec<&Value>> = BTreeMap::new();
        for (name, value) in objects.iter().flat_map(|object| object.iter()) {
            fields.entry(name).or_default().push(value);
        }
        let required: Vec<&str> = fields
            .iter()
            .filter(|(_, seen)| seen.len() == objects.len())
            .map(|(name, _)| *name)
            .collect();
        let properties: Map<String, Value> =
            fields.iter().map(|(name, seen)| ((*name).to_owned(), schema_of(name, seen))).collect();
        schema.insert("properties".into(), properties.into());
        schema.insert("required".into(), json!(required));
        schema.insert("additionalProperties".into(), json!(false));
    }
    schema.into()
}

/// What is wrong with a value by a schema: the keywords that `schema_of` writes.
fn faults(value: &Value, schema: &Value, place: &str, found: &mut Vec<String>) {
    let kind = kind_of(value);
    let fits = |allowed: &Value| allowed == kind || (kind == "integer" && allowed == "number");
    match &schema["type"] {
        Value::Null => {}
        Value::Array(several) if several.iter().any(fits) => {}
        one if fits(one) => {}
        other => found.push(format!("{place}: {kind}, wanted {other}")),
    }
    if let Some(words) = schema["enum"].as_array()
        && !words.contains(value)
    {
        found.push(format!("{place}: {value} is none of {words:?}"));
    }
    if let (Some("date"), Some(text)) = (schema["format"].as_str(), value.as_str())
        && !is_day(text)
    {
        found.push(format!("{place}: {text} is no day"));
    }
    for (at, item) in value.as_array().into_iter().flatten().enumerate() {
        faults(item, &schema["items"], &format!("{place}[{at}]"), found);
    }
    let Some(object) = value.as_object() else { return };
    for name in schema["required"].as_array().into_iter().flatten() {
        let name = name.as_str().unwrap_or_default();
        if !object.contains_key(name) {
            found.push(format!("{place}.{name} is missing"));
        }
    }
    for (name, value) in object {
        let known = &schema["properties"][name];
        if known.is_null() && schema["additionalProperties"] == false {
            found.push(format!("{place}.{name} is not described"));
        } else {
            faults(value, known, &format!("{place}.{name}"), found);
        }
    }
}

/// The answers to a command's questions on the demo garden.
fn answers(folder: &Path, questions: &[&[&str]]) -> Vec<Value> {
    let garden = garden_folder("gullcombe_terrace").display().to_string();
    let faulty = garden_folder("../errors/twenty_faults").display().to_string();
    questions
        .iter()
        .map(|question| {
            let mut words = vec!["-g", "g.breakcrop", "--today", "2026-10-12", "--json"];
            words.extend(question.iter().map(|word| match *word {
                "GARDEN" => garden.as_str(),
                "FAULTS" => faulty.as_str(),
                word => word,
            }));
            let ran = run(folder, &words);
            serde_json::from_str(&ran.stdout)
                .unwrap_or_else(|error| panic!("{question:?}: {error}: {}", ran.stderr))
        })
        .collect()
}

#[test]
fn every_answer_fits_its_schema() {
    let folder = tempfile::tempdir().expect("a folder");
    let garden = garden_folder("gullcombe_terrace").display().to_string();
    let ran =
        run(folder.path(), &["-g", "g.breakcrop", "--today", "2026-10-12", "import", &garden]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let update = std::env::var_os("UPDATE").is_some();
    let mut found = Vec::new();
    for (name, questions) in QUESTIONS {
        let answers = answers(folder.path(), questions);
        let path = schema_path(name);
        if update {
            let mut schema = schema_of(name, &answers.iter().collect::<Vec<_>>());
            schema["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
            schema["title"] = json!(format!("breakcrop {} --json", questions[0][0]));
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            let text = serde_json::to_string_pretty(&schema).expect("JSON") + "\n";
            fs::write(&path, text).expect("the schema is written");
        }
        let text = fs::read_to_string(&path)
            .unwrap_or_else(|_| panic!("no schemas/json/{name}.schema.json; UPDATE=1 writes it"));
        let schema = serde_json::from_str(&text).expect("a schema");
        for answer in &answers {
            faults(answer, &schema, name, &mut found);
        }
    }
    found.truncate(20);
    assert!(found.is_empty(), "UPDATE=1 cargo test --test json_schemas renews them: {found:#?}");
}

#[test]
fn a_turned_lost_or_added_field_is_found() {
    let good = json!({ "verdict": "wait", "earliest": "2030-01-01", "items": [{ "a": 1 }] });
    let other = json!({ "verdict": "care", "earliest": null, "items": [] });
    let schema = schema_of("", &[&good, &other]);
    let wrong = |value: Value| {
        let mut found = Vec::new();
        faults(&value, &schema, "it", &mut found);
        found
    };
    assert!(wrong(good).is_empty() && wrong(other).is_empty());
    for value in [
        json!({ "verdict": "never", "earliest": null, "items": [] }),
        json!({ "verdict": "wait", "earliest": "soon", "items": [] }),
        json!({ "verdict": "wait", "earliest": 3, "items": [] }),
        json!({ "verdict": "wait", "items": [] }),
        json!({ "verdict": "wait", "earliest": null, "items": [{ "b": 1 }] }),
    ] {
        assert!(!wrong(value.clone()).is_empty(), "{value}");
    }
}
