//! The situations the tool is for, on the demo garden and through the binary: the verdict, and the
//! records and sources it rests on. Where they play: `NOTE.md` of the garden.
#![expect(clippy::disallowed_methods, reason = "the tests strike rows from copies of record files")]

mod support;

use std::fs;
use std::path::Path;

use pretty_assertions::assert_eq;
use serde_json::Value;
use support::{garden_folder, run};
use tempfile::TempDir;

const TODAY: &str = "2026-10-12";

/// The demo garden imported, some rows of its files struck out.
struct Terrace {
    folder: TempDir,
}

impl Terrace {
    fn whole() -> Self {
        Self::without(&[])
    }

    /// Struck rows leave their lines behind, so that all others keep their numbers.
    fn without(struck: &[(&str, usize)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let records = folder.path().join("records");
        fs::create_dir(&records).expect("a folder");
        for entry in fs::read_dir(garden_folder("gullcombe_terrace")).expect("the garden") {
            let path = entry.expect("a file").path();
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            if Path::new(&name).extension().is_none_or(|ending| ending != "csv") {
                continue;
            }
            let text = fs::read_to_string(&path).expect("reads");
            let kept: Vec<&str> = text
                .lines()
                .zip(1..)
                .map(|(row, line)| if struck.contains(&(&name, line)) { "# struck" } else { row })
                .collect();
            fs::write(records.join(&name), kept.join("\n") + "\n").expect("writes");
        }
        let ran = run(folder.path(), &["-g", "g.breakcrop", "--today", TODAY, "import", "records"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        Self { folder }
    }

    fn ask(&self, question: &[&str]) -> Value {
        let mut arguments = vec!["-g", "g.breakcrop", "--today", TODAY, "--json"];
        arguments.extend(question);
        let ran = run(self.folder.path(), &arguments);
        assert!(ran.code <= 1, "{question:?}: {}", ran.stderr);
        serde_json::from_str(&ran.stdout).expect("JSON")
    }

    fn assess(&self, bed: &str, crop: &str, on: &str, more: &[&str]) -> Value {
        let mut question = vec!["assess", bed, crop, "--on", on];
        question.extend(more);
        self.ask(&question)
    }
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key} in {value:#}"))
}

fn word<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("no word {key} in {value:#}"))
}

/// The reason of a rule whose words hold a text.
fn reason<'a>(answer: &'a Value, rule: &str, text: &str) -> &'a Value {
    list(answer, "reasons")
        .iter()
        .find(|reason| reason["rule"] == rule && word(reason, "text").contains(text))
        .unwrap_or_else(|| panic!("no {rule} with {text:?} in {answer:#}"))
}

/// The records of a reason, `file:line`.
fn records(reason: &Value) -> Vec<String> {
    list(reason, "evidence")
        .iter()
        .filter(|leaf| leaf["kind"] == "record")
        .map(|leaf| format!("{}:{}", word(leaf, "file"), leaf["line"]))
        .collect()
}

fn all_records(answer: &Value) -> Vec<String> {
    list(answer, "reasons").iter().flat_map(records).collect()
}

/// The keys of the sources of a reason.
fn sources(reason: &Value) -> Vec<&str> {
    list(reason, "evidence")
        .iter()
        .filter_map(|leaf| leaf["sources"].as_array())
        .flatten()
        .filter_map(Value::as_str)
        .collect()
}

fn texts(items: &[Value]) -> Vec<&str> {
    items.iter().map(|item| word(item, "text")).collect()
}

/// D1: tomatoes wilt in L1 and nobody knows why.
#[test]
fn a_wilt_of_unknown_cause() {
    let terrace = Terrace::whole();
    let diagnosis = terrace.ask(&["diagnose", "L1"]);
    let candidates = list(&diagnosis, "candidates");
    assert_eq!(candidates[0]["cause"], "verticillium_dahliae");
    assert!(candidates[0]["chance"].as_f64().expect("a number") > 0.3);
    let chances: Vec<f64> =
        candidates.iter().map(|one| one["chance"].as_f64().expect("a number")).collect();
    assert!(chances.is_sorted_by(|a, b| a >= b), "{chances:?}");
    let causes: Vec<&str> = candidates.iter().map(|one| word(one, "cause")).collect();
    assert!(causes.contains(&"fusarium_oxysporum_lycopersici"), "{causes:?}");
    assert!(
        candidates.iter().any(|one| one["stays_with_bed"] == false),
        "look-alikes that stay with no bed are weighed too"
    );
    let root_knot = candidates.iter().find(|one| one["cause"] == "meloidogyne_spp");
    assert!(
        root_knot.is_none_or(|one| one["chance"].as_f64().expect("a number") < 0.05),
        "no knots on the roots speaks against root-knot"
    );
    let checks = list(&diagnosis, "checks");
    let bits: Vec<f64> = checks.iter().map(|one| one["bits"].as_f64().expect("bits")).collect();
    assert!(bits.is_sorted_by(|a, b| a >= b) && bits[0] > 0.1, "{bits:?}");
    assert_eq!(checks[0]["cause"], "verticillium_dahliae");
    assert!(word(&checks[0], "field_check").contains("stem"));

    // Under the mixture a host of the likeliest cause waits; a crop that no cause takes does not.
    let pepper = terrace.assess("L1", "pepper", TODAY, &[]);
    assert_eq!(pepper["verdict"], "wait");
    let mixture = reason(&pepper, "unknown_disease", "pepper");
    assert_eq!(mixture["effect"], "wait");
    assert!(word(mixture, "until") > "2028");
    assert_eq!(records(mixture), ["observations.csv:9", "observations.csv:10"]);
    let told = texts(list(mixture, "evidence"));
    let says = |cause: &str, means: &str| {
        assert!(
            told.iter().any(|text| text.contains(cause) && text.contains(means)),
            "{cause}: {means} in {told:#?}"
        );
    };
    says("Verticillium wilt", "wait until");
    says("Fusarium wilt of tomato", "does not stand in the way");
    assert!(sources(mixture).contains(&"pnw_verticillium_wilt"), "{mixture:#}");
    assert!(
        list(mixture, "evidence").iter().any(|leaf| leaf["kind"] == "missing"),
        "the check that would tell most"
    );
    let tomato = terrace.assess("L1", "tomato", TODAY, &[]);
    let of_tomato = reason(&tomato, "unknown_disease", "tomato");
    let told = texts(list(of_tomato, "evidence"));
    assert!(
        told.iter().any(|text| text.contains("Fusarium wilt of tomato") && text.contains("wait")),
        "the same cause bars tomatoes: {told:#?}"
    );
    let corn = terrace.assess("L1", "sweet corn", TODAY, &[]);
    assert_ne!(corn["verdict"], "wait");
    assert_eq!(reason(&corn, "unknown_disease", "corn")["effect"], "allows");
}

/// D2: beds with a confirmed soil-borne disease: all crops ranked, with dates and a way out.
#[test]
fn a_confirmed_soil_borne_disease() {
    let terrace = Terrace::whole();
    let follows = terrace.ask(&["follow", "L2/east", "--all"]);
    let ranked = list(&follows, "ranked");
    assert!(ranked.len() > 150, "{} crops", ranked.len());
    let verdicts: Vec<&str> =
        ranked.iter().map(|one| word(&one["assessment"], "verdict")).collect();
    for verdict in ["plant", "care", "wait"] {
        assert!(verdicts.contains(&verdict), "no {verdict}");
    }
    for one in ranked {
        let answer = &one["assessment"];
        if answer["verdict"] == "wait" {
            let dated = answer["earliest"].as_str().is_some_and(|day| day > TODAY);
            assert!(dated || answer["clears_by_waiting"] == false, "{answer:#}");
        }
        for reason in list(answer, "reasons") {
            assert!(!list(reason, "evidence").is_empty(), "{reason:#}");
        }
    }
    // Verticillium: strawberries wait, after records and sources; broccoli does not.
    let strawberry = terrace.assess("L2/east", "strawberry", TODAY, &[]);
    assert_eq!(strawberry["verdict"], "wait");
    let why = reason(&strawberry, "host_after_disease", "Verticillium");
    let cited = records(why);
    for record in ["observations.csv:17", "plantings.csv:30", "treatments.csv:2"] {
        assert!(cited.iter().any(|one| one == record), "{record} in {cited:?}");
    }
    let from = sources(why);
    assert!(from.contains(&"pnw_verticillium_wilt"), "{from:?}");
    assert!(from.contains(&"pnw_strawberry_verticillium"), "{from:?}");
    let changes = list(&strawberry, "changes");
    assert!(changes.iter().all(|change| change["verdict"] != "wait"), "{changes:#?}");
    let words = texts(changes);
    assert!(words.iter().any(|text| text.contains("resistance")), "{words:?}");
    let later = word(&strawberry, "earliest").to_owned();
    assert!(words.iter().any(|text| text.contains(&later)), "{words:?}");
    assert_ne!(terrace.assess("L2/east", "strawberry", &later, &[])["verdict"], "wait");
    assert_ne!(terrace.assess("L2/east", "broccoli", TODAY, &[])["verdict"], "wait");
    // White rot, clubroot: hosts wait, others do not.
    let garlic = terrace.assess("L3", "garlic", TODAY, &[]);
    assert_eq!(garlic["verdict"], "wait");
    let why = reason(&garlic, "host_after_disease", "white rot");
    assert!(records(why).contains(&"observations.csv:22".to_owned()), "{why:#}");
    assert!(!sources(why).is_empty());
    assert!(
        all_records(&terrace.assess("L3", "spinach", TODAY, &[]))
            .contains(&"observations.csv:22".to_owned()),
        "the disease is shown for crops it does not take"
    );
    assert_ne!(terrace.assess("L3", "spinach", TODAY, &[])["verdict"], "wait");
    let cabbage = terrace.assess("L4", "cabbage", TODAY, &[]);
    assert_eq!(cabbage["verdict"], "wait");
    let why = reason(&cabbage, "host_after_disease", "clubroot");
    let cited = records(why);
    assert!(cited.contains(&"observations.csv:28".to_owned()), "{cited:?}");
    assert!(
        cited.contains(&"plantings.csv:58".to_owned()),
        "the mustard cover was the last host: {cited:?}"
    );
}

/// D6: grafted and ungrafted side by side; resistance changes the verdict, not the record.
#[test]
fn grafted_and_ungrafted() {
    let terrace = Terrace::whole();
    let on = "2027-05-01";
    let root_knot = "oot-knot";
    let plain = terrace.assess("M1/south", "tomato", on, &[]);
    assert_eq!(plain["verdict"], "wait");
    let why = reason(&plain, "host_after_disease", root_knot);
    let cited = records(why);
    assert!(cited.contains(&"observations.csv:38".to_owned()), "{cited:?}");
    let words = texts(list(&plain, "changes"));
    assert!(words.iter().any(|text| text.contains("resistance")), "{words:?}");
    assert!(words.iter().any(|text| text.contains("grafted on")), "{words:?}");
    for (more, source) in [
        (["--resistance", "Va Vd Fol:0 Ma Mi Mj"], "esa_2014_resistance_codes_tomato"),
        (["--rootstock", "interspecific tomato hybrid"], ""),
    ] {
        let answer = terrace.assess("M1/south", "tomato", on, &more);
        assert_eq!(answer["verdict"], "care", "{more:?}");
        let why = reason(&answer, "host_after_disease", root_knot);
        assert_eq!(why["effect"], "care");
        assert!(word(why, "text").contains("resistance"), "{why:#}");
        assert_eq!(records(why), cited, "the records are the same");
        assert!(source.is_empty() || sources(why).contains(&source), "{why:#}");
        let likely = |answer: &Value| answer["expected_yield"]["likely"].as_f64().expect("a yield");
        assert!(likely(&answer) > likely(&plain), "{more:?}");
        let low = answer["expected_yield"]["low"].as_f64().expect("a yield");
        assert!(low < 0.5, "against some species only: {low}");
    }
    // What resists another disease changes nothing.
    let other = terrace.assess("M1/south", "tomato", on, &["--resistance", "Fol:0"]);
    assert_eq!(other["verdict"], "wait");
    // The audit tells the two halves of 2025 apart.
    let audit = terrace.ask(&["audit", "--all"]);
    let too_soon: Vec<String> = list(&audit, "findings")
        .iter()
        .filter(|finding| finding["rule"] == "host_after_confirmed")
        .flat_map(records)
        .collect();
    assert!(too_soon.contains(&"plantings.csv:73".to_owned()), "{too_soon:?}");
    assert!(!too_soon.contains(&"plantings.csv:72".to_owned()), "{too_soon:?}");
}

/// D7: nightshade and self-sown tomatoes stand in a resting bed: the rest is no break.
#[test]
fn volunteers_in_a_resting_bed() {
    let terrace = Terrace::whole();
    let bed = terrace.ask(&["bed", "U2/middle"]);
    let place = &bed.as_array().expect("places")[0];
    let blight = list(place, "inocula")
        .iter()
        .find(|one| one["pathogen"] == "phytophthora_capsici")
        .expect("the blight is on record");
    assert_eq!(word(blight, "hostless_since"), TODAY, "a host stands today");
    let on = "2027-04-01";
    let pepper = terrace.assess("U2/middle", "pepper", on, &[]);
    assert_eq!(pepper["verdict"], "wait");
    assert!(word(&pepper, "earliest") >= "2029-04-01", "{pepper:#}");
    let why = reason(&pepper, "host_after_disease", "Phytophthora");
    assert_eq!(records(why), ["observations.csv:72", "plantings.csv:183"]);
    assert!(!sources(why).is_empty());
    let patch = terrace.assess("U2/patch", "pepper", on, &[]);
    let why = reason(&patch, "host_after_disease", "Phytophthora");
    assert!(records(why).contains(&"plantings.csv:182".to_owned()), "{why:#}");
    // Had they been pulled, the rest would have counted from the courgettes.
    let weeded = Terrace::without(&[
        ("plantings.csv", 181),
        ("plantings.csv", 182),
        ("plantings.csv", 183),
        ("observations.csv", 73),
    ]);
    let clean = weeded.assess("U2", "pepper", on, &[]);
    assert_ne!(clean["verdict"], "wait", "{clean:#}");
    let why = reason(&clean, "host_after_disease", "Phytophthora");
    assert!(records(why).contains(&"plantings.csv:180".to_owned()), "{why:#}");
}

/// D10: purple leaves, blossom-end rot, buttons and loose curds are no infections.
#[test]
fn disorders_lock_no_bed() {
    let disorders = [24, 49, 55, 63, 64, 66, 75, 76, 78, 81, 82];
    let terrace = Terrace::whole();
    let text = fs::read_to_string(garden_folder("gullcombe_terrace").join("observations.csv"))
        .expect("reads");
    let lines: Vec<&str> = text.lines().collect();
    for (line, cause) in [(75, "purpling"), (64, "blossom_end_rot"), (76, "buttoning")] {
        assert!(lines[line - 1].contains(cause), "{}", lines[line - 1]);
    }
    let struck: Vec<(&str, usize)> =
        disorders.iter().map(|line| ("observations.csv", *line)).collect();
    let without = Terrace::without(&struck);
    for bed in ["U3", "U1", "M4/north", "L3", "M3", "P3", "U4/east"] {
        let with = terrace.ask(&["follow", bed, "--all"]);
        assert_eq!(with, without.ask(&["follow", bed, "--all"]), "{bed}");
        for one in list(&with, "ranked") {
            for record in all_records(&one["assessment"]) {
                let line = record.strip_prefix("observations.csv:").map(str::to_owned);
                let line = line.and_then(|line| line.parse::<usize>().ok());
                assert!(line.is_none_or(|line| !disorders.contains(&line)), "{bed}: {record}");
            }
        }
    }
    // The crop itself may come again once its family's years are over.
    let tomato = terrace.assess("U3", "tomato", "2027-04-01", &[]);
    assert_eq!(tomato["verdict"], "plant", "{tomato:#}");
}

/// D12: a bed rests under wood chips with edible fungi; a trough got new soil.
#[test]
fn wood_chips_and_new_soil() {
    let terrace = Terrace::whole();
    let lettuce = terrace.assess("U5", "lettuce", "2027-03-01", &[]);
    let why = reason(&lettuce, "host_after_disease", "ettuce drop");
    let cited = records(why);
    assert_eq!(cited, ["observations.csv:88", "plantings.csv:220"], "the last host");
    assert!(!sources(why).is_empty());
    assert!(
        texts(list(why, "evidence")).iter().any(|text| text.contains("from 2025-01-04")),
        "fungi are no hosts: the years run on: {why:#}"
    );
    assert!(!all_records(&lettuce).contains(&"plantings.csv:223".to_owned()));
    // New soil: the wilt of the old is gone with it, and what came before is not known.
    let basil = terrace.assess("P1", "basil", "2027-04-15", &[]);
    assert_ne!(basil["verdict"], "wait", "{basil:#}");
    assert!(!all_records(&basil).contains(&"observations.csv:59".to_owned()));
    let unknown = reason(&basil, "history_unknown", "2024-09-07");
    assert_eq!(list(unknown, "evidence")[0]["kind"], "missing");
    let bed = terrace.ask(&["bed", "P1"]);
    let place = &bed.as_array().expect("places")[0];
    assert_eq!(place["known_from"], "2024-09-07");
    assert!(list(place, "inocula").is_empty(), "{place:#}");
    // In the old soil the same basil waits, for the wilt.
    let old = Terrace::without(&[("treatments.csv", 5)]);
    let basil = old.assess("P1", "basil", "2027-04-15", &[]);
    assert_eq!(basil["verdict"], "wait", "{basil:#}");
    let why = reason(&basil, "host_after_disease", "usarium wilt");
    assert!(records(why).contains(&"observations.csv:59".to_owned()), "{why:#}");
}
