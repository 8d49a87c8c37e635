//! CSV text to header-checked, located cells.
//!
//! Owns the reading of every table of the project, the grower's and our own. It never stops at
//! the first fault: all problems of a file are gathered, each with line and character column, what
//! was read and what to type instead. It does not open files and does not know what a crop is.

mod cells;
mod column;
mod convert;
mod days;
mod formula;
mod headings;
mod locate;
mod problem;
mod rows;
mod scan;

pub use cells::{Cells, Resolved};
pub use column::{Column, Kind};
pub use convert::in_units;
pub use formula::{neutralised, text_fields};
pub(crate) use headings::meant;
pub(crate) use locate::place_of_field;
pub use problem::{Problem, Problems, RowProblem};
pub(crate) use scan::matching;
pub use scan::{MAX_RECORD_BYTES, scan, scan_stream};
