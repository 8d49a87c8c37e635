//! What the readers cannot see: whether the tables agree with one another.
//!
//! A reader is content with a row that reads; the lint asks whether its keys exist, its figures
//! are possible, its source is known, its rows are in order. It looks at the text of the tables,
//! built in and own alike, one rule a file, and gives located values with what to type; it mends
//! nothing.

mod book;
mod bounds;
mod cited;
mod eppo;
mod family;
mod groups;
mod how;
mod links;
mod names;
mod order;
mod pathogen;
mod sorted;
mod unique;
mod units;

use super::Knowledge;
use super::tables::{Replacement, Tables, is_own};
use crate::tabular::{Problem, RowProblem};
use book::Book;

/// What is asked of the tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LintRule {
    /// Every cell reads by its column.
    CellReads,
    /// No two rows of a table are the same.
    UniqueKey,
    /// Every key that a row names exists.
    KeyExists,
    /// Every figure has a unit and lies within what is physically possible.
    Bounds,
    /// The low end is not above the likely value, nor that above the high end.
    LowToHigh,
    /// Every source cited is in the table of sources.
    SourceExists,
    /// Every source is cited.
    SourceCited,
    /// `memory` as a source goes with `memory` as the way it is known.
    HowAgrees,
    /// Every crop reaches a family.
    CropFamily,
    /// Every pathogen has a host row or says that its hosts are not recorded.
    PathogenHosts,
    /// Every pathogen has a survival statement or says that it is not recorded.
    PathogenSurvival,
    /// Rows stand in the order of what they are about.
    RowsSorted,
    /// EPPO codes have the form of EPPO codes.
    EppoForm,
    /// A name stands for one thing, however it is spelt.
    NameUnambiguous,
    /// A synonym stands for a key that exists.
    SynonymKey,
    /// Every group has members.
    GroupMembers,
}

impl LintRule {
    /// All rules.
    pub const ALL: [Self; 16] = [
        Self::CellReads,
        Self::UniqueKey,
        Self::KeyExists,
        Self::Bounds,
        Self::LowToHigh,
        Self::SourceExists,
        Self::SourceCited,
        Self::HowAgrees,
        Self::CropFamily,
        Self::PathogenHosts,
        Self::PathogenSurvival,
        Self::RowsSorted,
        Self::EppoForm,
        Self::NameUnambiguous,
        Self::SynonymKey,
        Self::GroupMembers,
    ];

    /// The rule's word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::CellReads => "cell_reads",
            Self::UniqueKey => "unique_key",
            Self::KeyExists => "key_exists",
            Self::Bounds => "bounds",
            Self::LowToHigh => "low_to_high",
            Self::SourceExists => "source_exists",
            Self::SourceCited => "source_cited",
            Self::HowAgrees => "how_agrees",
            Self::CropFamily => "crop_family",
            Self::PathogenHosts => "pathogen_hosts",
            Self::PathogenSurvival => "pathogen_survival",
            Self::RowsSorted => "rows_sorted",
            Self::EppoForm => "eppo_form",
            Self::NameUnambiguous => "name_unambiguous",
            Self::SynonymKey => "synonym_key",
            Self::GroupMembers => "group_members",
        }
    }

    /// Whether own tables with such a fault are refused: an answer could be wrong by it. The other
    /// rules are about care in keeping tables.
    #[must_use]
    pub fn refuses(self) -> bool {
        match self {
            Self::CellReads
            | Self::UniqueKey
            | Self::KeyExists
            | Self::Bounds
            | Self::LowToHigh
            | Self::SourceExists
            | Self::CropFamily
            | Self::NameUnambiguous
            | Self::SynonymKey
            | Self::GroupMembers => true,
            Self::SourceCited
            | Self::HowAgrees
            | Self::PathogenHosts
            | Self::PathogenSurvival
            | Self::RowsSorted
            | Self::EppoForm => false,
        }
    }
}

/// A fault of the tables, located.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The rule that found it.
    pub rule: LintRule,
    /// Where, what was read there, what is wrong, what to type.
    pub at: RowProblem,
}

/// The outcome of a lint.
#[derive(Clone, Debug)]
pub struct LintReport {
    /// The faults, by file and line.
    pub faults: Vec<Fault>,
    /// Own rows that took the place of built-in ones.
    pub replacements: Vec<Replacement>,
    /// How many tables were looked at, own ones counted apart.
    pub tables: usize,
    /// How many rows.
    pub rows: usize,
}

/// Looks at all tables.
///
/// ```
/// use breakcrop::knowledge::{Tables, lint};
/// assert!(lint(&Tables::built_in()).faults.is_empty());
/// ```
#[must_use]
pub fn lint(tables: &Tables) -> LintReport {
    let book = Book::open(tables);
    let mut faults: Vec<Fault> = Knowledge::unreadable(tables)
        .into_iter()
        .map(|mut at| {
            if at.hint.is_none() {
                at.hint = Some(what_to_type(&book, &at));
            }
            let rule = match at.problem {
                Problem::UnknownName { .. } => LintRule::KeyExists,
                Problem::OutOfRange { .. } => LintRule::Bounds,
                _ => LintRule::CellReads,
            };
            Fault { rule, at }
        })
        .collect();
    for check in [
        unique::check,
        links::check,
        bounds::check,
        order::check,
        cited::check,
        how::check,
        family::check,
        pathogen::check,
        sorted::check,
        eppo::check,
        names::check,
        groups::check,
    ] {
        faults.extend(check(&book));
    }
    faults.sort_by(|a, b| {
        let place = |fault: &Fault| (fault.at.file.clone(), fault.at.line, fault.at.column);
        (place(a), a.rule).cmp(&(place(b), b.rule))
    });
    faults.dedup();
    LintReport {
        faults,
        replacements: tables.replacements(),
        tables: book.texts(),
        rows: book.rows(),
    }
}

/// What to type where a reader only found that something does not read.
fn what_to_type(book: &Book, problem: &RowProblem) -> String {
    match &problem.problem {
        Problem::UnknownName { of: "crop" } => {
            book::near(&problem.value, book.values("crops.csv", "key"))
        }
        Problem::UnknownName { of: "pathogen" } => {
            book::near(&problem.value, book.values("pathogens.csv", "key"))
        }
        Problem::OutOfRange { .. } => "is the decimal point in its place?".to_owned(),
        Problem::NotAWord { .. } => "write one of these words".to_owned(),
        _ => "the columns of a table and their meaning are those of the built-in one".to_owned(),
    }
}

/// The faults for which own tables are refused.
pub(super) fn refused(tables: &Tables) -> Vec<RowProblem> {
    lint(tables)
        .faults
        .into_iter()
        .filter(|fault| fault.rule.refuses() && is_own(&fault.at.file))
        .map(|fault| fault.at)
        .collect()
}
