//! The wiring of the command line: help, exit codes, JSON, hints.

mod support;

use std::path::Path;

use pretty_assertions::assert_eq;
use support::{garden_folder, run};

const COMMANDS: [&str; 20] = [
    "new",
    "import",
    "export",
    "beds",
    "bed",
    "assess",
    "diagnose",
    "follow",
    "cover",
    "intersow",
    "audit",
    "report",
    "replay",
    "trend",
    "doctor",
    "reference",
    "demo",
    "policy",
    "completions",
    "man",
];

fn imported(folder: &Path) -> Vec<String> {
    let garden = garden_folder("gullcombe_terrace").display().to_string();
    let ran = run(folder, &["-g", "g.breakcrop", "--today", "2026-10-12", "import", &garden]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    ["-g", "g.breakcrop", "--today", "2026-10-12"].map(str::to_owned).to_vec()
}

fn ask(folder: &Path, global: &[String], arguments: &[&str]) -> support::Ran {
    let all: Vec<&str> =
        global.iter().map(String::as_str).chain(arguments.iter().copied()).collect();
    run(folder, &all)
}

#[test]
fn every_command_has_help_with_an_example() {
    let folder = tempfile::tempdir().expect("a folder");
    let overview = run(folder.path(), &["--help"]);
    for command in COMMANDS {
        assert!(overview.stdout.contains(&format!("\n  {command} ")), "{command} is not listed");
        let help = run(folder.path(), &[command, "--help"]);
        assert_eq!(help.code, 0);
        assert!(help.stdout.contains("Example"), "{command} has no example");
    }
}

#[test]
fn colour_is_for_those_who_want_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let coloured = |variables: &[(&str, &str)]| {
        let ran = support::run_with(folder.path(), variables, &["audit", "rule", "green_bridge"]);
        ran.stdout.contains('\u{1b}')
    };
    // The runner sets NO_COLOR, which wins; without it a pipe gets none unless it is forced.
    assert!(!coloured(&[]));
    assert!(!coloured(&[("CLICOLOR_FORCE", "1")]));
    assert!(!coloured(&[("NO_COLOR", "")]));
    assert!(coloured(&[("NO_COLOR", ""), ("CLICOLOR_FORCE", "1")]));
}

#[test]
fn shells_and_manuals_know_every_command() {
    let folder = tempfile::tempdir().expect("a folder");
    for shell in ["bash", "zsh", "fish"] {
        let script = run(folder.path(), &["completions", shell]);
        assert_eq!(script.code, 0);
        for command in COMMANDS {
            assert!(script.stdout.contains(command), "{shell} does not know {command}");
        }
    }
    assert_eq!(run(folder.path(), &["man", "pages"]).code, 0);
    for command in COMMANDS {
        let page = folder.path().join(format!("pages/breakcrop-{command}.1"));
        assert!(page.exists(), "no manual page of {command}");
    }
    let help = run(folder.path(), &["--help"]);
    assert!(help.stdout.contains("Exit codes: 0 done"), "{}", help.stdout);
}

#[test]
fn the_judgment_has_the_fields_that_others_rely_on() {
    let folder = tempfile::tempdir().expect("a folder");
    let global = imported(folder.path());
    let ran = ask(folder.path(), &global, &["--json", "assess", "L2/east", "strawberry"]);
    let judged: serde_json::Value = serde_json::from_str(&ran.stdout).expect("JSON");
    assert_eq!(judged["bed"], "L2");
    assert_eq!(judged["section"], "east");
    assert_eq!(judged["crop"], "strawberry");
    assert_eq!(judged["on"], "2026-10-12");
    assert_eq!(judged["verdict"], "wait");
    assert!(judged["earliest"].as_str().expect("a day") > "2027");
    assert_eq!(judged["clears_by_waiting"], true);
    for end in ["low", "likely", "high"] {
        assert!(judged["expected_yield"][end].is_f64(), "{end}");
    }
    assert!(judged["confidence"].is_string());
    assert!(!judged["reasons"].as_array().expect("a list").is_empty());
    assert!(judged["changes"].is_array());
    let evidence = &judged["reasons"][0]["evidence"];
    let kinds: Vec<&str> = evidence
        .as_array()
        .expect("a list")
        .iter()
        .filter_map(|leaf| leaf["kind"].as_str())
        .collect();
    assert!(kinds.contains(&"record") && kinds.contains(&"fact"), "{kinds:?}");
}

#[test]
fn errors_say_what_to_type_next() {
    let folder = tempfile::tempdir().expect("a folder");
    let none = run(folder.path(), &["beds"]);
    assert_eq!(none.code, 3);
    assert!(none.stderr.contains("breakcrop import FOLDER"), "{}", none.stderr);
    let missing = run(folder.path(), &["-g", "none.breakcrop", "beds"]);
    assert_eq!(missing.code, 4);
    let global = imported(folder.path());
    let cases: [(&[&str], &str); 5] = [
        (&["bed", "L9"], "beds: L1"),
        (&["bed", "M4/nort"], "sections: edge"),
        (&["assess", "L1", "tomatoe"], "did you mean tomato?"),
        (&["audit", "rule", "nonsense"], "rules: area_exceeds_bed"),
        (&["reference", "verticilium"], "did you mean"),
    ];
    for (question, hint) in cases {
        let ran = ask(folder.path(), &global, question);
        assert_eq!(ran.code, 3, "{question:?}");
        assert!(ran.stderr.contains(hint), "{question:?}: {}", ran.stderr);
        assert!(ran.stdout.is_empty(), "{question:?}");
    }
    assert_eq!(run(folder.path(), &["no-such-command"]).code, 2);
}

#[test]
fn audit_ends_with_one_where_something_severe_was_found() {
    let folder = tempfile::tempdir().expect("a folder");
    let global = imported(folder.path());
    assert_eq!(ask(folder.path(), &global, &["audit"]).code, 1);
}

#[test]
fn templates_import_as_they_are_written() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(run(folder.path(), &["new", "mine"]).code, 0);
    let ran = run(folder.path(), &["import", "mine"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(folder.path().join("mine.breakcrop").exists());
    let again = run(folder.path(), &["new", "mine"]);
    assert_eq!(again.code, 3, "nothing is written over");
}

#[test]
fn the_demo_fits_a_screenful_of_eighty_columns() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = run(folder.path(), &["demo"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(ran.stdout.lines().count() < 100, "{} lines", ran.stdout.lines().count());
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    for wanted in ["What can follow in L1", "A legume between", "WAIT until", "SEVERE"] {
        assert!(ran.stdout.contains(wanted), "{wanted}");
    }
}
