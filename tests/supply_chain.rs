//! What the build takes in: no crate with a build script, no licence, no second version and no
//! place of origin that nobody has looked at. Read from the lock file, without a network. The
//! same, and advisories, where there is a network: `cargo deny --config .ci/deny.toml check`.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use serde_json::Value;

/// Crates whose build scripts have been read: they ask the compiler or the system what it can do,
/// and the first compiles SQLite.
const BUILD_SCRIPTS: [&str; 30] = [
    "libsqlite3-sys",
    "alloca",
    "anyhow",
    "assert_cmd",
    "borsh",
    "constant_time_eq",
    "crc32fast",
    "crunchy",
    "encoding_rs",
    "getrandom",
    "iana-time-zone-haiku",
    "libc",
    "libm",
    "matrixmultiply",
    "num-traits",
    "proc-macro2",
    "proc-macro2-diagnostics",
    "quote",
    "rustix",
    "rustversion",
    "serde",
    "serde_core",
    "serde_json",
    "thiserror",
    "wasm-bindgen",
    "wasm-bindgen-shared",
    "winapi",
    "windows_x86_64_msvc",
    "zerocopy",
    "zmij",
];

/// Licences under which the program may be given on, each by itself.
const LICENCES: [&str; 9] = [
    "MIT",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "Zlib",
    "Unicode-3.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "Unlicense",
];

/// Crates that stand in the tree in two versions, because those that use them have not moved on.
const TWICE: [&str; 4] = ["foldhash", "hashbrown", "itertools", "syn"];

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
    let mut unknown = Vec::new();
    let mut versions: BTreeMap<&str, usize> = BTreeMap::new();
    for package in &crates {
        *versions.entry(name(package)).or_default() += 1;
        let targets = package["targets"].as_array().expect("a list");
        let has_script = targets.iter().any(|target| {
            target["kind"].as_array().is_some_and(|kinds| kinds.contains(&"custom-build".into()))
        });
        if has_script && !BUILD_SCRIPTS.contains(&name(package)) {
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
        if count > 1 && !TWICE.contains(&name) {
            unknown.push(format!("{name} stands in the tree {count} times"));
        }
    }
    assert!(unknown.is_empty(), "look at these, then list them here: {unknown:#?}");
}

/// Whether one of the alternatives has only licences of the list.
fn may_be_used(licence: &str) -> bool {
    let known = |one: &str| LICENCES.contains(&one.trim_matches(['(', ')', ' ']));
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
