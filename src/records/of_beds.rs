//! Records of one kind in their order, with those of each bed at hand.
//!
//! A list of a thousand beds is not looked through once for each of them: after some questions about
//! beds it is noted which records lie in which, and every change of the list drops the note.

use std::cmp::Ordering;
use std::fmt;
use std::ops::{Deref, DerefMut};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering::Relaxed};

use itertools::Either;

use super::{Amendment, Bed, Harvest, Observation, Place, Planting, SoilTest, Treatment};

/// A record that lies in a bed.
pub trait InBed {
    /// Name of the bed.
    fn bed(&self) -> &str;
}

/// A record of a bed or of a section of one.
pub trait Placed {
    /// Where.
    fn place(&self) -> &Place;
}

impl<R: Placed> InBed for R {
    fn bed(&self) -> &str {
        &self.place().bed
    }
}

impl InBed for Bed {
    fn bed(&self) -> &str {
        &self.name
    }
}

macro_rules! placed {
    ($($kind:ty),*) => {$(
        impl Placed for $kind {
            fn place(&self) -> &Place {
                &self.place
            }
        }
    )*};
}
placed!(Amendment, Harvest, Observation, Planting, SoilTest, Treatment);

/// A list of records, to be read and changed like any other, that can tell which of them lie in a
/// bed without looking at the others.
///
/// ```
/// use breakcrop::records::{Bed, BedKind, OfBeds};
/// # use breakcrop::{origin::Origin, units::Metres};
/// # let bed = |name: &str| Bed {
/// #     name: name.into(), kind: BedKind::Ground, length: Metres(4.0), width: Metres(1.0), x: None,
/// #     y: None, soil_depth: None, records_from: None, note: "".into(), origin: Origin::new("b", 1),
/// # };
/// let mut beds = OfBeds::from(vec![bed("L1"), bed("L2")]);
/// beds.push(bed("M1"));
/// assert_eq!(beds.of("L2").count(), 1);
/// assert_eq!(beds.of("l2").count(), 0);
/// ```
pub struct OfBeds<R> {
    records: Vec<R>,
    /// Places in the list, bed by bed, those of one bed in the order of the list.
    by_bed: OnceLock<Box<[usize]>>,
    /// Questions since the list was changed.
    asked: AtomicUsize,
}

/// Lists up to this length are looked through for every question.
const FEW: usize = 64;

/// Longer ones for so many questions after a change: about as much as the note costs. A list that
/// grows from question to question is never sorted for one.
const PATIENCE: usize = 16;

impl<R: InBed> OfBeds<R> {
    /// The records of a bed, in the order of the list.
    pub fn of<'r>(&'r self, bed: &str) -> impl DoubleEndedIterator<Item = &'r R> {
        self.numbered(bed).map(|(_, record)| record)
    }

    /// The records of a bed with their places in the list, in its order.
    pub fn numbered<'r>(&'r self, bed: &str) -> impl DoubleEndedIterator<Item = (usize, &'r R)> {
        self.alike(bed).filter(move |(_, record)| record.bed() == bed)
    }

    /// The same of all beds whose names differ from the one asked for in capitals alone.
    pub(super) fn alike<'r>(
        &'r self,
        bed: &str,
    ) -> impl DoubleEndedIterator<Item = (usize, &'r R)> {
        let Some(order) = self.by_bed() else {
            let all = self.records.iter().enumerate();
            return Either::Left(all.filter(|(_, record)| record.bed().eq_ignore_ascii_case(bed)));
        };
        let name = |at: &usize| self.records[*at].bed();
        let from = order.partition_point(|at| in_small_letters(name(at), bed).is_lt());
        let count = order[from..].partition_point(|at| in_small_letters(name(at), bed).is_eq());
        Either::Right(order[from..from + count].iter().map(|at| (*at, &self.records[*at])))
    }

    /// The note, where it is worth its price.
    fn by_bed(&self) -> Option<&[usize]> {
        if self.records.len() <= FEW {
            return None;
        }
        if self.by_bed.get().is_none() && self.asked.fetch_add(1, Relaxed) < PATIENCE {
            return None;
        }
        Some(self.by_bed.get_or_init(|| {
            let name = |at: usize| self.records[at].bed();
            let mut order: Vec<(u64, usize)> =
                (0..self.records.len()).map(|at| (first_letters(name(at)), at)).collect();
            order.sort_unstable_by(|(a_first, a), (b_first, b)| {
                a_first
                    .cmp(b_first)
                    .then_with(|| in_small_letters(name(*a), name(*b)))
                    .then(a.cmp(b))
            });
            order.into_iter().map(|(_, at)| at).collect()
        }))
    }
}

impl<R: Placed> OfBeds<R> {
    /// The records that bear on a place ([`Place::bears_on`]), in the order of the list.
    pub fn at<'r>(&'r self, place: &Place) -> impl DoubleEndedIterator<Item = &'r R> {
        self.of(&place.bed).filter(move |record| record.place().bears_on(place))
    }
}

/// The order of two names without their capitals.
fn in_small_letters(one: &str, other: &str) -> Ordering {
    let small = |byte: u8| byte.to_ascii_lowercase();
    one.bytes().map(small).cmp(other.bytes().map(small))
}

/// What comes first in a name, as a number of the same order: most names differ in it.
fn first_letters(name: &str) -> u64 {
    let mut letters = [0; 8];
    for (letter, byte) in letters.iter_mut().zip(name.bytes()) {
        *letter = byte.to_ascii_lowercase();
    }
    u64::from_be_bytes(letters)
}

impl<R: fmt::Debug> fmt::Debug for OfBeds<R> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.records.fmt(f)
    }
}

impl<R> Deref for OfBeds<R> {
    type Target = Vec<R>;

    fn deref(&self) -> &Vec<R> {
        &self.records
    }
}

impl<R> DerefMut for OfBeds<R> {
    fn deref_mut(&mut self) -> &mut Vec<R> {
        self.by_bed.take();
        *self.asked.get_mut() = 0;
        &mut self.records
    }
}

impl<R> Default for OfBeds<R> {
    fn default() -> Self {
        Self::from(Vec::new())
    }
}

impl<R: Clone> Clone for OfBeds<R> {
    fn clone(&self) -> Self {
        Self::from(self.records.clone())
    }
}

impl<R> From<Vec<R>> for OfBeds<R> {
    fn from(records: Vec<R>) -> Self {
        Self { records, by_bed: OnceLock::new(), asked: AtomicUsize::new(0) }
    }
}

impl<R> FromIterator<R> for OfBeds<R> {
    fn from_iter<I: IntoIterator<Item = R>>(records: I) -> Self {
        Self::from(Vec::from_iter(records))
    }
}

impl<R> IntoIterator for OfBeds<R> {
    type Item = R;
    type IntoIter = std::vec::IntoIter<R>;

    fn into_iter(self) -> Self::IntoIter {
        self.records.into_iter()
    }
}

impl<'r, R> IntoIterator for &'r OfBeds<R> {
    type Item = &'r R;
    type IntoIter = std::slice::Iter<'r, R>;

    fn into_iter(self) -> Self::IntoIter {
        self.records.iter()
    }
}

impl<'r, R> IntoIterator for &'r mut OfBeds<R> {
    type Item = &'r mut R;
    type IntoIter = std::slice::IterMut<'r, R>;

    fn into_iter(self) -> Self::IntoIter {
        (**self).iter_mut()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    /// A record that counts how often it is asked where it lies.
    struct Counted<'c>(Box<str>, &'c AtomicUsize);

    impl InBed for Counted<'_> {
        fn bed(&self) -> &str {
            self.1.fetch_add(1, Relaxed);
            &self.0
        }
    }

    /// Beds in turn, some alike but for capitals, some with long names that begin alike.
    fn name(at: usize, beds: usize) -> String {
        let bed = at * 7919 % beds;
        match bed % 4 {
            0 => format!("b{bed}"),
            1 => format!("B{}", bed - 1),
            2 => format!("long border by the wall {bed}"),
            _ => format!("\u{e9}tang {bed}"),
        }
    }

    #[test]
    fn a_bed_has_the_records_that_looking_through_the_list_finds() {
        let count = AtomicUsize::new(0);
        for (records, beds) in [(0, 4), (40, 8), (FEW, 12), (FEW + 1, 12), (500, 48)] {
            let mut list: OfBeds<Counted<'_>> =
                (0..records).map(|at| Counted(name(at, beds).into(), &count)).collect();
            for round in 0..2 {
                for bed in (0..beds).map(|bed| name(bed, beds)).chain(["none".to_owned()]) {
                    let plainly: Vec<usize> =
                        (0..list.len()).filter(|at| *list[*at].0 == *bed).collect();
                    let found: Vec<usize> = list.numbered(&bed).map(|(at, _)| at).collect();
                    assert_eq!(found, plainly, "{bed} of {beds} beds, {records} records");
                    let backwards: Vec<usize> =
                        list.numbered(&bed).rev().map(|(at, _)| at).collect();
                    assert!(backwards.iter().rev().eq(&plainly));
                    let alike = list.iter().position(|one| one.0.eq_ignore_ascii_case(&bed));
                    assert_eq!(list.alike(&bed).next().map(|(at, _)| at), alike);
                }
                // What is changed is found as it is now.
                if round == 0 {
                    list.retain(|one| !one.0.ends_with('4'));
                    list.push(Counted("b0".into(), &count));
                    list.reverse();
                }
            }
        }
    }

    #[test]
    fn the_work_on_all_beds_grows_little_faster_than_the_records() {
        let looks = |beds: usize| {
            let count = AtomicUsize::new(0);
            let list: OfBeds<Counted<'_>> = (0..10 * beds)
                .map(|at| Counted(format!("B{}", at % beds).into(), &count))
                .collect();
            let found: usize = (0..beds).map(|bed| list.of(&format!("B{bed}")).count()).sum();
            assert_eq!(found, list.len());
            count.into_inner()
        };
        let (few, many) = (looks(100), looks(1600));
        // Sixteen times the records; looking through the list for each bed would cost 256 times.
        assert!(many < 40 * few, "{few} looks for 100 beds, {many} for 1600");
    }
}
