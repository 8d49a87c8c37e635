//! A copy of the file before it is changed in a way that cannot be taken back.

#![expect(clippy::disallowed_methods, reason = "the store owns the garden file and its copies")]

use std::path::{Path, PathBuf};

use rusqlite::Connection;

use super::StoreError;

/// Copies the garden file beside itself, as `NAME.format-N.backup`, and returns where. The copy is
/// read page by page and written anew, which is a second check of the file; it has its final name
/// only when it is whole and on the disk. A copy of the same content is not made twice.
pub(super) fn backup(
    connection: &Connection,
    path: &Path,
    format: i64,
) -> Result<PathBuf, StoreError> {
    let named = |number: u32| {
        let number = if number == 0 { String::new() } else { format!("-{}", number + 1) };
        PathBuf::from(format!("{}.format-{format}{number}.backup", path.display()))
    };
    let part = PathBuf::from(format!("{}.format-{format}.part", path.display()));
    let made = copy_to(connection, path, &part);
    if made.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    made?;
    let not_copied = |source| StoreError::Backup { path: path.to_path_buf(), source };
    let fresh = std::fs::read(&part).map_err(not_copied)?;
    for number in 0.. {
        let kept = named(number);
        match std::fs::read(&kept) {
            Ok(bytes) if bytes == fresh => {
                std::fs::remove_file(&part).map_err(not_copied)?;
                return Ok(kept);
            }
            Ok(_) => {}
            Err(_) => {
                std::fs::rename(&part, &kept).map_err(not_copied)?;
                return Ok(kept);
            }
        }
    }
    unreachable!("the numbers do not end")
}

fn copy_to(connection: &Connection, path: &Path, part: &Path) -> Result<(), StoreError> {
    let not_copied = |source| StoreError::Backup { path: path.to_path_buf(), source };
    // Left by a run that was ended in the middle of a copy.
    if part.exists() {
        std::fs::remove_file(part).map_err(not_copied)?;
    }
    let target = part.to_string_lossy();
    connection
        .execute("VACUUM INTO ?1", [&*target])
        .map_err(|error| StoreError::of(path, error))?;
    std::fs::File::open(part).and_then(|file| file.sync_all()).map_err(not_copied)
}

/// Copies that stand beside a garden file, oldest format first.
pub(super) fn beside(path: &Path) -> Vec<PathBuf> {
    let Some(name) = path.file_name().map(|name| name.to_string_lossy().into_owned()) else {
        return Vec::new();
    };
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty());
    let Ok(entries) = std::fs::read_dir(folder.unwrap_or(Path::new("."))) else {
        return Vec::new();
    };
    let mut found: Vec<PathBuf> = entries
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|other| {
            other.file_name().is_some_and(|other| {
                let other = other.to_string_lossy();
                other.starts_with(&format!("{name}.format-")) && other.ends_with(".backup")
            })
        })
        .collect();
    found.sort();
    found
}
