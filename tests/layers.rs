//! The layers of DEVELOPERS.md hold: a layer uses those above it in the table, never those below.
#![expect(clippy::disallowed_methods, reason = "the test reads the source")]

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The layer table of DEVELOPERS.md: one layer a row, its modules in the second column.
fn layer_table() -> Vec<Vec<String>> {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("DEVELOPERS.md"))
        .expect("DEVELOPERS.md");
    let rows: Vec<Vec<String>> = text
        .lines()
        .skip_while(|line| !line.starts_with("| layer |"))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            cells[2].split(',').map(|name| name.trim().trim_matches('`').to_owned()).collect()
        })
        .collect();
    assert!(rows.len() >= 8, "the layer table has {} rows", rows.len());
    rows
}

fn rust_files(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("a folder") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            rust_files(&path, files);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

/// The module of `src` a file belongs to: `state` for `src/state/inoculum.rs`.
fn module_of(source: &Path, file: &Path) -> String {
    let inside = file.strip_prefix(source).expect("below src");
    let first = inside.iter().next().expect("a name").to_string_lossy();
    first.trim_end_matches(".rs").to_owned()
}

/// Code without its comments and its tests, which may reach anywhere.
fn code(text: &str) -> String {
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    text[..end]
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn no_layer_uses_one_below_it() {
    let table = layer_table();
    let rank: BTreeMap<&str, usize> = table
        .iter()
        .enumerate()
        .flat_map(|(rank, modules)| modules.iter().map(move |module| (module.as_str(), rank)))
        .collect();
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    let mut broken = Vec::new();
    for file in &files {
        let module = module_of(&source, file);
        if matches!(module.as_str(), "lib" | "main") {
            continue;
        }
        let own = *rank.get(module.as_str()).unwrap_or_else(|| panic!("`{module}` has no layer"));
        let text = code(&fs::read_to_string(file).expect("a file"));
        for (at, _) in text.match_indices("crate::") {
            let used: String = text[at + 7..]
                .chars()
                .take_while(|character| character.is_alphanumeric() || *character == '_')
                .collect();
            let Some(theirs) = rank.get(used.as_str()) else { continue };
            if *theirs > own || (*theirs == own && used != module) {
                broken.push(format!("{} uses `{used}`", file.display()));
            }
        }
    }
    broken.sort();
    broken.dedup();
    assert!(broken.is_empty(), "{broken:#?}");
}

#[test]
fn every_module_of_the_crate_has_a_layer() {
    let table = layer_table();
    let lib = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/lib.rs"))
        .expect("src/lib.rs");
    for line in lib.lines().filter_map(|line| line.strip_prefix("pub mod ")) {
        let module = line.trim_end_matches(';');
        assert!(
            table.iter().flatten().any(|name| name == module),
            "`{module}` is missing from the layer table of DEVELOPERS.md"
        );
    }
}
