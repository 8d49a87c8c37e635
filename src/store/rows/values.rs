//! Values of our types as SQL values.

use rusqlite::types::Value;

use crate::season::{Date, day_number};

pub(super) fn real(value: Option<f64>) -> Value {
    value.map_or(Value::Null, number)
}

/// SQLite keeps no negative zero, so that a digest of one would not hold.
pub(super) fn number(value: f64) -> Value {
    Value::Real(value + 0.0)
}

pub(super) fn text(value: &str) -> Value {
    Value::Text(value.to_owned())
}

pub(super) fn optional_text(value: Option<&str>) -> Value {
    value.map_or(Value::Null, text)
}

pub(super) fn day(value: Date) -> Value {
    Value::Integer(day_number(value))
}

pub(super) fn optional_day(value: Option<Date>) -> Value {
    value.map_or(Value::Null, day)
}
