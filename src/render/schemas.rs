//! The dictionary of the record files as Frictionless Table Schema, an open standard, made from
//! the same columns that read them.

use serde_json::{Value, json};

use crate::records::RecordKind;
use crate::tabular::{Column, Kind};

/// File name and text of the schema of every record file.
#[must_use]
pub fn record_schemas() -> Vec<(String, String)> {
    RecordKind::ALL
        .into_iter()
        .map(|kind| {
            let name = format!("{}.schema.json", kind.word());
            (name, super::json_text(&table_schema(kind.word(), kind.columns())))
        })
        .collect()
}

/// The schema of one table.
#[must_use]
pub fn table_schema(name: &str, columns: &[Column]) -> Value {
    let fields: Vec<Value> = columns.iter().map(field).collect();
    json!({
        "name": name,
        "fields": fields,
        "missingValues": [""],
    })
}

fn field(column: &Column) -> Value {
    let mut constraints = serde_json::Map::new();
    if column.required {
        constraints.insert("required".into(), true.into());
    }
    let kind = match column.kind {
        Kind::Text(most) => {
            constraints.insert("maxLength".into(), most.into());
            "string"
        }
        Kind::Name(_) => "string",
        Kind::Date => "date",
        Kind::Whole(least, most) => {
            constraints.insert("minimum".into(), least.into());
            constraints.insert("maximum".into(), most.into());
            "integer"
        }
        Kind::Number(least, most) | Kind::Measured(_, least, most) => {
            if least.is_finite() {
                constraints.insert("minimum".into(), least.into());
            }
            if most.is_finite() {
                constraints.insert("maximum".into(), most.into());
            }
            "number"
        }
        Kind::Choice(words) => {
            constraints.insert("enum".into(), words.into());
            "string"
        }
    };
    let mut description = column.meaning.to_owned();
    if let Kind::Measured(dimension, ..) = column.kind {
        let names: Vec<String> = dimension.suffixes()[1..]
            .iter()
            .map(|(unit, _)| format!("{}_{unit}", column.bare_name()))
            .collect();
        description.push_str("; the header may also be ");
        description.push_str(&names.join(", "));
    }
    json!({
        "name": column.name,
        "type": kind,
        "description": description,
        "constraints": constraints,
    })
}
