//! The documents that the report cites.

use std::collections::BTreeSet;

use super::super::phrase::Phrases;
use super::Report;
use super::leaves::{Leaf, LeafPlace};

/// A source cited.
#[derive(Clone, Debug)]
pub struct SourceNote {
    /// Key.
    pub key: String,
    /// The whole reference in one line.
    pub reference: String,
    /// What it is as a document.
    pub publication: &'static str,
    /// Web address, if there is one.
    pub address: Option<String>,
}

fn leaves(report: &Report) -> impl Iterator<Item = &Leaf> {
    let judged = report
        .sheets
        .iter()
        .flat_map(|sheet| sheet.following.now.iter().chain(&sheet.following.wished))
        .flat_map(|candidate| &candidate.reasons)
        .flat_map(|reason| &reason.leaves);
    let found = report.findings.notes.iter().flat_map(|note| &note.leaves);
    let stand = report.findings.let_stand.iter().flat_map(|(note, _)| &note.leaves);
    judged.chain(found).chain(stand)
}

/// The sources cited anywhere in the report, by key.
pub(super) fn cited(phrases: Phrases<'_>, report: &Report) -> Vec<SourceNote> {
    let keys: BTreeSet<&str> = leaves(report)
        .filter_map(|leaf| match &leaf.place {
            LeafPlace::Sources(keys, _) => Some(keys),
            LeafPlace::Record(_) | LeafPlace::Computed | LeafPlace::Missing => None,
        })
        .flatten()
        .map(String::as_str)
        .collect();
    keys.into_iter()
        .filter_map(|key| phrases.knowledge.sources.find(key))
        .map(|source| {
            let parts =
                [&source.author, &source.title, &source.publisher, &source.number, &source.year];
            let parts: Vec<&str> =
                parts.into_iter().map(|part| part.trim()).filter(|part| !part.is_empty()).collect();
            let reference =
                if parts.is_empty() { source.citation.trim().to_owned() } else { parts.join(". ") };
            let address = source.address.trim();
            SourceNote {
                key: source.key.to_string(),
                reference,
                publication: source.publication.words(),
                address: is_web(address).then(|| address.to_owned()),
            }
        })
        .collect()
}

/// Whether a reader may follow it: one address, of the web.
fn is_web(address: &str) -> bool {
    (address.starts_with("https://") || address.starts_with("http://"))
        && !address.contains(char::is_whitespace)
}
