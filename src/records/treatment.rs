//! What was done to the soil.

use super::{Lookup, Place, columns};
use crate::knowledge::Named;
use crate::origin::Origin;
use crate::season::Interval;
use crate::tabular::{Cells, Column, Kind, Problem};

/// A treatment by its key: `solarization`, `lime`, `flooding`, `soil_replaced`, `steaming`, ...
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Practice(pub Box<str>);

impl Practice {
    /// Whether the soil was taken out and new soil put in: the history of the place begins anew.
    #[must_use]
    pub fn replaces_soil(&self) -> bool {
        &*self.0 == "soil_replaced"
    }

    /// Whether it is meant to rid the whole soil of what lives in it, whatever that is.
    #[must_use]
    pub fn disinfests(&self) -> bool {
        matches!(
            &*self.0,
            "solarization" | "flooding" | "steaming" | "fumigation" | "anaerobic_disinfestation"
        )
    }
}

/// One treatment.
#[derive(Clone, Debug, PartialEq)]
pub struct Treatment {
    /// Bed and section.
    pub place: Place,
    /// From when to when.
    pub lasted: Interval,
    /// What was done.
    pub practice: Practice,
    /// Anything else.
    pub note: Box<str>,
    /// Where written.
    pub origin: Origin,
}

impl Treatment {
    /// Columns of `treatments.csv`.
    pub const COLUMNS: &'static [Column] = &[
        columns::BED,
        columns::SECTION,
        Column::required("start", Kind::Date, "first day, yyyy-mm-dd"),
        Column::optional("end", Kind::Date, "last day; blank if one day or still going on"),
        Column::required("practice", Kind::Name("practice"), "what was done to the soil"),
        columns::NOTE,
    ];

    pub(super) fn read(cells: &mut Cells<'_>, lookup: &Lookup<'_>) -> Option<Self> {
        let place = super::place(cells, lookup);
        let start = cells.date("start");
        let end = cells.date("end");
        if let (Some(start), Some(end)) = (start, end)
            && end < start
        {
            let hint = Some("are the two days exchanged, or is a year wrong?".to_owned());
            cells.problem("end", Problem::EndsBeforeStart { start: start.to_string() }, hint);
        }
        let names = &lookup.knowledge.names;
        let practice = cells.name("practice", |written| {
            names.find(Named::Practice, written).map(|key| Practice(key.into()))
        });
        let note = cells.text("note").unwrap_or_default().into();
        let origin = cells.origin();
        Some(Self {
            place: place?,
            lasted: Interval { start: start?, end },
            practice: practice?,
            note,
            origin,
        })
    }
}
