//! Where a record or a fact was read, so that every answer can be followed back to its line.

use std::fmt;
use std::sync::Arc;

/// A line of a file, counted from 1. Every record and every knowledge row carries one.
///
/// ```
/// use breakcrop::origin::Origin;
/// assert_eq!(Origin::new("plantings.csv", 41).to_string(), "plantings.csv:41");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Origin {
    /// File name as the grower knows it, without folders.
    pub file: Arc<str>,
    /// Line in that file, from 1; the header is line 1.
    pub line: u32,
}

impl Origin {
    /// The line of a file.
    #[must_use]
    pub fn new(file: impl Into<Arc<str>>, line: u32) -> Self {
        Self { file: file.into(), line }
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.file, self.line)
    }
}
