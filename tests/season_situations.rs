//! The season in whole questions: record files in, the binary's JSON out. The sites are invented
//! gardens on published climates (`fixtures/published/climate_normals.csv`).
#![expect(clippy::disallowed_methods, reason = "the tests write record files")]

mod support;

use std::fmt::Write as _;
use std::fs;

use pretty_assertions::assert_eq;
use serde_json::Value;
use support::{published, run};
use tempfile::TempDir;

const TODAY: &str = "2026-10-12";

/// A garden of one bed on a station's climate; without a station it has no climate on record.
struct Plot {
    folder: TempDir,
}

impl Plot {
    fn on(station: Option<&str>, files: &[(&str, &str)]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let records = folder.path().join("records");
        fs::create_dir(&records).expect("a folder");
        let write = |name: &str, text: &str| fs::write(records.join(name), text).expect("writes");
        write("beds.csv", "bed,kind,length_m,width_m\nB1,ground,5,1\n");
        write("plantings.csv", "bed,crop,planted,removed\nB1,phacelia,2020-03-01,2020-05-01\n");
        let mut latitude = "50";
        let (rows, _) = published("climate_normals.csv");
        if let Some(station) = station {
            let mut text = "month,tmin_c,tmax_c,rain_mm\n".to_owned();
            for row in rows.iter().filter(|row| row.get("station") == station) {
                latitude = row.get("lat");
                let month: Vec<&str> =
                    ["month", "tmin_c", "tmax_c", "precip_mm"].map(|name| row.get(name)).to_vec();
                writeln!(text, "{}", month.join(",")).expect("text");
            }
            assert_eq!(text.lines().count(), 13, "{station}");
            write("climate.csv", &text);
        }
        write("site.csv", &format!("name,latitude,longitude\nThe Plot,{latitude},0\n"));
        for (name, text) in files {
            write(name, text);
        }
        let ran = run(folder.path(), &["-g", "g.breakcrop", "--today", TODAY, "import", "records"]);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        Self { folder }
    }

    fn print_on(&self, today: &str, question: &[&str]) -> String {
        let mut arguments = vec!["-g", "g.breakcrop", "--today", today];
        arguments.extend(question);
        let ran = run(self.folder.path(), &arguments);
        assert!(ran.code <= 1, "{question:?}: {}", ran.stderr);
        ran.stdout
    }

    fn ask_on(&self, today: &str, question: &[&str]) -> Value {
        let mut question = question.to_vec();
        question.push("--json");
        serde_json::from_str(&self.print_on(today, &question)).expect("JSON")
    }

    fn ask(&self, question: &[&str]) -> Value {
        self.ask_on(TODAY, question)
    }

    fn assess(&self, crop: &str, on: &str, more: &[&str]) -> Value {
        let mut question = vec!["assess", "B1", crop, "--on", on];
        question.extend(more);
        self.ask(&question)
    }
}

fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    value[key].as_array().unwrap_or_else(|| panic!("no list {key} in {value:#}"))
}

fn season(answer: &Value) -> &Value {
    let mut found = list(answer, "reasons").iter().filter(|reason| reason["rule"] == "season");
    let reason = found.next().unwrap_or_else(|| panic!("no season in {answer:#}"));
    assert!(found.next().is_none(), "the season is said once");
    reason
}

fn text(reason: &Value) -> &str {
    reason["text"].as_str().expect("words")
}

/// Whether a leaf of the reason holds a text, with a source of its own.
fn sourced(reason: &Value, words: &str) -> bool {
    list(reason, "evidence").iter().any(|leaf| {
        leaf["text"].as_str().is_some_and(|text| text.contains(words))
            && leaf["sources"].as_array().is_some_and(|sources| !sources.is_empty())
    })
}

fn likely(answer: &Value) -> f64 {
    answer["expected_yield"]["likely"].as_f64().expect("a number")
}

fn high(answer: &Value) -> f64 {
    answer["expected_yield"]["high"].as_f64().expect("a number")
}

const COOL_COAST: &str = "San Francisco Intl AP CA (USA) TMY3";
const BRUSSELS: &str = "Brussels (Belgium)";

#[test]
fn a_tomato_started_in_autumn_waits_until_its_season_opens() {
    let plot = Plot::on(Some(BRUSSELS), &[]);
    let answer = plot.assess("tomato", "2026-10-12", &["--method", "transplanted"]);
    assert_eq!(answer["verdict"], "wait");
    let reason = season(&answer);
    assert_eq!(reason["effect"], "wait");
    assert!(text(reason).contains("out of season"), "{reason:#}");
    assert!(sourced(reason, "killed by cold before the first harvest"), "{reason:#}");
    assert!(likely(&answer) < 0.05);
    let opens = answer["earliest"].as_str().expect("a day");
    assert_eq!(reason["until"], opens);
    assert!(("2027-04-01".."2027-07-01").contains(&opens), "{opens}");
    assert!(text(reason).contains("no day suits it fully here"), "a poor site: {reason:#}");
    let then = plot.assess("tomato", opens, &["--method", "transplanted"]);
    assert_ne!(then["verdict"], "wait", "{then:#}");
    // It is the best of years that leaves a crop there.
    assert!(high(&then) > 0.1 && high(&answer) < 0.001, "{then:#}{answer:#}");
    let changes = list(&answer, "changes");
    assert!(
        changes.iter().any(|change| change["text"].as_str().is_some_and(|t| t.contains(opens)))
    );
}

#[test]
fn short_days_and_cool_nights_part_small_fruit_from_large() {
    let plot = Plot::on(Some(COOL_COAST), &[]);
    let of = |words: &str, on: &str| {
        plot.assess("tomato", on, &["--method", "transplanted", "--variety", words])
    };
    // Set out so that it ripens into the short days of autumn.
    let (small, large) = (of("red cherry", "2026-08-01"), of("beefsteak", "2026-08-01"));
    assert_eq!((&small["verdict"], &large["verdict"]), (&"care".into(), &"wait".into()));
    assert!(likely(&small) > likely(&large));
    assert!(high(&small) > 2.0 * high(&large), "{small:#}{large:#}");
    assert!(sourced(season(&large), "little light"), "{large:#}");
    assert!(!sourced(season(&small), "little light"), "{small:#}");
    // Late enough, neither ripens, and the answer says what forbids it.
    for late in [of("red cherry", "2026-10-20"), of("beefsteak", "2026-10-20")] {
        assert_eq!(late["verdict"], "wait");
        assert!(text(season(&late)).contains("out of season"), "{late:#}");
    }
}

#[test]
fn what_no_day_of_the_year_ripens_is_said_so() {
    let plot = Plot::on(Some(BRUSSELS), &[]);
    let batata = plot.assess("sweet potato", "2026-06-01", &[]);
    assert_eq!(batata["verdict"], "wait");
    assert_eq!(batata["clears_by_waiting"], false);
    assert_eq!(batata["earliest"], Value::Null);
    assert!(text(season(&batata)).contains("no day of the year suits it"), "{batata:#}");
}

#[test]
fn without_a_climate_the_season_is_unknown_and_weighs_nothing() {
    let (with, without) = (Plot::on(Some(BRUSSELS), &[]), Plot::on(None, &[]));
    let ask = |plot: &Plot| plot.assess("kale", "2026-06-01", &["--method", "transplanted"]);
    let (known, unknown) = (ask(&with), ask(&without));
    assert_eq!(season(&unknown)["effect"], "unknown");
    assert!(list(season(&unknown), "evidence").iter().any(|leaf| leaf["kind"] == "missing"));
    assert_eq!(unknown["verdict"], "plant");
    assert_eq!(known["confidence"], unknown["confidence"], "not knowing the season bars nothing");
    assert_eq!(season(&known)["effect"], "yield_only");
}

#[test]
fn a_ranking_leaves_out_what_does_not_ripen_and_ranks_the_rest_by_yield() {
    let plot = Plot::on(Some(BRUSSELS), &[]);
    let follows = plot.ask(&["follow", "B1", "--from", "2026-10-12"]);
    let ranked = list(&follows, "ranked");
    let place = |crop: &str| {
        ranked
            .iter()
            .position(|one| one["assessment"]["crop"] == crop)
            .unwrap_or_else(|| panic!("no {crop}"))
    };
    assert!(place("garlic") < place("tomato"));
    assert!(place("garlic") < place("cucumber"));
    let order = |one: &Value| match one["assessment"]["verdict"].as_str() {
        Some("plant") => 0,
        Some("care") => 1,
        _ => 2,
    };
    assert!(ranked.iter().filter(|one| one["season"] == "fits").map(order).is_sorted());
    let plant: Vec<f64> =
        ranked.iter().filter(|one| order(one) == 0).map(|one| likely(&one["assessment"])).collect();
    assert!(plant.len() > 3);
    assert!(plant.is_sorted_by(|a, b| a >= b), "{plant:?}");
}

/// A mild coast: what the terrace of the demo stands on.
const MILD_COAST: &str = "Los Angeles downtown CA (USA)";

const PLANTINGS: &str = "bed,crop,planted,removed,method\n\
    B1,broccoli,2026-09-05,,transplanted\n\
    B2,fava bean,2026-11-10,2027-03-20,sown\n\
    B3,broccoli,2026-09-05,,transplanted\n";
const BEDS: &str = "bed,kind,length_m,width_m\nB1,ground,5,1\nB2,ground,5,1\nB3,ground,5,1\n";
const HARVESTS: &str = "bed,date,crop,mass_kg\n\
    B1,2026-12-01,broccoli,2.1\n\
    B1,2027-01-20,broccoli,0.6\n\
    B1,2027-03-05,broccoli,0.4\n";

#[test]
fn a_brassica_that_keeps_giving_holds_the_bed_until_heat_ends_it() {
    let files = [("beds.csv", BEDS), ("plantings.csv", PLANTINGS), ("harvests.csv", HARVESTS)];
    let plot = Plot::on(Some(MILD_COAST), &files);
    let follow = |bed: &str, today: &str| plot.ask_on(today, &["follow", bed]);
    let giving = follow("B1", "2027-03-10");
    let standing = &list(&giving, "standing")[0];
    assert_eq!(standing["crop"], "broccoli");
    assert_eq!(standing["last_picked"], "2027-03-05");
    assert_eq!(standing["ends"], "heat");
    assert_eq!(standing["records"], serde_json::json!(["plantings.csv:2", "harvests.csv:4"]));
    // Past its usual days by months, and not free before the warm season.
    let usual = plot.ask(&["season", "broccoli", "--on", "2026-09-05", "--method", "transplanted"]);
    let until = standing["until"].as_str().expect("a day");
    assert!(usual["last_harvest"].as_str().expect("a day") < "2027-03-01", "{usual:#}");
    assert!(("2027-03-15".."2027-10-01").contains(&until), "{until}");
    assert_eq!(giving["from"], until, "follow-ons are judged for the real free day");
    let tomato = list(&giving, "ranked")
        .iter()
        .find(|one| one["assessment"]["crop"] == "tomato")
        .expect("a tomato");
    assert_eq!(tomato["assessment"]["on"], until);
    // The same crop, nothing picked: its usual days are over and the bed is free at once.
    let idle = follow("B3", "2027-03-10");
    assert_eq!(list(&idle, "standing")[0]["ends"], "over");
    assert_eq!(idle["from"], "2027-03-10");
    // On the terminal the line says so, with the records.
    let page = plot.print_on("2027-03-10", &["follow", "B1"]);
    assert!(page.contains("heat ends it") && page.contains("harvests.csv:4"), "{page}");
}

#[test]
fn a_legume_cleared_early_frees_its_bed_from_that_day() {
    let files = [("beds.csv", BEDS), ("plantings.csv", PLANTINGS), ("harvests.csv", HARVESTS)];
    let plot = Plot::on(Some(MILD_COAST), &files);
    let usual = plot.ask(&["season", "fava bean", "--on", "2026-11-10", "--method", "sown"]);
    assert!(usual["last_harvest"].as_str().expect("a day") > "2027-03-20", "{usual:#}");
    let before = plot.ask_on("2027-03-10", &["follow", "B2"]);
    let standing = &list(&before, "standing")[0];
    assert_eq!((&standing["ends"], &standing["until"]), (&"cleared".into(), &"2027-03-20".into()));
    assert_eq!(before["from"], "2027-03-20");
    let free = plot.ask_on("2027-03-21", &["follow", "B2"]);
    assert!(list(&free, "standing").is_empty());
    assert_eq!(free["from"], "2027-03-21");
    let after = list(&free, "ranked")
        .iter()
        .flat_map(|one| list(&one["assessment"], "reasons"))
        .flat_map(|reason| list(reason, "evidence"))
        .any(|leaf| leaf["text"].as_str().is_some_and(|text| text.contains("to 2027-03-20")));
    assert!(after, "the follow-ons know the day on which it was cleared");
}

/// Tubers and cloves are planted, whatever word is given for it: no weeks of a nursery are taken off
/// their days, and the answer has one word for the start. A tomato has two ways.
#[test]
fn pieces_are_planted_in_one_way() {
    let plot = Plot::on(Some("Los Angeles downtown CA (USA)"), &[]);
    let season = |crop: &str, method: &str| {
        plot.ask(&["season", crop, "--on", "2027-02-15", "--method", method])
    };
    for crop in ["potato", "garlic"] {
        let (sown, planted) = (season(crop, "sown"), season(crop, "transplanted"));
        assert_eq!(sown, planted, "{crop}");
        assert_eq!(planted["method"], "transplanted");
    }
    let (sown, set_out) = (season("tomato", "sown"), season("tomato", "transplanted"));
    let first = |answer: &Value| answer["first_harvest"]["likely"].as_str().map(str::to_owned);
    assert!(first(&sown) > first(&set_out), "{sown} {set_out}");
}
