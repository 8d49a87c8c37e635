//! Published years without a host, and return times where no disease is known.

use std::collections::BTreeMap;

use super::citation::Citation;
use super::crops::Crops;
use super::ids::{CropId, PathogenId};
use super::pathogens::Pathogens;
use super::table::{FLAG, HOW, LOCATOR, NOTE, SOURCE, YEARS, citation, words};
use super::tables::{Table, Tables};
use crate::tabular::{Column, Kind, Problems};

/// What a source says of waiting for ever.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clears {
    /// Nothing.
    Unstated,
    /// Waiting clears the bed.
    Yes,
    /// Waiting does not clear it.
    No,
}

/// The condition under which an interval is advised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Situation {
    /// The disease is on record.
    Outbreak,
    /// Spacing on clean land: not the wait after an outbreak.
    CleanLand,
    /// Not said.
    Unstated,
}

/// One published interval.
#[derive(Clone, Debug)]
pub struct IntervalRow {
    /// The crop of the advice; `None` for any host.
    pub crop: Option<CropId>,
    /// The pathogen; `None` for "root diseases" and the like.
    pub pathogen: Option<PathogenId>,
    /// Disease as the source names it.
    pub disease: Box<str>,
    /// Least years.
    pub years_min: Option<f64>,
    /// Most years; `None` if one figure or "at least".
    pub years_max: Option<f64>,
    /// Under which condition.
    pub situation: Situation,
    /// Crops that the source says to keep out.
    pub avoid: Vec<CropId>,
    /// Families that the source says to keep out.
    pub avoid_families: Vec<Box<str>>,
    /// The source speaks of a rotation of N years, so the break may be one year less.
    pub cycle: bool,
    /// Whether the source holds the years to be sufficient.
    pub enough: bool,
    /// At least so many years.
    pub open_ended: bool,
    /// Whether waiting clears the bed.
    pub clears: Clears,
    /// What the source adds.
    pub note: Box<str>,
    /// Where from.
    pub citation: Citation,
}

const SITUATIONS: &[&str] = &["outbreak", "clean_land", "unstated"];
const CLEARS: &[&str] = &["unstated", "yes", "no"];

const COLUMNS: &[Column] = &[
    Column::required("crop", Kind::Name("crop"), "crop key, or any"),
    Column::optional("disease", Kind::Text(120), "disease as the source names it"),
    Column::optional("pathogen", Kind::Name("pathogen"), "pathogen key"),
    Column::optional("years_min", YEARS, "least years without the host"),
    Column::optional("years_max", YEARS, "most years"),
    Column::required(
        "situation",
        Kind::Choice(SITUATIONS),
        "after an outbreak, or spacing on clean land",
    ),
    Column::optional("avoid", Kind::Text(600), "crop keys to keep out, joined by ;"),
    Column::optional("avoid_families", Kind::Text(300), "families to keep out, joined by ;"),
    Column::optional("cycle", FLAG, "the source speaks of an N-year rotation"),
    Column::optional("enough", FLAG, "the source holds the years to be sufficient"),
    Column::optional("open_ended", FLAG, "at least so many years"),
    Column::optional("clears", Kind::Choice(CLEARS), "whether waiting clears the bed"),
    Column::optional("note", NOTE, "what the source adds"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static INTERVALS: Table = Table {
    file: "intervals.csv",
    text: include_str!("tables/intervals.csv"),
    columns: COLUMNS,
    subject: &["crop", "pathogen"],
    told_apart_by: &["disease", "situation", "source", "note"],
    attributes: None,
};

/// The published intervals.
#[derive(Debug)]
pub struct Intervals {
    rows: Vec<IntervalRow>,
    /// By kind of pathogen: the median of the least years that sources hold to be sufficient.
    usual: BTreeMap<Box<str>, Usual>,
}

/// What sources usually print for pathogens of a kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Usual {
    /// Years without a host: the median of the least years printed.
    pub years: f64,
    /// Rows it rests on.
    pub rows: usize,
}

/// Rows below which a kind's usual years are not told.
const ROWS_FOR_USUAL: usize = 5;

fn usual(rows: &[IntervalRow], pathogens: &Pathogens) -> BTreeMap<Box<str>, Usual> {
    let mut by_kind: BTreeMap<Box<str>, Vec<f64>> = BTreeMap::new();
    for row in rows.iter().filter(|row| row.is_sufficient()) {
        let (Some(pathogen), Some(years)) = (row.pathogen, row.years_min) else { continue };
        by_kind.entry(pathogens[pathogen].kind.clone()).or_default().push(years);
    }
    by_kind
        .into_iter()
        .filter(|(_, all)| all.len() >= ROWS_FOR_USUAL)
        .filter_map(|(kind, mut all)| {
            Some((kind, Usual { years: median(&mut all)?, rows: all.len() }))
        })
        .collect()
}

/// The middle of some figures, between the two middles of an even number; `None` without figures.
pub(crate) fn median(figures: &mut [f64]) -> Option<f64> {
    figures.sort_by(f64::total_cmp);
    let upper = figures.get(figures.len() / 2)?;
    let lower = figures.get(figures.len().saturating_sub(1) / 2)?;
    Some(f64::midpoint(*lower, *upper))
}

impl IntervalRow {
    /// Whether its years are held to be sufficient after an outbreak, or not said to be only for
    /// clean land.
    #[must_use]
    pub fn is_sufficient(&self) -> bool {
        self.enough && self.situation != Situation::CleanLand && self.years_min.is_some()
    }
}

impl Intervals {
    pub(super) fn read(
        tables: &Tables,
        crops: &Crops,
        pathogens: &Pathogens,
        problems: &mut Problems,
    ) -> Self {
        let rows = tables.read(&INTERVALS, problems, |cells| {
            let crop = cells.name("crop", |key| {
                if key == "any" { Ok(None) } else { crops.find(key).map(Some).ok_or_else(Vec::new) }
            });
            let disease = cells.text("disease").unwrap_or_default().into();
            let pathogen = cells.name("pathogen", |key| pathogens.find(key).ok_or_else(Vec::new));
            let (years_min, years_max) = (cells.number("years_min"), cells.number("years_max"));
            let situation = [Situation::Outbreak, Situation::CleanLand, Situation::Unstated]
                [cells.choice("situation")?];
            let avoid = words(cells.text("avoid"))
                .iter()
                .filter_map(|key| {
                    let found = crops.find(key);
                    if found.is_none() {
                        let problem = crate::tabular::Problem::UnknownName { of: "crop" };
                        cells.problem("avoid", problem, Some(format!("`{key}` is not a crop key")));
                    }
                    found
                })
                .collect();
            Some(IntervalRow {
                crop: crop?,
                pathogen,
                disease,
                years_min,
                years_max,
                situation,
                avoid,
                avoid_families: words(cells.text("avoid_families")),
                cycle: cells.choice("cycle") == Some(1),
                enough: cells.choice("enough") != Some(0),
                open_ended: cells.choice("open_ended") == Some(1),
                clears: cells
                    .choice("clears")
                    .map_or(Clears::Unstated, |at| [Clears::Unstated, Clears::Yes, Clears::No][at]),
                note: cells.text("note").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        let usual = usual(&rows, pathogens);
        Self { rows, usual }
    }

    /// What sources usually print for a pathogen's kind; `None` if too few print anything.
    #[must_use]
    pub fn usual(&self, pathogens: &Pathogens, pathogen: PathogenId) -> Option<Usual> {
        self.usual.get(&pathogens[pathogen].kind).copied()
    }

    /// All rows, in the order of the table.
    #[must_use]
    pub fn rows(&self) -> &[IntervalRow] {
        &self.rows
    }

    /// The intervals as they would stand without some rows: to see what an answer owes to them.
    #[must_use]
    pub fn without(&self, pathogens: &Pathogens, leave_out: impl Fn(&IntervalRow) -> bool) -> Self {
        let rows: Vec<IntervalRow> =
            self.rows.iter().filter(|row| !leave_out(row)).cloned().collect();
        let usual = usual(&rows, pathogens);
        Self { rows, usual }
    }

    /// Rows on a pathogen that speak of the crop by name, or through a family or list to be kept
    /// out; where there is none, all rows on the pathogen, since an interval holds for its hosts.
    #[must_use]
    pub fn on(
        &self,
        crops: &Crops,
        pathogens: &Pathogens,
        pathogen: PathogenId,
        crop: CropId,
    ) -> Vec<&IntervalRow> {
        let of_any = |wanted: &[PathogenId]| -> Vec<&IntervalRow> {
            let wanted = |row: &&IntervalRow| row.pathogen.is_some_and(|one| wanted.contains(&one));
            self.rows.iter().filter(wanted).collect()
        };
        // The pathogen's own rows; else those of its group; else those of its members.
        let mut of = of_any(&[pathogen]);
        if of.is_empty() {
            of = of_any(&pathogens.groups_of(pathogen).collect::<Vec<_>>());
        }
        if of.is_empty() {
            of = of_any(&pathogens.members_of(pathogen).collect::<Vec<_>>());
        }
        // A disease without years of its own: those printed for the crop's diseases in general.
        if of.is_empty() {
            return self
                .rows
                .iter()
                .filter(|row| row.pathogen.is_none() && row.crop == Some(crop))
                .collect();
        }
        let named: Vec<&IntervalRow> = of
            .iter()
            .copied()
            .filter(|row| {
                row.crop.is_none()
                    || row.crop == Some(crop)
                    || row.avoid.contains(&crop)
                    || row.avoid_families.contains(&crops[crop].family)
            })
            .collect();
        if named.iter().any(|row| row.years_min.is_some() || row.clears == Clears::No) {
            named
        } else {
            of
        }
    }
}

/// One published return time for a family, a crop or any.
#[derive(Clone, Debug)]
pub struct ReturnRow {
    /// Of what.
    pub subject: Subject,
    /// Free years between two growings, least.
    pub gap_min: Option<f64>,
    /// Free years between two growings, most.
    pub gap_max: Option<f64>,
    /// Under which condition.
    pub condition: Box<str>,
    /// Grade of the source: `extension`, `standard or guideline`, `garden guide`, ...
    pub source_class: Box<str>,
    /// Where from.
    pub citation: Citation,
}

/// What a return time speaks of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Subject {
    /// A family.
    Family(Box<str>),
    /// One crop.
    Crop(CropId),
    /// Any crop or family.
    Any,
}

const RETURN_COLUMNS: &[Column] = &[
    Column::required("subject_kind", Kind::Choice(&["family", "crop", "any"]), "of what"),
    Column::required("subject", Kind::Text(60), "family, crop key, or any"),
    Column::optional("years_min", YEARS, "years as printed, least"),
    Column::optional("years_max", YEARS, "years as printed, most"),
    Column::optional("sense", Kind::Text(20), "return (year N) or gap (N free years)"),
    Column::optional("gap_min", YEARS, "free years between, least"),
    Column::optional("gap_max", YEARS, "free years between, most"),
    Column::optional("condition", NOTE, "under which condition"),
    Column::optional("source_class", Kind::Text(40), "grade of the source"),
    SOURCE,
    LOCATOR,
    HOW,
];

pub(super) static FAMILY_RETURN: Table = Table {
    file: "family_return.csv",
    text: include_str!("tables/family_return.csv"),
    columns: RETURN_COLUMNS,
    subject: &["subject_kind", "subject"],
    told_apart_by: &["condition", "source"],
    attributes: None,
};

/// The published return times.
#[derive(Debug)]
pub struct Returns {
    rows: Vec<ReturnRow>,
}

impl Returns {
    pub(super) fn read(tables: &Tables, crops: &Crops, problems: &mut Problems) -> Self {
        let rows = tables.read(&FAMILY_RETURN, problems, |cells| {
            let kind = cells.choice("subject_kind")?;
            let subject = match kind {
                0 => Subject::Family(cells.text("subject")?.into()),
                1 => Subject::Crop(
                    cells.name("subject", |key| crops.find(key).ok_or_else(Vec::new))?,
                ),
                _ => Subject::Any,
            };
            Some(ReturnRow {
                subject,
                gap_min: cells.number("gap_min"),
                gap_max: cells.number("gap_max"),
                condition: cells.text("condition").unwrap_or_default().into(),
                source_class: cells.text("source_class").unwrap_or_default().into(),
                citation: citation(cells)?,
            })
        });
        Self { rows }
    }

    /// Rows of the crop itself.
    pub fn of_crop(&self, crop: CropId) -> impl Iterator<Item = &ReturnRow> {
        self.rows.iter().filter(move |row| row.subject == Subject::Crop(crop))
    }

    /// Rows of a family.
    pub fn of_family<'k>(&'k self, family: &'k str) -> impl Iterator<Item = &'k ReturnRow> {
        self.rows
            .iter()
            .filter(move |row| matches!(&row.subject, Subject::Family(name) if **name == *family))
    }

    /// Rows that speak of any crop.
    pub fn of_any(&self) -> impl Iterator<Item = &ReturnRow> {
        self.rows.iter().filter(|row| row.subject == Subject::Any)
    }

    /// All rows.
    #[must_use]
    pub fn rows(&self) -> &[ReturnRow] {
        &self.rows
    }
}
