//! Reasons with what they rest on, for folding out.

use std::collections::BTreeMap;

use super::super::judgment::effect_label;
use super::super::phrase::Phrases;
use super::super::text::Label;
use super::super::words;
use crate::assess::{Evidence, FigureNote, Reason};
use crate::knowledge::{How, Publication};

/// Where a leaf stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeafPlace {
    /// A line of a record file.
    Record(String),
    /// Documents, by key; how they are known where they were not read, and what they are where no
    /// better one says the same.
    Sources(Vec<String>, Vec<&'static str>),
    /// Worked out.
    Computed,
    /// Not on record.
    Missing,
}

/// One thing a reason rests on.
#[derive(Clone, Debug)]
pub struct Leaf {
    /// In words.
    pub text: String,
    /// Where it stands.
    pub place: LeafPlace,
}

/// A reason.
#[derive(Clone, Debug)]
pub struct ReasonNote {
    /// In words.
    pub text: String,
    /// What it does.
    pub effect: String,
    /// The label of what it does.
    pub label: Label,
    /// What it rests on, as far as it was not told before.
    pub leaves: Vec<Leaf>,
    /// Anchors and names of the crops under which the rest was told.
    pub told_under: Vec<(String, String)>,
}

/// A leaf.
pub(super) fn leaf(phrases: Phrases<'_>, evidence: &Evidence) -> Leaf {
    let (text, place) = phrases.evidence(evidence);
    let place = match evidence {
        Evidence::Record(..) => LeafPlace::Record(place),
        Evidence::Fact(_, citation) => {
            let how = (citation.how != How::Read).then(|| citation.how.word());
            let weak = phrases.knowledge.sources.weak_only(citation).map(Publication::words);
            let notes = how.into_iter().chain(weak).collect();
            LeafPlace::Sources(citation.keys().map(str::to_owned).collect(), notes)
        }
        Evidence::Figure(_) => LeafPlace::Computed,
        Evidence::Missing(_) => LeafPlace::Missing,
    };
    Leaf { text, place }
}

/// What a sheet has told so far, and under which crop.
pub(super) struct Told {
    sheet: String,
    crops: Vec<(String, String)>,
    leaves: BTreeMap<(String, String), usize>,
}

impl Told {
    /// Nothing yet, on a sheet.
    pub(super) fn of(sheet: &str) -> Self {
        Self { sheet: sheet.to_owned(), crops: Vec::new(), leaves: BTreeMap::new() }
    }

    /// Goes on to a crop; gives its anchor.
    pub(super) fn next_crop(&mut self, crop: &str) -> String {
        let id = format!("{}-{}", self.sheet, self.crops.len() + 1);
        self.crops.push((id.clone(), crop.to_owned()));
        id
    }

    /// A reason of the crop at hand, with the leaves not told before.
    pub(super) fn reason(&mut self, phrases: Phrases<'_>, reason: &Reason) -> ReasonNote {
        let here = self.crops.len().saturating_sub(1);
        let (mut leaves, mut under) = (Vec::new(), Vec::new());
        // Where a crop's nitrogen comes from is in its claim by sum, and in the books by month.
        let worth_telling = |evidence: &&Evidence| {
            !matches!(evidence, Evidence::Figure(FigureNote::NitrogenSupply(_)))
        };
        for evidence in reason.evidence.iter().filter(worth_telling) {
            let key = phrases.evidence(evidence);
            match self.leaves.get(&key) {
                Some(crop) if *crop != here => under.push(*crop),
                Some(_) => {}
                None => {
                    self.leaves.insert(key, here);
                    leaves.push(leaf(phrases, evidence));
                }
            }
        }
        under.sort_unstable();
        under.dedup();
        ReasonNote {
            text: words::sentence(&phrases.claim(reason)),
            effect: phrases.effect(reason.effect),
            label: effect_label(reason.effect),
            leaves,
            told_under: under.into_iter().map(|crop| self.crops[crop].clone()).collect(),
        }
    }
}
