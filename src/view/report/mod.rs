//! The report of a garden: what each sheet, picture and table of it says, in labelled words, days
//! and figures. How it looks is `render`'s.
//!
//! A place's record is told as a core drawn from its soil: today is the ground line, the years lie
//! below it in layers, what is to come stands above. Every picture carries its own words and a table
//! with the same figures, so that nothing rests on seeing it.

mod answers;
mod core;
mod dose;
mod feed;
mod findings;
mod follow;
mod leaves;
mod month;
mod plan;
mod sheet;
mod sources;

pub use self::core::{Core, Layer, LayerKind, Mark, MarkKind};
pub use answers::{Answer, AnswerLine, Question};
pub use dose::{DoseLog, DosePoint};
pub use feed::{FeedLog, FeedMonth};
pub use findings::{FindingNote, Findings};
pub use follow::{Candidate, Following};
pub use leaves::{Leaf, LeafPlace, ReasonNote};
pub use plan::{Plan, PlanBed, PlanPart, WishMap};
pub use sheet::{Sheet, Span};
pub use sources::SourceNote;

use super::phrase::Phrases;
use super::text::{Line, Page};
use super::words;
use crate::advise::Survey;
use crate::audit::Audit;
use crate::policy::Policy;
use crate::records::Garden;
use crate::season::Date;

/// A chapter that other parts of the program bring, as a page.
#[derive(Clone, Debug)]
pub struct Chapter {
    /// Anchor.
    pub id: &'static str,
    /// Heading.
    pub title: String,
    /// What it says.
    pub page: Page,
}

/// The whole report.
#[derive(Clone, Debug)]
pub struct Report {
    /// Name of the garden.
    pub garden: String,
    /// The day it is of.
    pub on: Date,
    /// How much it rests on: beds, records, first day.
    pub rests_on: String,
    /// The five answers for the garden.
    pub answers: Vec<Answer>,
    /// The beds to scale.
    pub plan: Plan,
    /// Where each wished crop may go.
    pub wishes: Vec<WishMap>,
    /// Families that stand in the cores, in the order of their patterns.
    pub families: Vec<String>,
    /// One sheet a place.
    pub sheets: Vec<Sheet>,
    /// Further chapters: the plan of the seasons, the calendar.
    pub chapters: Vec<Chapter>,
    /// The audit.
    pub findings: Findings,
    /// Sources cited, by key.
    pub sources: Vec<SourceNote>,
}

/// All that the report is made from.
#[derive(Clone, Copy)]
pub struct Material<'a, 'g> {
    /// Names and sources.
    pub phrases: Phrases<'a>,
    /// Thresholds drawn.
    pub policy: &'a Policy,
    /// The records.
    pub garden: &'g Garden,
    /// Every place looked at.
    pub survey: &'a Survey<'g>,
    /// The records held against the rules.
    pub audit: &'a Audit,
}

/// The report of a garden on the day of its survey.
#[must_use]
pub fn report(material: &Material<'_, '_>, chapters: Vec<Chapter>) -> Report {
    let Material { garden, survey, audit, .. } = *material;
    let families = core::families(material);
    let span = Span::of(garden, survey.today);
    let sheets: Vec<Sheet> = survey
        .places
        .iter()
        .enumerate()
        .map(|(at, place)| sheet::sheet(material, &families, span, at, place))
        .collect();
    let findings = findings::findings(material);
    let first = garden.plantings.first().map(crate::records::Planting::planted);
    let since = first.map_or(String::new(), |first| format!(", the first of {first}"));
    let mut report = Report {
        garden: garden.site.as_ref().map_or("Garden", |site| &site.name).to_owned(),
        on: survey.today,
        rests_on: format!(
            "{}, {} and {} on record{since}",
            words::count(garden.beds.len(), "bed"),
            words::count(audit.plantings, "planting"),
            words::count(garden.observations.len(), "observation"),
        ),
        answers: answers::of_garden(material, &sheets),
        plan: plan::plan(material),
        wishes: plan::wish_maps(material),
        families,
        sheets,
        chapters,
        findings,
        sources: Vec::new(),
    };
    report.sources = sources::cited(material.phrases, &report);
    report
}

/// A line without indents, as the report's lines are.
fn line() -> Line {
    Line::default()
}
