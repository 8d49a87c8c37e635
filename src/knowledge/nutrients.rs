//! Tables behind the nutrient ledger: what materials hold, how much of a cover's nitrogen comes
//! free, what residues are credited with, what a phosphorus test means.
//!
//! The tables give several rows for one thing. Rows are kept; where one figure is needed the
//! preferred row that has it speaks, and its citation goes with it. Nothing is computed here but
//! units.

use std::collections::BTreeMap;

use super::Knowledge;
use super::availability::AvailabilityPoint;
use super::citation::Citation;
use super::later::Look;
use super::materials::{AMENDMENTS, Build};
use super::table::{HOW, LOCATOR, NOTE, SOURCE, citation, range};
use super::tables::Table;
use crate::estimate::Estimate;
use crate::tabular::{Column, Kind, Problems};
use crate::units::Ppm;

/// Pounds a short ton in kilograms a tonne: both are parts of a mass, 1 in 2000.
const KG_PER_T_OF_LB_PER_TON: f64 = 0.5;
/// Pounds an acre in grams a square metre.
const G_PER_M2_OF_LB_PER_ACRE: f64 = 0.112_085;

/// A figure with its source.
#[derive(Clone, Debug)]
pub struct Cited {
    /// The figure.
    pub value: Estimate,
    /// Where from.
    pub citation: Citation,
}

/// What mass a share is a share of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The material as it is, or as its label declares it.
    AsItIs,
    /// Its dry matter.
    Dry,
    /// The source does not say; laboratories mostly mean the dry matter, labels the goods.
    Unstated,
}

/// A share of a material's mass, with the mass it is a share of.
#[derive(Clone, Debug)]
pub struct Part {
    /// Percent.
    pub percent: Estimate,
    /// Of what.
    pub basis: Basis,
    /// Where from.
    pub citation: Citation,
}

/// What a material holds: of each figure the best row that has it.
#[derive(Clone, Debug, Default)]
pub struct Content {
    /// `compost`, `manure_raw`, `manure_composted`, `meal`, `mineral`, `plant`, `mulch`, `other`.
    pub kind: Box<str>,
    /// What it is built like, if the tables say.
    pub build: Option<Build>,
    /// Nitrogen.
    pub n: Option<Part>,
    /// Phosphorus, elemental.
    pub p: Option<Part>,
    /// Potassium, elemental.
    pub k: Option<Part>,
    /// Dry matter, percent.
    pub dry_matter: Option<Cited>,
    /// Bulk density, kg/m3.
    pub bulk_density: Option<Cited>,
    /// Share of total nitrogen free to plants in the first year; below nil for tie-up.
    pub pan_year1: Option<Cited>,
    /// The same in the second year.
    pub pan_year2: Option<Cited>,
    /// Carbon to nitrogen.
    pub c_to_n: Option<Cited>,
}

/// The straight line from nitrogen in dry matter to plant-available nitrogen.
#[derive(Clone, Debug)]
pub struct PanLine {
    /// Percent of nitrogen at or below which nothing comes free.
    pub none_at: f64,
    /// Kilograms a tonne of dry matter for each percent above it.
    pub slope: f64,
    /// Percent at which the published line ends.
    pub ends_at: f64,
    /// Where from.
    pub citation: Citation,
}

/// How rich a soil is in phosphorus.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum PhosphorusClass {
    /// Below what crops answer no further to.
    NotHigh,
    /// Enough: nothing is gained by more.
    High,
    /// More than enough: a burden on water and on other nutrients.
    Excessive,
}

/// From which figure of a test a soil is so rich.
#[derive(Clone, Debug)]
pub struct PhosphorusLimit {
    /// Extraction.
    pub method: Box<str>,
    /// How rich.
    pub class: PhosphorusClass,
    /// From this figure up.
    pub from: Ppm,
    /// Where from.
    pub citation: Citation,
}

/// The questions that the tables behind the ledger answer.
#[derive(Clone, Copy, Debug)]
pub struct Nutrients<'k> {
    knowledge: &'k Knowledge,
}

const P_CLASS_COLUMNS: &[Column] = &[
    Column::required("p_method", Kind::Text(20), "extraction"),
    Column::required("class", Kind::Choice(&["high", "excessive"]), "how rich"),
    Column::required("from_ppm", Kind::Number(0.0, 10_000.0), "from this figure up"),
    SOURCE,
    LOCATOR,
    HOW,
    Column::optional("note", NOTE, "what the source adds"),
];

pub(super) static SOIL_P_CLASSES: Table = Table {
    file: "soil_p_classes.csv",
    text: include_str!("tables/soil_p_classes.csv"),
    columns: P_CLASS_COLUMNS,
    subject: &["p_method", "class"],
    told_apart_by: &["source"],
    attributes: None,
};

/// The numbers in a printed figure, in order: `40-60` is two, `0 (little or none)` is one.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|sign: char| !(sign.is_ascii_digit() || sign == '.'))
        .filter_map(|word| word.parse().ok())
        .collect()
}

fn text_range(text: &str) -> Option<Estimate> {
    match numbers(text).as_slice() {
        [] => None,
        [only] => Some(Estimate::exact(*only)),
        [low, high, ..] => Some(Estimate::between(*low, *high)),
    }
}

impl Knowledge {
    /// What the tables say of nutrients.
    #[must_use]
    pub fn nutrients(&self) -> Nutrients<'_> {
        Nutrients { knowledge: self }
    }
}

impl<'k> Nutrients<'k> {
    /// What a material holds.
    #[must_use]
    pub fn content(self, material: &str) -> Option<&'k Content> {
        let all = self.knowledge.material_contents();
        all.binary_search_by(|(key, _)| (**key).cmp(material)).ok().map(|at| &all[at].1)
    }

    /// All materials by key.
    pub fn contents(self) -> impl Iterator<Item = (&'k str, &'k Content)> {
        self.knowledge.material_contents().iter().map(|(key, content)| (&**key, content))
    }

    /// The published line from nitrogen in dry matter to plant-available nitrogen.
    ///
    /// # Panics
    /// Never with the built-in tables: a test proves that the two points stand in them.
    #[must_use]
    pub fn pan_line(self) -> &'k PanLine {
        self.knowledge.pan_line.get_or_init(|| self.read_pan_line())
    }

    fn read_pan_line(self) -> PanLine {
        let point = |value: &str| {
            self.knowledge
                .availability_points()
                .iter()
                .find(|row| {
                    &*row.model == "pnw636"
                        && &*row.input == "cover_n_percent_dm"
                        && &*row.input_value == value
                })
                .expect("the two points of the published line stand in pan_model.csv")
        };
        let (none, ends) = (point("<1.5"), point("3.5"));
        let percent =
            |row: &AvailabilityPoint| numbers(&row.input_value).first().copied().unwrap_or(0.0);
        let pan = |row: &AvailabilityPoint| {
            numbers(&row.printed).first().copied().unwrap_or(0.0) * KG_PER_T_OF_LB_PER_TON
        };
        PanLine {
            none_at: percent(none),
            slope: (pan(ends) - pan(none)) / (percent(ends) - percent(none)),
            ends_at: percent(ends),
            citation: ends.citation.clone(),
        }
    }

    /// Nitrogen that each percent of soil organic matter sets free in a season, g/m2: the published
    /// range, with the figure that laboratories use as the likely one.
    #[must_use]
    pub fn humus_release(self) -> Option<&'k Cited> {
        self.knowledge.humus_release.get_or_init(|| self.read_humus_release()).as_ref()
    }

    fn read_humus_release(self) -> Option<Cited> {
        let per_percent = self.knowledge.availability_points().iter().filter(|row| {
            &*row.model == "som_n"
                && &*row.input_value == "per 1%"
                && row.citation.how == super::How::Read
        });
        let mut span: Option<Estimate> = None;
        let mut likely = None;
        let mut citation = None;
        for row in per_percent {
            let Some(value) = text_range(&row.printed) else { continue };
            // `14 (80% crop-available)` is one figure and the share of it that crops get.
            let value = if row.printed.contains("crop-available") {
                let figures = numbers(&row.printed);
                Estimate::exact(figures[0] * figures.get(1).map_or(1.0, |share| share / 100.0))
            } else {
                value
            };
            citation.get_or_insert_with(|| row.citation.clone());
            if (value.high - value.low).abs() < f64::EPSILON {
                likely = Some(value.low);
            } else {
                span = Some(span.map_or(value, |span| span.spanning(value)));
            }
        }
        let span = span?;
        let value = Estimate::new(span.low, likely.unwrap_or(span.likely), span.high)
            .map(|pounds| pounds * G_PER_M2_OF_LB_PER_ACRE);
        Some(Cited { value, citation: citation? })
    }

    /// Shares of a manure's organic nitrogen that come free in years one to three.
    #[must_use]
    pub fn manure_series(self, animal: &str, dry: bool) -> Option<([f64; 3], Citation)> {
        let name = format!("{animal} manure {}18% DM", if dry { ">=" } else { "<" });
        let year = |year: &str| {
            self.knowledge.availability_points().iter().find(|row| {
                &*row.model == "cornell_manure" && *row.input == *name && *row.input_value == *year
            })
        };
        let share =
            |row: &AvailabilityPoint| numbers(&row.printed).first().map(|share| share / 100.0);
        let (one, two, three) = (year("year 1")?, year("year 2")?, year("year 3")?);
        Some(([share(one)?, share(two)?, share(three)?], one.citation.clone()))
    }

    /// How rich a soil is in phosphorus by a test, with the row that says so; `None` if the method
    /// is not known.
    #[must_use]
    pub fn phosphorus_class(
        self,
        method: &str,
        value: Ppm,
    ) -> Option<(PhosphorusClass, &'k Citation)> {
        let mut of_method: Vec<&PhosphorusLimit> = self
            .knowledge
            .phosphorus_limits()
            .iter()
            .filter(|limit| &*limit.method == method)
            .collect();
        of_method.sort_by(|a, b| b.from.0.total_cmp(&a.from.0));
        let reached = of_method.iter().find(|limit| value.0 >= limit.from.0);
        reached
            .map(|limit| (limit.class, &limit.citation))
            .or_else(|| of_method.last().map(|limit| (PhosphorusClass::NotHigh, &limit.citation)))
    }
}

pub(super) fn limits(look: &Look<'_>, problems: &mut Problems) -> Vec<PhosphorusLimit> {
    look.tables.read(&SOIL_P_CLASSES, problems, |cells| {
        Some(PhosphorusLimit {
            method: cells.text("p_method")?.into(),
            class: match cells.choice("class")? {
                0 => PhosphorusClass::High,
                _ => PhosphorusClass::Excessive,
            },
            from: Ppm(cells.number("from_ppm")?),
            citation: citation(cells)?,
        })
    })
}

/// Of each figure of a material the best row that has it.
pub(super) fn contents(look: &Look<'_>, problems: &mut Problems) -> Vec<(Box<str>, Content)> {
    let mut all = look.tables.read(&AMENDMENTS, problems, |cells| {
        let key: Box<str> = cells.text("material")?.into();
        let kind: Box<str> = cells.text("kind").unwrap_or_default().into();
        let build = cells.choice("build").map(Build::at);
        let standing = match cells.text("standing") {
            Some("preferred") => 0,
            Some("second") => 1,
            _ => 2,
        };
        let basis = match cells.text("basis") {
            Some("dry") => Basis::Dry,
            Some("fresh" | "label") => Basis::AsItIs,
            _ => Basis::Unstated,
        };
        let mut span = |low, high| range(cells, low, high);
        let spans = [
            span("n_percent_low", "n_percent_high"),
            span("p_percent_low", "p_percent_high"),
            span("k_percent_low", "k_percent_high"),
            span("dry_matter_percent_low", "dry_matter_percent_high"),
            span("bulk_density_kg_m3_low", "bulk_density_kg_m3_high"),
            span("pan_year1_fraction_low", "pan_year1_fraction_high"),
            span("pan_year2_fraction_low", "pan_year2_fraction_high"),
            span("c_to_n_low", "c_to_n_high"),
        ];
        let citation = citation(cells)?;
        Some((standing, key, (kind, build), basis, spans, citation))
    });
    all.sort_by(|a, b| (&a.1, a.0).cmp(&(&b.1, b.0)));
    let mut contents: BTreeMap<Box<str>, Content> = BTreeMap::new();
    for (_, key, (kind, build), basis, spans, citation) in all {
        let content = contents.entry(key).or_default();
        if content.kind.is_empty() {
            content.kind = kind;
        }
        content.build = content.build.or(build);
        let part = |span: Option<Estimate>| {
            span.map(|percent| Part { percent, basis, citation: citation.clone() })
        };
        let cited =
            |span: Option<Estimate>| span.map(|value| Cited { value, citation: citation.clone() });
        let keep_part = |slot: &mut Option<Part>, span| {
            if slot.is_none() {
                *slot = part(span);
            }
        };
        let keep = |slot: &mut Option<Cited>, span| {
            if slot.is_none() {
                *slot = cited(span);
            }
        };
        let [n, p, k, dry_matter, density, year1, year2, c_to_n] = spans;
        keep_part(&mut content.n, n);
        keep_part(&mut content.p, p);
        keep_part(&mut content.k, k);
        keep(&mut content.dry_matter, dry_matter);
        keep(&mut content.bulk_density, density);
        keep(&mut content.pan_year1, year1);
        keep(&mut content.pan_year2, year2);
        keep(&mut content.c_to_n, c_to_n);
    }
    contents.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn the_published_line_and_its_points() {
        let knowledge = Knowledge::embedded();
        let line = knowledge.nutrients().pan_line();
        assert!((line.none_at - 1.5).abs() < 1e-12);
        assert!((line.slope - 8.75).abs() < 1e-12);
    }

    #[test]
    fn a_material_takes_each_figure_from_the_best_row_that_has_it() {
        let knowledge = Knowledge::embedded();
        let feather = knowledge.nutrients().content("feather_meal").expect("feather meal");
        assert_eq!(&*feather.kind, "meal");
        let year1 = feather.pan_year1.as_ref().expect("a share");
        assert!((year1.value.likely - 0.6).abs() < 1e-12);
        let p = feather.p.as_ref().expect("phosphorus from the weaker row");
        assert_eq!(p.citation.how, crate::knowledge::How::Memory);
    }

    #[test]
    fn humus_release_spans_the_published_range() {
        let knowledge = Knowledge::embedded();
        let release = knowledge.nutrients().humus_release().expect("rows").value;
        assert!((release.low - 6.0 * G_PER_M2_OF_LB_PER_ACRE).abs() < 1e-9);
        assert!((release.likely - 11.2 * G_PER_M2_OF_LB_PER_ACRE).abs() < 1e-9);
        assert!((release.high - 30.0 * G_PER_M2_OF_LB_PER_ACRE).abs() < 1e-9);
    }

    #[test]
    fn a_phosphorus_test_is_read_by_its_own_method() {
        let knowledge = Knowledge::embedded();
        let class =
            |method, ppm| knowledge.nutrients().phosphorus_class(method, Ppm(ppm)).map(|row| row.0);
        assert_eq!(class("olsen", 118.0), Some(PhosphorusClass::Excessive));
        assert_eq!(class("olsen", 29.0), Some(PhosphorusClass::High));
        assert_eq!(class("mehlich3", 29.0), Some(PhosphorusClass::NotHigh));
        assert_eq!(class("unheard_of", 29.0), None);
    }
}
