//! The built-in tables and days, for tests that ask for them at every turn.

use std::sync::OnceLock;

use breakcrop::knowledge::Knowledge;
use breakcrop::season::{Date, iso_day};

/// The tables, read once.
pub(crate) fn knowledge() -> &'static Knowledge {
    static KNOWLEDGE: OnceLock<Knowledge> = OnceLock::new();
    KNOWLEDGE.get_or_init(Knowledge::embedded)
}

pub(crate) fn day(text: &str) -> Date {
    iso_day(text).unwrap_or_else(|| panic!("{text}"))
}
