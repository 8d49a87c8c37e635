//! A disease whose cause is not known: which causes it may have, and how likely each is.
//!
//! Thin as yet: words of the symptom against the symptoms table. The chance of each cause follows
//! the words they share, weighted by how specific the symptom is.

use crate::knowledge::{Knowledge, PathogenId, Specificity, fold};
use crate::records::{Observation, Seen};

/// A cause that an unknown disease may have.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// The pathogen; `None` for a disorder.
    pub pathogen: Option<PathogenId>,
    /// Key of the cause.
    pub cause: Box<str>,
    /// Chance, 0 to 1; all candidates of one observation add up to 1.
    pub chance: f64,
    /// The check in the field that tells it apart.
    pub field_check: Box<str>,
}

/// Causes below this chance are left out.
const LEAST_CHANCE: f64 = 0.02;

/// Observations of unknown cause with their candidates. A later observation on the same crop that
/// names the cause answers the question, and the unknown one is left out.
pub(super) fn unknown<'g>(
    knowledge: &Knowledge,
    observations: &[&'g Observation],
) -> Vec<(&'g Observation, Vec<Candidate>)> {
    observations
        .iter()
        .filter(|seen| seen.seen == Seen::Unknown)
        .filter(|seen| {
            !observations.iter().any(|later| {
                later.date >= seen.date
                    && later.crop == seen.crop
                    && (later.date - seen.date).num_days() < 400
                    && matches!(later.seen, Seen::Pathogen(_) | Seen::Disorder(_))
            })
        })
        .map(|seen| (*seen, candidates(knowledge, seen)))
        .collect()
}

/// Candidate causes of an observation, likeliest first.
#[must_use]
pub fn candidates(knowledge: &Knowledge, seen: &Observation) -> Vec<Candidate> {
    let Some(crop) = seen.crop else {
        return Vec::new();
    };
    let words = content_words(&format!("{} {}", seen.symptom, seen.note));
    let mut found: Vec<Candidate> = Vec::new();
    for row in knowledge.symptoms.on(crop) {
        let theirs = content_words(&format!("{} {}", row.symptom, row.field_check));
        let shared = words.iter().filter(|word| theirs.contains(word)).count() as f64;
        let specificity = match row.specificity {
            Specificity::Low => 0.5,
            Specificity::Medium => 1.0,
            Specificity::High => 1.5,
        };
        // Without shared words a cause keeps a small weight: a note of three words proves little.
        let weight = 0.1 + shared * shared * specificity;
        let pathogen = knowledge.pathogens.find(&row.cause);
        if let Some(known) = found.iter_mut().find(|known| known.cause == row.cause) {
            if weight > known.chance {
                known.chance = weight;
                known.field_check = row.field_check.clone();
            }
        } else {
            found.push(Candidate {
                pathogen,
                cause: row.cause.clone(),
                chance: weight,
                field_check: row.field_check.clone(),
            });
        }
    }
    let total: f64 = found.iter().map(|candidate| candidate.chance).sum();
    for candidate in &mut found {
        candidate.chance /= total;
    }
    found.retain(|candidate| candidate.chance >= LEAST_CHANCE);
    let kept: f64 = found.iter().map(|candidate| candidate.chance).sum();
    for candidate in &mut found {
        candidate.chance /= kept;
    }
    found.sort_by(|a, b| b.chance.total_cmp(&a.chance).then_with(|| a.cause.cmp(&b.cause)));
    found
}

/// Words that carry meaning: longer than three letters, without the commonest ones, by their
/// first six letters so that `wilted` meets `wilting`.
fn content_words(text: &str) -> Vec<String> {
    const COMMON: [&str; 18] = [
        "with", "from", "then", "than", "that", "this", "plant", "plants", "soon", "after", "when",
        "often", "later", "under", "over", "some", "most", "more",
    ];
    let mut words: Vec<String> = fold(text)
        .split(|character: char| !character.is_alphanumeric())
        .filter(|word| word.len() > 3 && !COMMON.contains(word))
        .map(|word| word.chars().take(6).collect())
        .collect();
    words.sort();
    words.dedup();
    words
}
