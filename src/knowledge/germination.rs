//! The tables of heat sums and days to emergence: their columns, for lint and own tables.

use super::table::{LOCATOR, NOTE, SOURCE};
use super::tables::Table;
use crate::tabular::{Column, Kind};

const HOW: Column = Column::required(
    "how",
    Kind::Choice(&["read", "common_practice", "memory", "computed"]),
    "read, memory, common practice, or computed from the source's figures",
);

const THERMAL_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::optional("tb_c", Kind::Number(-15.0, 25.0), "base temperature"),
    Column::optional("theta_dd", Kind::Number(1.0, 2000.0), "heat sum, degree-days"),
    Column::required("event", Kind::Text(40), "what is reached"),
    Column::optional("t_opt_c", Kind::Number(0.0, 50.0), "best temperature"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) const THERMAL_GERMINATION: Table = Table {
    file: "thermal_germination.csv",
    text: include_str!("tables/thermal_germination.csv"),
    columns: THERMAL_COLUMNS,
    subject: &["crop", "event"],
    told_apart_by: &["source", "tb_c", "theta_dd"],
    attributes: None,
};

const EMERGENCE_COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key"),
    Column::required("soil_temp_c", Kind::Number(-5.0, 50.0), "soil temperature"),
    Column::optional("days_to_emerge", Kind::Text(10), "days, a figure or low-high"),
    Column::required(
        "status",
        Kind::Choice(&["emerged", "no_germination", "not_tested"]),
        "what became of it",
    ),
    Column::optional("pct_normal_seedlings", Kind::Number(0.0, 100.0), "normal seedlings"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) const EMERGENCE_DAYS: Table = Table {
    file: "emergence_days.csv",
    text: include_str!("tables/emergence_days.csv"),
    columns: EMERGENCE_COLUMNS,
    subject: &["crop", "soil_temp_c"],
    told_apart_by: &[],
    attributes: None,
};
