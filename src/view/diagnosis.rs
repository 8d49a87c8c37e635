//! What a sick crop may have, and what to look at next.

use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use crate::knowledge::CropId;
use crate::records::{Observation, Place};
use crate::state::{Candidate, Check, surveys};

impl Phrases<'_> {
    /// A cause by its name, pathogen or disorder.
    #[must_use]
    pub fn cause(self, candidate: &Candidate) -> String {
        match candidate.pathogen {
            Some(pathogen) => self.disease(pathogen).to_owned(),
            None => self.cause_key(&candidate.cause),
        }
    }

    /// A cause by its key.
    #[must_use]
    pub fn cause_key(self, key: &str) -> String {
        if let Some(pathogen) = self.knowledge.pathogens.find(key) {
            return self.disease(pathogen).to_owned();
        }
        let row = self.knowledge.symptoms.cause(key);
        row.map_or_else(|| key.replace('_', " "), |row| row.name.to_string())
    }
}

/// The page of a diagnosis.
#[must_use]
pub fn diagnosis_page(
    phrases: Phrases<'_>,
    place: &Place,
    notes: &[&Observation],
    candidates: &[Candidate],
    checks: &[Check],
    most: usize,
) -> Page {
    let mut page = Page::default();
    let crop =
        notes.last().and_then(|note| note.crop).map_or("the crop", |crop| phrases.crop(crop));
    page.heading(format!("What ails the {crop} in {place}?"));
    for note in notes {
        page.line(
            Line::at(1)
                .text(format!("{}: {} ", note.date, note.symptom))
                .and(Label::Source, format!("[{}]", note.origin)),
        );
    }
    if candidates.is_empty() {
        page.line(Line::at(1).and(Label::Unknown, "the symptoms table has nothing on this crop"));
    }
    let mut table = Table {
        indent: 1,
        head: ["may be", "chance", "stays with the bed", "signs in common"]
            .map(String::from)
            .to_vec(),
        right: vec![1],
        rows: Vec::new(),
    };
    for candidate in candidates.iter().take(most) {
        let stays = match candidate.pathogen {
            Some(pathogen) if phrases.knowledge.pathogens[pathogen].is_bound_to_bed() => "yes",
            Some(_) | None => "no",
        };
        table.rows.push(vec![
            Span::new(Label::Name, phrases.cause(candidate)),
            Span::new(Label::Plain, format!("{:.0} %", candidate.chance * 100.0)),
            Span::new(Label::Plain, stays),
            Span::new(Label::Source, candidate.shared.join(" ")),
        ]);
    }
    page.table(table);
    if !checks.is_empty() {
        page.line(Line::at(1).text("Look next, most telling first:"));
    }
    for check in checks.iter().take(3) {
        page.line(
            Line { indent: 3, hang: 5, spans: Vec::new() }
                .text(format!("- for {}: {} ", phrases.cause_key(&check.cause), check.field_check))
                .and(Label::Source, format!("[{:.2} bit]", check.bits)),
        );
    }
    if let Some(crop) = notes.last().and_then(|note| note.crop) {
        surveyed(phrases, crop, &mut page);
    }
    page.line(Line::at(1).text(
        "An order for looking, not a finding: a laboratory decides, and local advice comes first. \
         Write what it was into observations.csv, with certainty field_check or laboratory:",
    ));
    if let Some(line) = record_line(phrases, place, notes, candidates) {
        page.line(Line::at(3).and(Label::Source, line));
    }
    page
}

/// The surveys of sick plants that weigh in, the causes named most often first.
fn surveyed(phrases: Phrases<'_>, crop: CropId, page: &mut Page) {
    /// Surveys told.
    const TOLD: usize = 3;
    for survey in surveys(phrases.knowledge, crop).iter().take(TOLD) {
        let mut rows = survey.rows.clone();
        rows.sort_by(|a, b| b.percent.likely.total_cmp(&a.percent.likely));
        let Some(first) = rows.first() else { continue };
        let shares: Vec<String> = rows
            .iter()
            .filter_map(|row| Some((row, row.cause?)))
            .map(|(row, cause)| format!("{} {:.0}", phrases.disease(cause), row.percent.likely))
            .collect();
        page.line(
            Line::at(1)
                .text(format!(
                    "Found elsewhere ({}, {}; percent of {}): {} ",
                    first.sample_kind,
                    first.region,
                    first.base,
                    shares.join(", ")
                ))
                .and(Label::Source, format!("[{}]", phrases.source(&first.citation))),
        );
    }
}

/// The line to add to `observations.csv`, for the likeliest cause: to be changed to what it was.
#[must_use]
pub(super) fn record_line(
    phrases: Phrases<'_>,
    place: &Place,
    notes: &[&Observation],
    candidates: &[Candidate],
) -> Option<String> {
    let (note, candidate) = (notes.last()?, candidates.first()?);
    let crop = note.crop.map_or("", |crop| &*phrases.knowledge.crops[crop].key);
    let section = place.section.as_deref().unwrap_or_default();
    Some(format!("{},{section},{},{crop},{},,,field_check,", place.bed, note.date, candidate.cause))
}
