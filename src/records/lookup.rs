//! What a row needs to know to become a record: the trade's names and the garden's beds. Both are
//! asked once a row, so what was found is remembered.

#![expect(
    clippy::disallowed_types,
    reason = "looked up by name and never walked through, so that the order cannot show"
)]

use std::cell::RefCell;
use std::collections::HashMap;

use crate::knowledge::{CropId, Knowledge};
use crate::tabular::Resolved;

/// Names of beds, as written; capitals do not tell beds apart.
#[derive(Clone, Debug, Default)]
pub struct BedNames {
    by_folded: HashMap<Box<str>, Box<str>>,
}

impl BedNames {
    /// Adds a name, unless it is there already.
    pub fn add(&mut self, name: &str) {
        let folded = name.to_ascii_lowercase().into_boxed_str();
        self.by_folded.entry(folded).or_insert_with(|| name.into());
    }

    /// Adds the names of another list.
    pub fn extend(&mut self, others: &Self) {
        // Names of the two lists are told apart by the key, so the order does not matter.
        let new: Vec<(Box<str>, Box<str>)> = others
            .by_folded
            .iter()
            .filter(|(folded, _)| !self.by_folded.contains_key(*folded))
            .map(|(folded, name)| (folded.clone(), name.clone()))
            .collect();
        self.by_folded.extend(new);
    }

    /// The name as it was first written.
    #[must_use]
    pub fn find(&self, written: &str) -> Option<&str> {
        let found = if written.bytes().any(|byte| byte.is_ascii_uppercase()) {
            self.by_folded.get(written.to_ascii_lowercase().as_str())
        } else {
            self.by_folded.get(written)
        };
        found.map(|name| &**name)
    }

    /// Up to three names near the one written, best first.
    fn near(&self, written: &str) -> Vec<String> {
        let mut near: Vec<(usize, &str)> = self
            .by_folded
            .values()
            .map(|bed| (strsim::osa_distance(bed, written), &**bed))
            .filter(|(distance, _)| *distance <= 2)
            .collect();
        near.sort_unstable();
        near.into_iter().take(3).map(|(_, bed)| bed.to_owned()).collect()
    }
}

impl<S: AsRef<str>> FromIterator<S> for BedNames {
    fn from_iter<I: IntoIterator<Item = S>>(names: I) -> Self {
        let mut beds = Self::default();
        for name in names {
            beds.add(name.as_ref());
        }
        beds
    }
}

/// The trade's names and the garden's beds.
pub struct Lookup<'a> {
    /// Names of crops, causes, materials, practices.
    pub(super) knowledge: &'a Knowledge,
    beds: &'a BedNames,
    crops: RefCell<HashMap<Box<str>, CropId>>,
    /// The last bed found, as written and as first written: rows mostly stand bed by bed.
    last_bed: RefCell<(Box<str>, Box<str>)>,
}

impl<'a> Lookup<'a> {
    /// Knowledge, and the beds known so far.
    #[must_use]
    pub fn new(knowledge: &'a Knowledge, beds: &'a BedNames) -> Self {
        Self { knowledge, beds, crops: RefCell::default(), last_bed: RefCell::default() }
    }

    pub(super) fn beds(&self) -> &BedNames {
        self.beds
    }

    pub(super) fn bed(&self, written: &str) -> Resolved<Box<str>> {
        if *self.last_bed.borrow().0 == *written {
            return Ok(self.last_bed.borrow().1.clone());
        }
        let bed: Box<str> = self.beds.find(written).ok_or_else(|| self.beds.near(written))?.into();
        *self.last_bed.borrow_mut() = (written.into(), bed.clone());
        Ok(bed)
    }

    pub(super) fn crop(&self, written: &str) -> Resolved<CropId> {
        if let Some(crop) = self.crops.borrow().get(written) {
            return Ok(*crop);
        }
        let crop = self.knowledge.names.crop(&self.knowledge.crops, written)?;
        self.crops.borrow_mut().insert(written.into(), crop);
        Ok(crop)
    }
}
