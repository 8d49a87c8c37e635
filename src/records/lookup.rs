//! What a row needs to know to become a record: the trade's names and the garden's beds. Both are
//! asked once a row, so what was found is remembered.

#![expect(
    clippy::disallowed_types,
    reason = "looked up by name and never walked through, so that the order cannot show"
)]

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::hash::{BuildHasher as _, BuildHasherDefault, Hasher, RandomState};

use crate::knowledge::{CropId, Knowledge};
use crate::tabular::Resolved;

/// Names of beds, as written; capitals do not tell beds apart.
#[derive(Clone, Debug, Default)]
pub struct BedNames {
    /// All names, one behind the other.
    text: String,
    beds: Vec<Name>,
    /// The first bed of each digest of a name without its capitals.
    by_digest: HashMap<u64, usize, BuildHasherDefault<Itself>>,
    digests: RandomState,
}

/// The digest of a digest: itself.
#[derive(Clone, Copy, Debug, Default)]
struct Itself(u64);

impl Hasher for Itself {
    fn write(&mut self, bytes: &[u8]) {
        self.0 = bytes.iter().fold(self.0, |sum, byte| sum.rotate_left(8) ^ u64::from(*byte));
    }

    fn write_u64(&mut self, digest: u64) {
        self.0 = digest;
    }

    fn finish(&self) -> u64 {
        self.0
    }
}

/// A name among the others.
#[derive(Clone, Debug)]
struct Name {
    begins: usize,
    ends: usize,
    /// Another bed of the same digest.
    other: Option<usize>,
}

impl BedNames {
    /// Adds a name, unless it is there already.
    pub fn add(&mut self, name: &str) {
        let digest = self.digest(name);
        let first = self.by_digest.get(&digest).copied();
        if self.among(first, name).is_some() {
            return;
        }
        let begins = self.text.len();
        self.text.push_str(name);
        self.by_digest.insert(digest, self.beds.len());
        self.beds.push(Name { begins, ends: self.text.len(), other: first });
    }

    /// Adds the names of another list.
    pub fn extend(&mut self, others: &Self) {
        for bed in &others.beds {
            self.add(&others.text[bed.begins..bed.ends]);
        }
    }

    /// The name as it was first written.
    #[must_use]
    pub fn find(&self, written: &str) -> Option<&str> {
        self.name(self.place(written)?)
    }

    /// Which of the names it is.
    fn place(&self, written: &str) -> Option<usize> {
        self.among(self.by_digest.get(&self.digest(written)).copied(), written)
    }

    /// The name at a place of the list.
    fn name(&self, at: usize) -> Option<&str> {
        let bed = self.beds.get(at)?;
        self.text.get(bed.begins..bed.ends)
    }

    /// The place of a name among those of a digest.
    fn among(&self, mut at: Option<usize>, written: &str) -> Option<usize> {
        while let Some(place) = at {
            if self.name(place)?.eq_ignore_ascii_case(written) {
                return Some(place);
            }
            at = self.beds.get(place)?.other;
        }
        None
    }

    /// Of a name without its capitals.
    fn digest(&self, name: &str) -> u64 {
        let mut hasher = self.digests.build_hasher();
        let mut lower = [0; 32];
        for part in name.as_bytes().chunks(lower.len()) {
            let lower = &mut lower[..part.len()];
            lower.copy_from_slice(part);
            lower.make_ascii_lowercase();
            hasher.write(lower);
        }
        hasher.finish()
    }

    /// Up to three names near the one written, best first.
    fn near(&self, written: &str) -> Vec<String> {
        let mut near: Vec<(usize, &str)> = self
            .beds
            .iter()
            .map(|bed| &self.text[bed.begins..bed.ends])
            .map(|bed| (strsim::osa_distance(bed, written), bed))
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
    crops: RefCell<Vec<Option<Known>>>,
    /// The last bed found, as written and as first written: rows mostly stand bed by bed.
    last_bed: RefCell<(Box<str>, Box<str>)>,
    /// The bed after it in the list: mostly the next to be asked for.
    next_bed: Cell<usize>,
}

impl<'a> Lookup<'a> {
    /// Knowledge, and the beds known so far.
    #[must_use]
    pub fn new(knowledge: &'a Knowledge, beds: &'a BedNames) -> Self {
        Self {
            knowledge,
            beds,
            crops: RefCell::default(),
            last_bed: RefCell::default(),
            next_bed: Cell::default(),
        }
    }

    pub(super) fn beds(&self) -> &BedNames {
        self.beds
    }

    pub(super) fn bed(&self, written: &str) -> Resolved<Box<str>> {
        if *self.last_bed.borrow().0 == *written {
            return Ok(self.last_bed.borrow().1.clone());
        }
        let next = self.next_bed.get();
        let is_next = |bed: &str| bed.eq_ignore_ascii_case(written);
        let at = match self.beds.name(next) {
            Some(bed) if is_next(bed) => Some(next),
            _ => self.beds.place(written),
        };
        let Some((at, bed)) = at.and_then(|at| Some((at, self.beds.name(at)?))) else {
            return Err(self.beds.near(written));
        };
        self.next_bed.set(at + 1);
        let bed: Box<str> = bed.into();
        *self.last_bed.borrow_mut() = (written.into(), bed.clone());
        Ok(bed)
    }

    pub(super) fn crop(&self, written: &str) -> Resolved<CropId> {
        let slot = slot(written);
        if let Some(Some((name, crop))) = self.crops.borrow().get(slot)
            && **name == *written
        {
            return Ok(*crop);
        }
        let crop = self.knowledge.names.crop(&self.knowledge.crops, written)?;
        let mut crops = self.crops.borrow_mut();
        if crops.is_empty() {
            crops.resize(SLOTS, None);
        }
        crops[slot] = Some((written.into(), crop));
        Ok(crop)
    }
}

/// A crop as it was written.
type Known = (Box<str>, CropId);

/// How many names of crops are remembered.
const SLOTS: usize = 1024;

/// Where a name is remembered; of two in one place the later one stays.
fn slot(name: &str) -> usize {
    let bytes = name.as_bytes();
    let byte = |at: usize| bytes.get(at).map_or(0, |byte| usize::from(*byte));
    let count = bytes.len();
    (count
        + 5 * byte(0)
        + 11 * byte(count / 2)
        + 23 * byte(count.saturating_sub(1))
        + 47 * byte(count / 3))
        % SLOTS
}
