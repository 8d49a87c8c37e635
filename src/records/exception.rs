//! Findings the grower has looked at and lets stand, with a reason and an end.

use super::Lookup;
use crate::origin::Origin;
use crate::season::Date;
use crate::tabular::{Cells, Column, Kind};

/// One exception from an audit rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Exception {
    /// The rule.
    pub rule: Box<str>,
    /// The bed, or `None` for all.
    pub bed: Option<Box<str>>,
    /// Until when.
    pub until: Date,
    /// Why.
    pub reason: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Exception {
    /// Columns of `exceptions.csv`.
    pub const COLUMNS: &'static [Column] = &[
        Column::required("rule", Kind::Text(60), "name of the audit rule"),
        Column::optional("bed", Kind::Name("bed"), "bed; blank for all"),
        Column::required("until", Kind::Date, "last day, yyyy-mm-dd"),
        Column::required("reason", Kind::Text(500), "why it may stand"),
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let rule = cells.text("rule").map(Box::from);
        let bed = cells.name("bed", |written| lookup.bed(written));
        let until = cells.date("until");
        let reason = cells.text("reason").map(Box::from);
        let origin = cells.origin();
        Some(Self { rule: rule?, bed, until: until?, reason: reason?, origin })
    }
}
