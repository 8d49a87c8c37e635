//! The whole garden, several seasons ahead.
pub mod solve;
