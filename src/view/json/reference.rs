//! JSON of `reference`: what the tables say, frozen apart from the types inside.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::super::reference_found::label;
use super::FORMAT;
use super::import::{ProblemJson, problem};
use crate::knowledge::{
    BreakCrop, Breaks, Citation, Coverage, CropId, Found, Holding, Link, LintReport, Node,
    PathogenId, Step, Turn,
};

/// A fault of the tables.
#[derive(Clone, Debug, Serialize)]
pub struct FaultJson {
    /// The rule that found it.
    pub rule: &'static str,
    /// Where and what.
    pub at: ProblemJson,
}

/// A lint.
#[derive(Clone, Debug, Serialize)]
pub struct LintJson {
    /// Format number.
    pub format: u32,
    /// Tables looked at.
    pub tables: usize,
    /// Rows looked at.
    pub rows: usize,
    /// Faults.
    pub faults: Vec<FaultJson>,
    /// Own rows with the built-in rows they replace, as `file:line`.
    pub replacements: Vec<(String, Vec<String>)>,
}

/// A lint for going out.
#[must_use]
pub fn lint(report: &LintReport) -> LintJson {
    LintJson {
        format: FORMAT,
        tables: report.tables,
        rows: report.rows,
        faults: report
            .faults
            .iter()
            .map(|fault| FaultJson { rule: fault.rule.word(), at: problem(&fault.at) })
            .collect(),
        replacements: report
            .replacements
            .iter()
            .map(|one| {
                (one.own.to_string(), one.built_in.iter().map(ToString::to_string).collect())
            })
            .collect(),
    }
}

/// What became of a reference table.
#[derive(Clone, Debug, Serialize)]
pub struct CoverageRowJson {
    /// The reference table.
    pub reference_table: String,
    /// Its rows.
    pub rows: usize,
    /// Taken.
    pub taken: usize,
    /// Joined to another row.
    pub merged: usize,
    /// Made several rows.
    pub split: usize,
    /// Moved to another table.
    pub moved: usize,
    /// Left out.
    pub refused: usize,
    /// Tables that hold them now.
    pub now_in: Vec<String>,
    /// Table the moved rows went to.
    pub moved_to: String,
    /// Why.
    pub why: String,
}

/// A count.
#[derive(Clone, Debug, Serialize)]
pub struct HoldingJson {
    /// Of what.
    pub of: String,
    /// How many.
    pub count: usize,
    /// The least asked for.
    pub least: Option<usize>,
}

/// The coverage.
#[derive(Clone, Debug, Serialize)]
pub struct CoverageJson {
    /// Format number.
    pub format: u32,
    /// By reference table.
    pub reference_tables: Vec<CoverageRowJson>,
    /// What the tables hold.
    pub holdings: Vec<HoldingJson>,
}

/// The coverage for going out.
#[must_use]
pub fn coverage(record: &[Coverage], holdings: &[Holding]) -> CoverageJson {
    CoverageJson {
        format: FORMAT,
        reference_tables: record
            .iter()
            .map(|row| CoverageRowJson {
                reference_table: row.reference.to_string(),
                rows: row.rows,
                taken: row.taken,
                merged: row.merged,
                split: row.split,
                moved: row.moved,
                refused: row.refused,
                now_in: row.now_in.iter().map(ToString::to_string).collect(),
                moved_to: row.moved_to.to_string(),
                why: row.why.to_string(),
            })
            .collect(),
        holdings: holdings
            .iter()
            .map(|one| HoldingJson {
                of: one.what.trim().to_owned(),
                count: one.count,
                least: one.least,
            })
            .collect(),
    }
}

/// A crop that breaks.
#[derive(Clone, Debug, Serialize)]
pub struct BreakCropJson {
    /// Crop key.
    pub crop: String,
    /// Pathogen keys it breaks.
    pub breaks: Vec<String>,
    /// Those it also lowers.
    pub lowers: Vec<String>,
    /// Those of which nobody says.
    pub unknown: Vec<String>,
}

/// Crops that break several diseases.
#[derive(Clone, Debug, Serialize)]
pub struct BreaksJson {
    /// Format number.
    pub format: u32,
    /// The pathogens asked for.
    pub pathogens: Vec<String>,
    /// Crops that break all.
    pub all: Vec<BreakCropJson>,
    /// The fewest that together do, where none does alone.
    pub together: Vec<BreakCropJson>,
    /// What nothing breaks.
    pub unbroken: Vec<String>,
}

/// Crops that break several diseases, for going out.
#[must_use]
pub fn breaks(phrases: Phrases<'_>, pathogens: &[PathogenId], breaks: &Breaks) -> BreaksJson {
    let key = |pathogen: &PathogenId| phrases.knowledge.pathogens[*pathogen].key.to_string();
    let crop = |one: &BreakCrop| BreakCropJson {
        crop: phrases.knowledge.crops[one.crop].key.to_string(),
        breaks: one.breaks.iter().map(|(pathogen, _)| key(pathogen)).collect(),
        lowers: one.lowers.iter().map(key).collect(),
        unknown: one.unknown.iter().map(key).collect(),
    };
    BreaksJson {
        format: FORMAT,
        pathogens: pathogens.iter().map(key).collect(),
        all: breaks.all.iter().map(crop).collect(),
        together: breaks.together.iter().map(crop).collect(),
        unbroken: breaks.unbroken.iter().map(key).collect(),
    }
}

/// What carries a disease over.
#[derive(Clone, Debug, Serialize)]
pub struct BridgesJson {
    /// Format number.
    pub format: u32,
    /// The pathogen.
    pub pathogen: String,
    /// Weeds and covers that host it.
    pub plants: Vec<String>,
    /// Covers said to raise it.
    pub raised_by: Vec<String>,
}

/// What carries a disease over, for going out.
#[must_use]
pub fn bridges(phrases: Phrases<'_>, pathogen: PathogenId) -> BridgesJson {
    let knowledge = phrases.knowledge;
    let mut raised_by: Vec<String> = knowledge
        .bridges()
        .iter()
        .filter(|row| row.pathogen.is(pathogen) && row.effect == Turn::Raises)
        .map(|row| row.cover.written(&knowledge.crops).to_owned())
        .collect();
    raised_by.dedup();
    BridgesJson {
        format: FORMAT,
        pathogen: knowledge.pathogens[pathogen].key.to_string(),
        plants: knowledge
            .green_bridges(pathogen)
            .into_iter()
            .map(|crop| knowledge.crops[crop].key.to_string())
            .collect(),
        raised_by,
    }
}

/// What two crops share.
#[derive(Clone, Debug, Serialize)]
pub struct PairJson {
    /// Format number.
    pub format: u32,
    /// Pathogen keys.
    pub shared_pathogens: Vec<String>,
}

/// What two crops share, for going out.
#[must_use]
pub fn pair(phrases: Phrases<'_>, one: CropId, other: CropId) -> PairJson {
    let knowledge = phrases.knowledge;
    PairJson {
        format: FORMAT,
        shared_pathogens: knowledge
            .graph()
            .shared_pathogens(one, other)
            .into_iter()
            .map(|pathogen| knowledge.pathogens[pathogen].key.to_string())
            .collect(),
    }
}

/// A step of a path.
#[derive(Clone, Debug, Serialize)]
pub struct StepJson {
    /// `crop`, `pathogen`, `genus` or `family`.
    pub kind: &'static str,
    /// Its key or name.
    pub key: String,
    /// How it was reached: `start`, `related`, `member`, `row`.
    pub by: &'static str,
    /// Source keys of the row.
    pub sources: Vec<String>,
}

/// A path.
#[derive(Clone, Debug, Serialize)]
pub struct PathJson {
    /// Format number.
    pub format: u32,
    /// The steps; null if nothing leads there.
    pub steps: Option<Vec<StepJson>>,
}

/// A path for going out.
#[must_use]
pub fn path(phrases: Phrases<'_>, path: Option<&[Step]>) -> PathJson {
    let knowledge = phrases.knowledge;
    let step = |step: &Step| {
        let (kind, key) = match &step.to {
            Node::Crop(crop) => ("crop", knowledge.crops[*crop].key.to_string()),
            Node::Pathogen(pathogen) => {
                ("pathogen", knowledge.pathogens[*pathogen].key.to_string())
            }
            Node::Genus(name) => ("genus", name.to_string()),
            Node::Family(name) => ("family", name.to_string()),
        };
        let (by, sources) = match step.link {
            None => ("start", Vec::new()),
            Some(Link::BelongsTo) => ("related", Vec::new()),
            Some(Link::MemberOf) => ("member", Vec::new()),
            Some(Link::Says(_, place)) => ("row", keys(&knowledge.hosts.rows()[place].citation)),
        };
        StepJson { kind, key, by, sources }
    };
    PathJson { format: FORMAT, steps: path.map(|path| path.iter().map(step).collect()) }
}

fn keys(citation: &Citation) -> Vec<String> {
    citation.keys().map(str::to_owned).collect()
}

/// A thing in a list.
#[derive(Clone, Debug, Serialize)]
pub struct FoundJson {
    /// What it is.
    pub what: &'static str,
    /// Its key.
    pub key: String,
    /// Its name.
    pub name: String,
}

/// Things found, for going out.
#[must_use]
pub fn list(phrases: Phrases<'_>, found: &[Found]) -> Vec<FoundJson> {
    found
        .iter()
        .map(|one| {
            let (what, key, name) = label(phrases, one);
            FoundJson { what, key, name }
        })
        .collect()
}

/// One thing for going out.
#[must_use]
pub fn found(phrases: Phrases<'_>, found: &Found) -> serde_json::Value {
    let knowledge = phrases.knowledge;
    match found {
        Found::Crop(crop) => {
            let row = &knowledge.crops[*crop];
            let pathogens: Vec<&str> = knowledge
                .graph()
                .hosted_by(*crop)
                .map(|pathogen| &*knowledge.pathogens[pathogen].key)
                .collect();
            serde_json::json!({
                "format": FORMAT, "key": row.key, "name": row.name,
                "scientific_name": row.scientific_name, "family": row.family,
                "eppo_code": row.eppo_code, "role": row.role.word(), "pathogens": pathogens,
                "sources": keys(&row.citation),
            })
        }
        Found::Pathogen(pathogen) => {
            let row = &knowledge.pathogens[*pathogen];
            serde_json::json!({
                "format": FORMAT, "key": row.key, "name": row.name,
                "scientific_name": row.scientific_name, "kind": row.kind,
                "eppo_code": row.eppo_code, "inoculum": row.inoculum,
                "survival_years": row.survival_years, "note": row.note,
                "unrecorded": row.unrecorded, "sources": keys(&row.citation),
            })
        }
        Found::Source(key) => knowledge.sources.find(key).map_or(serde_json::Value::Null, |row| {
            serde_json::json!({
                "format": FORMAT, "key": row.key, "publication": row.publication,
                "citation": row.citation, "address": row.address,
            })
        }),
        Found::Cause(_)
        | Found::Material(_)
        | Found::Practice(_)
        | Found::Rootstock(_)
        | Found::Code(_)
        | Found::Clause(_) => {
            let (what, key, name) = label(phrases, found);
            serde_json::json!({ "format": FORMAT, "what": what, "key": key, "name": name })
        }
    }
}
