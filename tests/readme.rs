//! The README's commands run, and print what it shows.
#![expect(clippy::disallowed_methods, reason = "the test reads the README")]

mod support;

use std::fs;
use std::path::Path;

use pretty_assertions::assert_eq;
use support::run;

/// A block that begins with a command line `$ breakcrop ...`, and the output shown under it.
struct ShownRun<'a> {
    command: &'a str,
    output: &'a str,
}

fn shown_runs(text: &str) -> Vec<ShownRun<'_>> {
    text.split("```")
        .skip(1)
        .step_by(2)
        .filter_map(|block| block.trim_start_matches("text\n").strip_prefix("$ breakcrop "))
        .map(|rest| {
            let (command, output) = rest.split_once('\n').unwrap_or((rest, ""));
            ShownRun { command: command.trim(), output }
        })
        .collect()
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

/// The output shown anew: each stretch between `...` keeps its number of lines. The first starts at
/// the top; a later one starts where its first line is printed, and stays as it is if it no longer is.
fn shown_anew(shown: &str, printed: &str) -> String {
    let printed: Vec<&str> = printed.lines().map(str::trim_end).collect();
    let whole = !shown.lines().any(|line| line.trim() == "...");
    let mut lines: Vec<&str> = Vec::new();
    let mut from = 0;
    let stretches: Vec<Vec<&str>> = shown
        .lines()
        .collect::<Vec<_>>()
        .split(|line| line.trim() == "...")
        .map(<[&str]>::to_vec)
        .collect();
    for (place, stretch) in stretches.iter().enumerate() {
        if place > 0 {
            lines.push("...");
        }
        let Some(first) = stretch.first() else { continue };
        let start = match place {
            0 => Some(0),
            _ => (from..printed.len()).find(|at| printed[*at] == first.trim_end()),
        };
        let Some(start) = start else {
            lines.extend(stretch);
            continue;
        };
        let last = stretches.len() - 1 == place;
        from = if whole || (last && place > 0) {
            printed.len()
        } else {
            (start + stretch.len()).min(printed.len())
        };
        lines.extend(&printed[start..from]);
    }
    let mut text = lines.join("\n");
    text.push('\n');
    text
}

/// With `UPDATE=1` the outputs are written anew into the README, to be read before they are kept.
#[test]
fn the_tour_prints_what_it_shows() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let text = fs::read_to_string(&path).expect("README.md");
    let update = std::env::var_os("UPDATE").is_some();
    let mut anew = text.clone();
    let runs = shown_runs(&text);
    assert!(runs.len() >= 6, "only {} runs are shown", runs.len());
    let folder = tempfile::tempdir().expect("a folder");
    let built = run(folder.path(), &["demo"]);
    assert_eq!(built.code, 0, "{}", built.stderr);
    let notes = folder.path().join("untidy-notes");
    fs::create_dir(&notes).expect("a folder");
    for entry in fs::read_dir(support::garden_folder("../errors/twenty_faults")).expect("notes") {
        let entry = entry.expect("a file");
        fs::copy(entry.path(), notes.join(entry.file_name())).expect("a copy");
    }
    for ShownRun { command, output } in runs {
        let mut arguments = vec!["--today", "2026-10-12", "--width", "80"];
        let words = words(command);
        arguments.extend(words.iter().map(String::as_str));
        let ran = run(folder.path(), &arguments);
        // Faults of records are shown too; they are printed apart from the answer.
        assert!(ran.code <= 1 || ran.code == 3, "`{command}`: {}", ran.stderr);
        let printed = if ran.code == 3 { ran.stderr } else { ran.stdout };
        if update {
            let old = format!("$ breakcrop {command}\n{output}");
            let new = format!("$ breakcrop {command}\n{}", shown_anew(output, &printed));
            anew = anew.replace(&old, &new);
        } else {
            let shown = output.trim_end();
            assert!(shows(shown, &printed), "`{command}` prints:\n{printed}");
        }
    }
    if update {
        fs::write(&path, anew).expect("the README is written");
    }
}
