//! What several test files share: the binary in a clean environment, published tables.
#![allow(dead_code, reason = "each test file uses its part")]

pub(crate) mod simulated_garden;
pub(crate) mod station;
pub(crate) mod tables;

use std::path::{Path, PathBuf};
use std::sync::Arc;

use assert_cmd::Command;
use breakcrop::knowledge::Knowledge;
use breakcrop::records::{BedNames, Garden, Lookup, RecordKind};
use breakcrop::tabular::{Problems, scan};

/// What a run printed.
#[must_use]
pub(crate) struct Ran {
    pub(crate) stdout: String,
    pub(crate) stderr: String,
    pub(crate) code: i32,
}

/// Runs the binary in a folder, with nothing of the caller's environment.
pub(crate) fn run(folder: &Path, arguments: &[&str]) -> Ran {
    run_with(folder, &[], arguments)
}

/// The same with some variables of the environment.
pub(crate) fn run_with(folder: &Path, variables: &[(&str, &str)], arguments: &[&str]) -> Ran {
    let output = Command::new(env!("CARGO_BIN_EXE_breakcrop"))
        .current_dir(folder)
        .env_clear()
        .env("NO_COLOR", "1")
        .envs(variables.iter().copied())
        .args(arguments)
        .output()
        .expect("the binary runs");
    Ran {
        stdout: String::from_utf8(output.stdout).expect("UTF-8"),
        stderr: String::from_utf8(output.stderr).expect("UTF-8"),
        code: output.status.code().expect("an exit code"),
    }
}

/// The folder of a fixture garden.
pub(crate) fn garden_folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/gardens").join(name)
}

/// A published table: its rows as header-value pairs, and whether it is the one in the project.
/// `BREAKCROP_CHECKS` names a folder to take the file of the same name from instead.
pub(crate) fn published(name: &str) -> (Vec<Row>, bool) {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/published");
    let given = std::env::var_os("BREAKCROP_CHECKS").map(PathBuf::from);
    let (folder, is_own) = match given {
        Some(folder) if folder.join(name).exists() => (folder, false),
        _ => (own, true),
    };
    let mut reader = csv::Reader::from_path(folder.join(name)).expect("the table opens");
    let header = reader.headers().expect("a header").clone();
    let rows = reader
        .records()
        .map(|record| {
            let record = record.expect("a row");
            Row(header.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect())
        })
        .collect();
    (rows, is_own)
}

/// A row of a published table.
pub(crate) struct Row(Vec<(String, String)>);

impl Row {
    pub(crate) fn get(&self, column: &str) -> &str {
        self.0
            .iter()
            .find(|(name, _)| name == column)
            .map_or_else(|| panic!("no column {column}"), |(_, value)| value.trim())
    }

    pub(crate) fn number(&self, column: &str) -> Option<f64> {
        self.get(column).parse().ok()
    }
}

/// The garden of record files, by name and text, in any order. `place` is said if one is faulty.
pub(crate) fn garden_of<N: AsRef<str>, T: AsRef<[u8]>>(
    knowledge: &Knowledge,
    files: impl IntoIterator<Item = (N, T)>,
    place: &str,
) -> Garden {
    let mut files: Vec<(RecordKind, N, T)> = files
        .into_iter()
        .map(|(name, text)| {
            let kind = RecordKind::of_file(name.as_ref());
            (kind.unwrap_or_else(|| panic!("{place}: {}", name.as_ref())), name, text)
        })
        .collect();
    // Beds come before what stands in them.
    files.sort_by_key(|(kind, ..)| *kind);
    let mut garden = Garden::default();
    let mut problems = Problems::default();
    for (kind, name, text) in &files {
        let file: Arc<str> = Arc::from(name.as_ref());
        let known: BedNames = garden.beds.iter().map(|bed| &bed.name).collect();
        scan(&file, text.as_ref(), kind.columns(), &mut problems, |cells| {
            if let Some(record) = kind.read(cells, &Lookup::new(knowledge, &known)) {
                record.join(&mut garden);
            }
        });
    }
    assert!(problems.is_empty(), "{place}: {:?}", problems.list);
    garden.sort();
    garden
}
