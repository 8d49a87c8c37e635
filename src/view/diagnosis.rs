//! What a sick crop may have, and what to look at next.

use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use crate::records::{Observation, Place};
use crate::state::{Candidate, Check};

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
    page.line(Line::at(1).text(
        "An order for looking, not a finding: a laboratory decides, and local advice comes first. \
         Write what it was into observations.csv, with certainty field_check or laboratory.",
    ));
    page
}
