//! What an import came to.

/// What an import did, by record.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// New records.
    pub added: usize,
    /// Records that supersede an earlier one.
    pub corrected: usize,
    /// Records already there.
    pub unchanged: usize,
    /// Records of the files named that no longer stand in them: file and line where they stood.
    /// They are kept, or withdrawn if that was asked for.
    pub missing: Vec<(String, i64)>,
    /// Whether the missing ones were withdrawn.
    pub withdrawn: bool,
}

impl Tally {
    /// Whether the import changed anything.
    #[must_use]
    pub fn changes_nothing(&self) -> bool {
        let withdrawn = if self.withdrawn { self.missing.len() } else { 0 };
        self.added + self.corrected + withdrawn == 0
    }
}
