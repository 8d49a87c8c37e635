//! Plantings that the grower has decided: read from a plan's own file, kept when the rest is planned
//! anew.

use crate::knowledge::Knowledge;
use crate::records::{BedNames, Garden, Lookup, Planting, Record, RecordKind};
use crate::tabular::{Problems, scan};
use std::sync::Arc;

/// Name of the file a plan is written to: its columns are those of `plantings.csv`.
pub const PLAN_FILE: &str = "plan.csv";

/// Plantings to keep.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// The plantings.
    pub plantings: Vec<Planting>,
}

impl Kept {
    /// Reads the text of a plan's file. All rows that cannot be read are told, with line and column.
    pub fn read(
        knowledge: &Knowledge,
        garden: &Garden,
        file: &str,
        text: &[u8],
    ) -> Result<Self, Problems> {
        let mut beds = BedNames::default();
        for bed in &garden.beds {
            beds.add(&bed.name);
        }
        let kind = RecordKind::Plantings;
        let mut problems = Problems::default();
        let mut plantings = Vec::new();
        let name: Arc<str> = Arc::from(file);
        scan(&name, text, kind.columns(), &mut problems, |cells| {
            if let Some(Record::Planting(planting)) =
                kind.read(cells, &Lookup::new(knowledge, &beds))
            {
                plantings.push(planting);
            }
        });
        if problems.is_empty() { Ok(Self { plantings }) } else { Err(problems) }
    }
}
