//! Files that a command writes: whole or not at all, and never over the garden file.

use std::io::Write as _;
use std::path::Path;

use super::error::CliError;
use super::session::Session;
use crate::records::RecordKind;

impl Session {
    /// Writes a file beside its place and moves it there, so that a full disk leaves the old file
    /// whole and nobody reads half a new one.
    ///
    /// # Errors
    /// The path is the garden file's, also by way of a link; the folder or disk takes no file.
    pub(super) fn write_file(&self, path: &Path, bytes: &[u8]) -> Result<(), CliError> {
        self.must_not_be_the_garden(path)?;
        let folder = match path.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        let mut beside = with_usual_rights().tempfile_in(folder)?;
        beside.write_all(bytes)?;
        beside.as_file().sync_all()?;
        beside.persist(path).map_err(|error| error.error)?;
        Ok(())
    }

    /// Refuses an output that would be written over a record file of that name: a plan has the
    /// columns of `plantings.csv`, and years of notes are one slip of the hand away.
    pub(super) fn must_not_be_records(path: &Path) -> Result<(), CliError> {
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        if path.exists() && RecordKind::of_file(name).is_some() {
            let text = format!("{} is there already and may hold your records", path.display());
            return Err(CliError::input(text).hint("name another file, plan.csv say"));
        }
        Ok(())
    }
}

/// A file of the usual rights: one made for the moment would be closed to all but its owner, and
/// what is written here is meant to be handed on.
fn with_usual_rights() -> tempfile::Builder<'static, 'static> {
    let builder = tempfile::Builder::new();
    #[cfg(unix)]
    let builder = {
        use std::os::unix::fs::PermissionsExt as _;
        let mut builder = builder;
        // The mask of the user takes off what they do not share.
        builder.permissions(std::fs::Permissions::from_mode(0o666));
        builder
    };
    builder
}
