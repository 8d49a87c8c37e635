//! What the build takes in: no crate with a build script, no licence, no second version and no
//! place of origin that nobody has looked at. The lists stand in `.ci/deny.toml` and nowhere else;
//! what is built is read from the lock file, without a network. The same for other platforms, and
//! advisories where there is a network: `cargo deny --config .ci/deny.toml check`.
#![expect(clippy::disallowed_methods, reason = "the test reads the configuration")]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Command;

use serde_json::Value;

/// The quoted words of a list of `.ci/deny.toml`, reasons and remarks left out.
fn listed(key: &str) -> Vec<String> {
    let text = file(".ci/deny.toml");
    let opening = format!("\n{key} = [");
    let (_, rest) = text.split_once(&opening).unwrap_or_else(|| panic!("no list `{key}`"));
    let (list, _) = rest.split_once("\n]").unwrap_or_else(|| panic!("`{key}` has no end"));
    let words: Vec<String> = list
        .lines()
        .filter(|line| !line.trim_start().starts_with('#'))
        .filter_map(|line| Some(line.split('"').nth(1)?.to_owned()))
        .collect();
    assert!(!words.is_empty(), "`{key}` lists nothing");
    words
}

fn file(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).expect("reads")
}

fn output(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

/// The crates that this platform builds, tests included.
fn crates() -> Vec<Value> {
    let version = output("rustc", &["-vV"]);
    let host = version.lines().find_map(|line| line.strip_prefix("host: ")).expect("a host");
    let cargo = env!("CARGO");
    let metadata = output(
        cargo,
        &["metadata", "--offline", "--locked", "--format-version", "1", "--filter-platform", host],
    );
    let metadata: Value = serde_json::from_str(&metadata).expect("JSON");
    let text = |value: &Value| value.as_str().expect("text").to_owned();
    // Without the crates of other platforms.
    let built: BTreeSet<String> = metadata["resolve"]["nodes"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|node| text(&node["id"]))
        .collect();
    let packages = metadata["packages"].as_array().expect("a list");
    let crates: Vec<Value> =
        packages.iter().filter(|one| built.contains(&text(&one["id"]))).cloned().collect();
    assert!(crates.len() > 50, "{} crates", crates.len());
    crates
}

fn name(package: &Value) -> &str {
    package["name"].as_str().expect("a name")
}

#[test]
fn no_crate_brings_in_what_nobody_has_looked_at() {
    let crates = crates();
    let scripts = listed("allow-build-scripts");
    let twice: Vec<String> = listed("skip").iter().map(|one| without_version(one)).collect();
    let mut unknown = Vec::new();
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for package in &crates {
        *versions.entry(name(package)).or_default() += 1;
        let targets = package["targets"].as_array().expect("a list");
        let has_script = targets.iter().any(|target| {
            target["kind"].as_array().is_some_and(|kinds| kinds.contains(&"custom-build".into()))
        });
        if has_script && !scripts.iter().any(|known| known == name(package)) {
            unknown.push(format!("{} has a build script", name(package)));
        }
        let licence = package["license"].as_str().unwrap_or("none").replace('/', " OR ");
        if !may_be_used(&licence) {
            unknown.push(format!("{} has the licence {licence}", name(package)));
        }
        match package["source"].as_str() {
            None if name(package) == env!("CARGO_PKG_NAME") => {}
            Some(source) if source.starts_with("registry+") => {}
            source => unknown.push(format!("{} comes from {source:?}", name(package))),
        }
    }
    for (name, count) in versions {
        if count > 1 && !(count == 2 && twice.iter().any(|known| known == name)) {
            unknown.push(format!("{name} stands in the tree {count} times"));
        }
    }
    assert!(unknown.is_empty(), "look at these, then list them in .ci/deny.toml: {unknown:#?}");
}

fn without_version(listed: &str) -> String {
    listed.split('@').next().unwrap_or(listed).to_owned()
}

#[test]
fn what_is_listed_is_still_in_the_lock_file() {
    let lock = file("Cargo.lock");
    let has = |name: &str| lock.matches(&format!("\nname = \"{name}\"\n")).count();
    for name in listed("allow-build-scripts") {
        assert!(has(&name) > 0, "{name} is gone: strike it from .ci/deny.toml");
    }
    for name in listed("skip").iter().map(|one| without_version(one)) {
        assert!(has(&name) > 1, "{name} stands there once: strike it from .ci/deny.toml");
    }
}

/// Whether one of the alternatives has only licences of the list.
fn may_be_used(licence: &str) -> bool {
    let listed = listed("allow");
    let known = |one: &str| listed.iter().any(|known| known == one.trim_matches(['(', ')', ' ']));
    // `(A OR B) AND C`: every part must offer one that is known.
    licence.split(" AND ").all(|part| part.split(" OR ").any(known))
}

#[test]
fn the_licence_rule_tells_known_from_unknown() {
    assert!(may_be_used("(MIT OR Apache-2.0) AND Unicode-3.0"));
    assert!(may_be_used("MIT OR GPL-3.0"));
    assert!(!may_be_used("GPL-3.0"));
    assert!(!may_be_used("MIT AND GPL-3.0"));
    assert!(!may_be_used("none"));
}
