//! Reads a folder of own tables and own choices.

use std::path::Path;

use super::error::CliError;
use crate::import::{OWN_POLICY_FILE, own_policy};
use crate::knowledge::Tables;
use crate::policy::OwnPolicy;

/// The CSV files of a folder, laid over the built-in tables and over the policy.
pub(super) fn read(folder: &Path) -> Result<(Tables, OwnPolicy), CliError> {
    let cannot = |error: &std::io::Error| {
        CliError::input(format!("the folder of tables `{}` does not open", folder.display()))
            .because(error.to_string())
            .hint("name a folder of CSV files with --tables FOLDER")
    };
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .map_err(|error| cannot(&error))?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter(|name| {
            Path::new(name).extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
        })
        .collect();
    names.sort();
    if names.is_empty() {
        let known: Vec<&str> = Tables::file_names().collect();
        return Err(CliError::input(format!("there is no CSV file in `{}`", folder.display()))
            .hint(format!("tables are: {}, {OWN_POLICY_FILE}", known.join(", "))));
    }
    let mut files = Vec::new();
    let mut policy = OwnPolicy::default();
    for name in names {
        let bytes = std::fs::read(folder.join(&name)).map_err(|error| cannot(&error))?;
        if name == OWN_POLICY_FILE {
            let shown = folder.join(&name).display().to_string().into();
            policy = own_policy(&shown, &bytes).map_err(CliError::own_policy)?;
        } else {
            files.push((name, bytes));
        }
    }
    let shown = folder.display().to_string();
    let tables = Tables::with_own(&shown, files).map_err(CliError::own_tables)?;
    Ok((tables, policy))
}
