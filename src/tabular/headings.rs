//! The column that a header means which is none of ours: another word for it, or a slip of the pen.

use super::column::{Column, Kind};
use super::scan::header_words;

/// How alike a header and a column must be for a slip of the pen.
const NEAR: f64 = 0.88;

/// Words that growers write over our columns. A file has the first of the columns that it knows: a
/// crop goes *in* on the day planted, a treatment on its first day.
const OTHER_WORDS: &[(&[&str], &[&str])] = &[
    (
        &["bed_name", "bed_no", "bed_number", "plot", "patch", "place", "where", "location"],
        &["bed"],
    ),
    (&["type", "bed_type"], &["kind"]),
    (&["part", "half", "row", "end_of_bed"], &["section"]),
    (&["plant", "veg", "vegetable", "species", "what"], &["crop"]),
    (&["cultivar", "sort"], &["variety"]),
    (
        &[
            "in",
            "sown",
            "date_in",
            "date_sown",
            "sow_date",
            "sowing_date",
            "sowing",
            "date_planted",
            "plant_date",
            "planting_date",
            "planted_on",
            "planted_out",
            "from",
            "started",
        ],
        &["planted", "start", "date"],
    ),
    (
        &[
            "out",
            "date_out",
            "cleared",
            "date_cleared",
            "pulled",
            "finished",
            "finish",
            "ended",
            "date_removed",
            "end_date",
            "to",
            "until",
            "lifted",
        ],
        &["removed", "end"],
    ),
    (&["when", "day", "on", "month"], &["date", "planted"]),
    (&["problem", "disease", "pest", "issue", "ailment", "diagnosis"], &["cause"]),
    (&["symptoms", "signs", "sign", "seen", "looks_like"], &["symptom"]),
    (&["severity", "how_bad", "how_much"], &["extent"]),
    (&["how", "sown_or_planted"], &["method"]),
    (&["number", "no", "count", "number_of_plants", "no_of_plants", "qty"], &["plants"]),
    (&["notes", "comment", "comments", "remark", "remarks", "memo"], &["note"]),
    (&["product", "amendment", "fertiliser", "fertilizer", "input"], &["material"]),
    (&["treatment"], &["practice"]),
    (&["garden", "garden_name", "site"], &["name"]),
    (&["lat"], &["latitude"]),
    (&["lon", "long", "lng"], &["longitude"]),
    (&["weight_kg", "yield_kg", "picked_kg", "kg"], &["mass_kg"]),
    (&["weight_lb", "yield_lb", "lb", "lbs"], &["mass_lb"]),
];

/// The column meant by a header that is none of the file's, in the unit that the header names.
pub(crate) fn meant(theirs: &str, columns: &'static [Column]) -> Option<String> {
    let theirs = header_words(theirs);
    let names: Vec<String> = columns.iter().flat_map(names_of).collect();
    let other = OTHER_WORDS
        .iter()
        .find(|(words, _)| words.contains(&theirs.as_str()))
        .and_then(|(_, ours)| ours.iter().find(|our| names.iter().any(|name| name == **our)));
    other.map(|our| (*our).to_owned()).or_else(|| {
        names
            .into_iter()
            .map(|name| (strsim::jaro_winkler(&theirs, &name), name))
            .filter(|(likeness, _)| *likeness > NEAR)
            .max_by(|one, other| one.0.total_cmp(&other.0))
            .map(|(_, name)| name)
    })
}

/// The names under which a column may stand: one for each unit it may be written in.
fn names_of(column: &'static Column) -> Vec<String> {
    let Kind::Measured(dimension, ..) = column.kind else { return vec![column.name.to_owned()] };
    let suffixes = dimension.suffixes().iter();
    suffixes.map(|(unit, _)| format!("{}_{unit}", column.bare_name())).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::Dimension;
    use pretty_assertions::assert_eq;

    const STOOD: &[Column] = &[
        Column::required("planted", Kind::Date, "day sown"),
        Column::optional("removed", Kind::Date, "day cleared"),
        Column::optional("note", Kind::Text(80), "anything else"),
    ];
    const TREATED: &[Column] = &[
        Column::required("start", Kind::Date, "first day"),
        Column::required("length_m", Kind::Measured(Dimension::Length, 0.0, 9.0), "long side"),
    ];

    #[test]
    fn another_word_means_the_column_of_its_file() {
        let cases = [
            ("In", STOOD, Some("planted")),
            ("In", TREATED, Some("start")),
            ("Out", STOOD, Some("removed")),
            ("Out", TREATED, None),
            ("Notes", STOOD, Some("note")),
            ("Lenght (ft)", TREATED, Some("length_ft")),
            ("Moon", STOOD, None),
        ];
        for (theirs, columns, ours) in cases {
            assert_eq!(meant(theirs, columns).as_deref(), ours, "{theirs}");
        }
    }
}
