//! What a row needs to know to become a record: the trade's names and the garden's beds. Both are
//! asked once a row, so what was found is remembered.

use std::cell::{Cell, RefCell};
use std::hash::{BuildHasher as _, Hasher as _, RandomState};

use hashbrown::HashTable;

use crate::knowledge::{CropId, Knowledge};
use crate::tabular::Resolved;

/// Names of beds, as written; capitals do not tell beds apart. There may be many, so that one costs
/// little more than its letters.
#[derive(Clone, Debug, Default)]
pub struct BedNames {
    /// All names, one behind the other.
    text: String,
    /// Where each ends.
    ends: Vec<usize>,
    /// Their places, found by the digest of a name without its capitals.
    places: HashTable<u32>,
    digests: RandomState,
}

impl BedNames {
    /// Adds a name, unless it is there already.
    pub fn add(&mut self, name: &str) {
        let digest = self.digest(name);
        // So many names that a place outgrows its type have outgrown any memory long before.
        let Ok(place) = u32::try_from(self.ends.len()) else { return };
        if self.among(digest, name).is_some() {
            return;
        }
        self.text.push_str(name);
        self.ends.push(self.text.len());
        let Self { text, ends, places, digests } = self;
        let of_place = |place: &u32| digest_of(digests, name_at(text, ends, *place).unwrap_or(""));
        places.insert_unique(digest, place, of_place);
    }

    /// Takes in the names of another list.
    pub fn join(&mut self, others: Self) {
        if self.ends.is_empty() {
            *self = others;
        } else {
            others.iter().for_each(|name| self.add(name));
        }
    }

    /// The name as it was first written.
    #[must_use]
    pub fn find(&self, written: &str) -> Option<&str> {
        self.name(self.place(written)?)
    }

    /// Which of the names it is.
    fn place(&self, written: &str) -> Option<u32> {
        self.among(self.digest(written), written)
    }

    /// The name at a place of the list.
    fn name(&self, place: u32) -> Option<&str> {
        name_at(&self.text, &self.ends, place)
    }

    fn iter(&self) -> impl Iterator<Item = &str> {
        (0..).map_while(|place| self.name(place))
    }

    /// The place of a name among those of a digest.
    fn among(&self, digest: u64, written: &str) -> Option<u32> {
        let is_it =
            |place: &u32| self.name(*place).is_some_and(|name| name.eq_ignore_ascii_case(written));
        self.places.find(digest, is_it).copied()
    }

    fn digest(&self, name: &str) -> u64 {
        digest_of(&self.digests, name)
    }

    /// Up to three names near the one written, best first.
    fn near(&self, written: &str) -> Vec<String> {
        let mut near: Vec<(usize, &str)> = self
            .iter()
            .map(|bed| (strsim::osa_distance(bed, written), bed))
            .filter(|(distance, _)| *distance <= 2)
            .collect();
        near.sort_unstable();
        near.into_iter().take(3).map(|(_, bed)| bed.to_owned()).collect()
    }
}

fn name_at<'t>(text: &'t str, ends: &[usize], place: u32) -> Option<&'t str> {
    let place = usize::try_from(place).ok()?;
    let begins = if place == 0 { 0 } else { *ends.get(place - 1)? };
    text.get(begins..*ends.get(place)?)
}

/// Of a name without its capitals.
fn digest_of(digests: &RandomState, name: &str) -> u64 {
    let mut hasher = digests.build_hasher();
    let mut lower = [0; 32];
    for part in name.as_bytes().chunks(lower.len()) {
        let lower = &mut lower[..part.len()];
        lower.copy_from_slice(part);
        lower.make_ascii_lowercase();
        hasher.write(lower);
    }
    hasher.finish()
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
    next_bed: Cell<u32>,
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
        self.next_bed.set(at.saturating_add(1));
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
