//! What became of every row of the reference tables from which these tables were made, and how
//! much the tables hold now. The first is a record, the second is counted.

use super::Knowledge;
use super::hosts::Says;
use super::names::Named;
use super::table::{NOTE, rows};
use crate::tabular::{Column, Kind, Problems};

/// What became of one reference table.
#[derive(Clone, Debug)]
pub struct Coverage {
    /// The reference table.
    pub reference: Box<str>,
    /// Its rows: the sum of the five counts that follow.
    pub rows: usize,
    /// Taken, some of them reworded or regraded.
    pub taken: usize,
    /// Joined to another row.
    pub merged: usize,
    /// Made several rows.
    pub split: usize,
    /// Moved to the table named in `moved_to`.
    pub moved: usize,
    /// Left out.
    pub refused: usize,
    /// Tables that hold them now.
    pub now_in: Vec<Box<str>>,
    /// Table the moved rows went to.
    pub moved_to: Box<str>,
    /// Why.
    pub why: Box<str>,
}

const COUNT: Kind = Kind::Whole(0, 1_000_000);

const COLUMNS: &[Column] = &[
    Column::required("reference_table", Kind::Text(60), "reference table"),
    Column::required("rows", COUNT, "its rows"),
    Column::required("taken", COUNT, "taken"),
    Column::required("merged", COUNT, "joined to another row"),
    Column::required("split", COUNT, "made several rows"),
    Column::required("moved", COUNT, "moved to another table"),
    Column::required("refused", COUNT, "left out"),
    Column::optional("now_in", Kind::Text(200), "tables that hold them, joined by ;"),
    Column::optional("moved_to", Kind::Text(60), "table the moved rows went to"),
    Column::optional("why", NOTE, "why"),
];

/// The record, by reference table.
#[must_use]
pub fn coverage() -> Vec<Coverage> {
    read(&mut Problems::default())
}

fn read(problems: &mut Problems) -> Vec<Coverage> {
    let text = include_str!("tables/coverage.csv");
    rows("coverage.csv", text, COLUMNS, problems, |cells| {
        let reference = cells.text("reference_table")?.into();
        let mut count = |name| usize::try_from(cells.whole(name)?).ok();
        Some(Coverage {
            reference,
            rows: count("rows")?,
            taken: count("taken")?,
            merged: count("merged")?,
            split: count("split")?,
            moved: count("moved")?,
            refused: count("refused")?,
            now_in: super::table::words(cells.text("now_in")),
            moved_to: super::table::note(cells, "moved_to"),
            why: super::table::note(cells, "why"),
        })
    })
}

/// One count of the tables, with the least that was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// Of what.
    pub what: &'static str,
    /// How many.
    pub count: usize,
    /// The least asked for, if any.
    pub least: Option<usize>,
}

impl Knowledge {
    /// How much the tables hold.
    #[must_use]
    pub fn holdings(&self) -> Vec<Holding> {
        let says = |wanted: Says| self.hosts.rows().iter().filter(|row| row.says == wanted).count();
        let named =
            |wanted| self.names.synonyms().iter().filter(|synonym| synonym.named == wanted).count();
        let of = |what, count, least| Holding { what, count, least };
        vec![
            of("crops and other plants", self.crops.count(), Some(120)),
            of("pathogens and soil pests", self.pathogens.count(), Some(160)),
            of("host rows", self.hosts.rows().len(), Some(2000)),
            of("  host", says(Says::Host), None),
            of("  symptomless carrier", says(Says::Carrier), None),
            of("  poor host", says(Says::PoorHost), None),
            of("  seen, no grade", says(Says::Unknown), None),
            of("  advised break", says(Says::AdvisedBreak), None),
            of("  not a host", says(Says::NonHost), None),
            of("  resistant cultivars exist", says(Says::ResistantCultivars), None),
            of("  suppressive", says(Says::Suppressive), None),
            of("intervals", self.intervals.rows().len(), Some(180)),
            of("return times", self.returns.rows().len(), Some(90)),
            of("modifiers", self.modifiers().len(), Some(200)),
            of("symptoms", self.symptoms.rows().len(), Some(185)),
            of("covers", self.covers().len(), Some(47)),
            of("material rows", self.material_rows(), Some(140)),
            of("materials", self.materials.rows().len(), None),
            of("sequence rules", self.sequences.rows().len(), Some(160)),
            of("clauses of standards", self.clauses().len(), Some(95)),
            of("resistance codes", self.resistances.rows().len(), None),
            of("rootstocks", self.rootstocks.rows().len(), None),
            of("sources", self.sources.count(), None),
            of("names of crops", named(Named::Crop), None),
            of("names of pathogens", named(Named::Pathogen), None),
            of(
                "names of materials, causes, practices",
                named(Named::Material) + named(Named::Cause) + named(Named::Practice),
                None,
            ),
        ]
    }

    /// Rows of the materials' table; several may speak of one material.
    #[must_use]
    pub fn material_rows(&self) -> usize {
        self.tables
            .read(&super::materials::AMENDMENTS, &mut Problems::default(), |_| Some(()))
            .len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn every_reference_row_is_accounted_for() {
        let mut problems = Problems::default();
        let record = read(&mut problems);
        assert!(problems.is_empty(), "{:?}", problems.list);
        assert_eq!(record.len(), 29);
        for row in record {
            let sum = row.taken + row.merged + row.split + row.moved + row.refused;
            assert_eq!((&*row.reference, sum), (&*row.reference, row.rows));
            let changed = row.taken < row.rows;
            assert!(!changed || !row.why.is_empty() || row.split > 0, "{}: why", row.reference);
            assert_ne!(row.moved > 0, row.moved_to.is_empty(), "{}: where to", row.reference);
        }
    }

    #[test]
    fn the_tables_hold_what_was_asked_for() {
        for holding in Knowledge::embedded().holdings() {
            if let Some(least) = holding.least {
                assert!(holding.count >= least, "{}: {}", holding.what, holding.count);
            }
        }
    }
}
