//! What the judging code reckons on its way, laid open step by step and reviewed by eye: days and
//! hazards of a season, months of the books, doses, reasons with what they rest on. A page shows a
//! rounded sum of all that; here each part of it stands by itself, so that a part that changes shows.
//!
//! `INSTA_UPDATE=always cargo test --test laid_open`, then read the diff.
#![expect(clippy::use_debug, reason = "what has no word of its own is laid open as it stands")]

mod books;
mod doses;
mod judged;
mod known;
mod proposals;
mod season;
mod stands;
#[path = "../support/mod.rs"]
mod support;
mod written;

use breakcrop::knowledge::CropId;
use support::tables::{day, knowledge};

fn crop(key: &str) -> CropId {
    knowledge().crops.find(key).unwrap_or_else(|| panic!("{key}"))
}
