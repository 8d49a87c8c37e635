//! The README's commands run, and print what it shows.
#![expect(clippy::disallowed_methods, reason = "the test reads the README")]

mod support;

use std::fs;
use std::path::Path;

use pretty_assertions::assert_eq;
use support::run;

/// Blocks that begin with a command line `$ breakcrop ...` and the output shown under it.
fn shown_runs(text: &str) -> Vec<(String, String)> {
    let mut runs = Vec::new();
    for block in text.split("```").skip(1).step_by(2) {
        let block = block.trim_start_matches("text").trim_start_matches('\n');
        let Some(rest) = block.strip_prefix("$ breakcrop ") else { continue };
        let (command, output) = rest.split_once('\n').unwrap_or((rest, ""));
        runs.push((command.trim().to_owned(), output.trim_end().to_owned()));
    }
    runs
}

/// Splits a command line at blanks, double quotes kept together.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut quoted = false;
    for character in command.chars() {
        match character {
            '"' => quoted = !quoted,
            ' ' if !quoted => words.push(String::new()),
            other => words.last_mut().expect("a word").push(other),
        }
    }
    words
}

/// Whether the output shown is the output printed; a line `...` stands for any lines left out.
fn shows(shown: &str, printed: &str) -> bool {
    let mut rest = printed.lines();
    let mut free = false;
    for line in shown.lines() {
        if line.trim() == "..." {
            free = true;
            continue;
        }
        let found = if free {
            rest.by_ref().any(|printed| printed.trim_end() == line.trim_end())
        } else {
            rest.next().is_some_and(|printed| printed.trim_end() == line.trim_end())
        };
        if !found {
            return false;
        }
        free = false;
    }
    free || rest.next().is_none()
}

#[test]
fn the_tour_prints_what_it_shows() {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md"))
        .expect("README.md");
    let runs = shown_runs(&text);
    assert!(runs.len() >= 6, "only {} runs are shown", runs.len());
    let folder = tempfile::tempdir().expect("a folder");
    let built = run(folder.path(), &["demo"]);
    assert_eq!(built.code, 0, "{}", built.stderr);
    for (command, shown) in runs {
        let mut arguments = vec!["-g", "demo.breakcrop", "--today", "2026-10-12", "--width", "80"];
        let words = words(&command);
        arguments.extend(words.iter().map(String::as_str));
        let ran = run(folder.path(), &arguments);
        assert!(ran.code <= 1, "`{command}`: {}", ran.stderr);
        assert!(shows(&shown, &ran.stdout), "`{command}` prints:\n{}", ran.stdout);
    }
}
