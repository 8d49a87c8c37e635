//! A grower's or adviser's own tables, laid over the built-in ones.

#![expect(clippy::disallowed_methods, reason = "the test writes tables and record files")]

mod support;

use std::path::Path;

use breakcrop::knowledge::{HostStatus, Knowledge, Tables};
use pretty_assertions::assert_eq;
use support::{run, run_with};

const SOURCES: &str = "key,title,year\nown_trial_2024,Our trial of covers,2024\n";
const HOSTS: &str = "pathogen,crop,status,basis,note,source,how\n\
    verticillium_dahliae,onion,host,field,stunted in our wilt bed,own_trial_2024,read\n";

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("writes");
}

/// A garden with a wilt on record, and a folder of own tables.
fn garden(own: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("records");
    std::fs::create_dir(&records).expect("a folder");
    write(
        &records,
        "beds.csv",
        "bed,kind,length_m,width_m,records_from\nb1,ground,6,1.2,2000-01-01\n",
    );
    write(&records, "plantings.csv", "bed,crop,planted,removed\nb1,tomato,2025-05-01,2025-10-01\n");
    write(
        &records,
        "observations.csv",
        "bed,date,crop,cause,extent,certainty\n\
         b1,2025-08-20,tomato,verticillium_dahliae,severe,laboratory\n",
    );
    let tables = folder.path().join("advice");
    std::fs::create_dir(&tables).expect("a folder");
    for (name, text) in own {
        write(&tables, name, text);
    }
    let imported =
        run(folder.path(), &["-g", "g.breakcrop", "--today", "2026-04-01", "import", "records"]);
    assert_eq!(imported.code, 0, "{}", imported.stderr);
    folder
}

fn verdict(folder: &Path, tables: &[&str]) -> (String, String) {
    let mut arguments = vec!["-g", "g.breakcrop", "--today", "2026-04-01", "--json"];
    arguments.extend(tables);
    arguments.extend(["assess", "b1", "onion", "--on", "2026-05-15"]);
    let asked = run(folder, &arguments);
    let document: serde_json::Value =
        serde_json::from_str(&asked.stdout).unwrap_or_else(|_| panic!("{}", asked.stderr));
    (document["verdict"].as_str().unwrap_or_default().to_owned(), asked.stdout)
}

#[test]
fn an_own_host_row_changes_a_verdict_and_is_cited() {
    let folder = garden(&[("sources.csv", SOURCES), ("hosts.csv", HOSTS)]);
    let (built_in, _) = verdict(folder.path(), &[]);
    let (own, text) = verdict(folder.path(), &["--tables", "advice"]);
    assert_eq!((built_in.as_str(), own.as_str()), ("plant", "wait"));
    assert!(text.contains("own_trial_2024"), "the reason names the own source: {text}");
    let asked = run(
        folder.path(),
        &["--tables", "advice", "--width", "200", "reference", "verticillium_dahliae"],
    );
    assert!(
        asked.stdout.contains("stunted in our wilt bed [own_trial_2024; advice/hosts.csv:2]"),
        "{}",
        asked.stdout
    );
}

#[test]
fn the_environment_names_the_folder_too() {
    let folder = garden(&[("sources.csv", SOURCES), ("hosts.csv", HOSTS)]);
    let asked = run_with(
        folder.path(),
        &[("BREAKCROP_TABLES", "advice")],
        &["reference", "own_trial_2024"],
    );
    let text = asked.stdout;
    assert!(text.contains("own_trial_2024"), "{text}");
    assert!(text.contains("cited in hosts.csv (1 row)"), "{text}");
}

#[test]
fn broken_own_tables_stop_the_run_with_located_messages() {
    let broken = "pathogen,crop,status,basis,note,source,how\n\
        verticillium_dahliae,onionn,host,field,,own_trial_2024,read\n\
        verticillium_dahliae,okra,hoste,field,,own_trial_2024,read\n\
        verticillium_dahliae,leek,host,field,,no_such_trial,read\n";
    let folder = garden(&[("sources.csv", SOURCES), ("hosts.csv", broken)]);
    let asked =
        run(folder.path(), &["-g", "g.breakcrop", "--tables", "advice", "assess", "b1", "onion"]);
    assert_eq!(asked.code, 3);
    assert_eq!(asked.stdout, "");
    for wanted in [
        "advice/hosts.csv:2:22",
        "unknown crop \"onionn\"",
        "did you mean `onion`?",
        "advice/hosts.csv:3:27",
        "did you mean `host`?",
        "advice/hosts.csv:4:39",
        "unknown source \"no_such_trial\"",
        "3 problems in your own tables; nothing was done",
    ] {
        assert!(asked.stderr.contains(wanted), "{wanted} is missing in:\n{}", asked.stderr);
    }
}

#[test]
fn a_file_that_is_no_table_is_named() {
    let folder = garden(&[("host.csv", HOSTS)]);
    let asked = run(folder.path(), &["--tables", "advice", "reference", "tomato"]);
    assert_eq!(asked.code, 3);
    assert!(asked.stderr.contains("unknown table \"host.csv\""), "{}", asked.stderr);
    assert!(asked.stderr.contains("did you mean `hosts.csv`?"), "{}", asked.stderr);
}

#[test]
fn lint_shows_faults_of_own_tables_and_what_they_replace() {
    let own = format!("{HOSTS}agriotes_spp,onion,host,field,,own_trial_2024,read\n");
    let folder = garden(&[("sources.csv", SOURCES), ("hosts.csv", &own)]);
    let asked = run(folder.path(), &["--tables", "advice", "--width", "200", "reference", "lint"]);
    assert_eq!(asked.code, 1, "{}", asked.stdout);
    assert!(asked.stdout.contains("rows_sorted"), "{}", asked.stdout);
    assert!(asked.stdout.contains("advice/hosts.csv:3:1"), "{}", asked.stdout);
    assert!(asked.stdout.contains("advice/hosts.csv:2 replaces hosts.csv:"), "{}", asked.stdout);
    let clean = run(folder.path(), &["reference", "lint"]);
    assert_eq!(clean.code, 0, "{}", clean.stdout);
}

fn standing(files: &[(&str, &str)], pathogen: &str, crop: &str) -> HostStatus {
    let files: Vec<(String, Vec<u8>)> =
        files.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect();
    let tables = Tables::with_own("own", files).expect("known tables");
    let knowledge = Knowledge::with_overlay(tables).expect("sound tables");
    let pathogen = knowledge.pathogens.find(pathogen).expect("a pathogen");
    let crop = knowledge.crops.find(crop).expect("a crop");
    knowledge.standing(pathogen, crop).status
}

#[test]
fn an_own_row_replaces_all_built_in_rows_on_its_pair() {
    let denies = "pathogen,crop,status,basis,source,how\n\
        verticillium_dahliae,tomato,non_host,field,own_trial_2024,read\n";
    let status = standing(
        &[("sources.csv", SOURCES), ("hosts.csv", denies)],
        "verticillium_dahliae",
        "tomato",
    );
    assert_eq!(status, HostStatus::NonHost);
}

#[test]
fn an_own_attribute_does_not_unsay_a_host() {
    let lowers = "pathogen,crop,status,basis,source,how\n\
        verticillium_dahliae,tomato,resistant_cultivars_exist,field,own_trial_2024,read\n";
    let status = standing(
        &[("sources.csv", SOURCES), ("hosts.csv", lowers)],
        "verticillium_dahliae",
        "tomato",
    );
    assert_eq!(status, HostStatus::Host);
}

#[test]
fn own_crops_and_names_are_known() {
    let crops = "key,name,scientific_name,family,role,source,how\n\
        sea_kale,sea kale,Crambe maritima,Brassicaceae,perennial,memory,memory\n";
    let names = "kind,name,key,source,how\ncrop,scurvy grass of the dunes,sea_kale,memory,memory\n";
    let tables = Tables::with_own(
        "own",
        [("crops.csv".to_owned(), crops.into()), ("names.csv".to_owned(), names.into())],
    )
    .expect("known tables");
    let knowledge = Knowledge::with_overlay(tables).expect("sound tables");
    let crop = knowledge.names.crop(&knowledge.crops, "Scurvy-grass of the dunes").expect("a crop");
    assert_eq!(&*knowledge.crops[crop].key, "sea_kale");
    let clubroot = knowledge.pathogens.find("plasmodiophora_brassicae").expect("a pathogen");
    assert!(knowledge.standing(clubroot, crop).status.may_suffer(), "its family tells");
}

/// A judgment of onion after wilt, which an own row, from a source of some kind, calls a host.
fn judged_by(publication: &str) -> (serde_json::Value, String) {
    let sources = format!("key,publication,title\nown_leaflet,{publication},A leaflet\n");
    let hosts = "pathogen,crop,status,basis,note,source,how\n\
        verticillium_dahliae,onion,host,field,,own_leaflet,read\n";
    let folder = garden(&[("sources.csv", &sources), ("hosts.csv", hosts)]);
    let question = ["-g", "g.breakcrop", "--today", "2026-04-01", "--tables", "advice"];
    let about = ["assess", "b1", "onion", "--on", "2026-05-15"];
    let shown = run(folder.path(), &[&question[..], &about[..]].concat());
    let told = run(folder.path(), &[&question[..], &["--json"], &about[..]].concat());
    let document = serde_json::from_str(&told.stdout).unwrap_or_else(|_| panic!("{}", told.stderr));
    (document, shown.stdout)
}

/// How sure the reason is that an own row gives.
fn sure_of_host(document: &serde_json::Value) -> &str {
    let reasons = document["reasons"].as_array().expect("reasons");
    let by_own = |reason: &&serde_json::Value| reason.to_string().contains("own_leaflet");
    reasons.iter().find(by_own).expect("a reason")["confidence"].as_str().expect("a word")
}

#[test]
fn what_only_a_trade_page_says_is_marked_and_less_sure() {
    let (bulletin, shown) = judged_by("bulletin");
    assert_eq!(sure_of_host(&bulletin), "high");
    assert!(shown.contains("[own_leaflet; advice/hosts.csv:2]"), "{shown}");
    let (trade, shown) = judged_by("trade");
    assert_eq!(sure_of_host(&trade), "moderate");
    assert!(shown.contains("own_leaflet (trade page)"), "{shown}");
    assert!(trade.to_string().contains("\"publications\":[\"trade\"]"), "{trade}");
    assert_eq!(trade["verdict"], bulletin["verdict"], "it is less sure, not another answer");
}

#[test]
fn an_own_source_that_does_not_say_what_it_is_counts_as_own() {
    let folder = garden(&[("sources.csv", SOURCES), ("hosts.csv", HOSTS)]);
    let asked = run(folder.path(), &["--tables", "advice", "reference", "own_trial_2024"]);
    assert!(
        asked.stdout.contains("what it is: own word of a grower or adviser"),
        "{}",
        asked.stdout
    );
}

#[test]
fn an_unknown_kind_of_document_stops_the_run() {
    let sources = "key,publication,title\nown_trial_2024,bulletinn,Our trial\n";
    let folder = garden(&[("sources.csv", sources), ("hosts.csv", HOSTS)]);
    let asked =
        run(folder.path(), &["-g", "g.breakcrop", "--tables", "advice", "assess", "b1", "onion"]);
    assert_eq!(asked.code, 3);
    assert!(asked.stderr.contains("advice/sources.csv:2:16"), "{}", asked.stderr);
    assert!(asked.stderr.contains("did you mean `bulletin`?"), "{}", asked.stderr);
}
