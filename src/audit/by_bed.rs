//! One garden's records bed by bed: each kind of record is put in order once, and only the parts of
//! the beds under way are held a second time. Beds know nothing of each other, so they are judged
//! side by side on all cores; the order of what comes back is that of the beds.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::records::{Garden, Place};

/// Records of one kind in the order of their beds; within a bed the order they had.
struct Sorted(Vec<(usize, usize)>);

impl Sorted {
    fn of<'r>(places: impl Iterator<Item = &'r Place>, beds: &BTreeMap<&str, usize>) -> Self {
        let mut order: Vec<(usize, usize)> = places
            .enumerate()
            .filter_map(|(at, place)| beds.get(&*place.bed).map(|bed| (*bed, at)))
            .collect();
        order.sort_unstable();
        Self(order)
    }

    /// Copies what lies in a bed.
    fn take<R: Clone>(&self, bed: usize, records: &[R], into: &mut Vec<R>) {
        let from = self.0.partition_point(|(of, _)| *of < bed);
        let of_bed = self.0[from..].iter().take_while(|(of, _)| *of == bed);
        into.clear();
        into.extend(of_bed.map(|(_, at)| records[*at].clone()));
    }
}

/// A garden in memory in the order of its beds.
pub(super) struct ByBed<'g> {
    garden: &'g Garden,
    next: AtomicUsize,
    plantings: Sorted,
    observations: Sorted,
    harvests: Sorted,
    amendments: Sorted,
    soil_tests: Sorted,
    treatments: Sorted,
}

impl<'g> ByBed<'g> {
    pub(super) fn of(garden: &'g Garden) -> Self {
        let beds: BTreeMap<&str, usize> =
            garden.beds.iter().enumerate().map(|(at, bed)| (&*bed.name, at)).collect();
        Self {
            garden,
            next: AtomicUsize::new(0),
            plantings: Sorted::of(garden.plantings.iter().map(|one| &one.place), &beds),
            observations: Sorted::of(garden.observations.iter().map(|one| &one.place), &beds),
            harvests: Sorted::of(garden.harvests.iter().map(|one| &one.place), &beds),
            amendments: Sorted::of(garden.amendments.iter().map(|one| &one.place), &beds),
            soil_tests: Sorted::of(garden.soil_tests.iter().map(|one| &one.place), &beds),
            treatments: Sorted::of(garden.treatments.iter().map(|one| &one.place), &beds),
        }
    }

    /// Puts one bed and its records into `part` in place of those of another.
    fn fill(&self, bed: usize, part: &mut Garden) {
        let garden = self.garden;
        part.beds.clear();
        part.beds.push(garden.beds[bed].clone());
        self.plantings.take(bed, &garden.plantings, &mut part.plantings);
        self.observations.take(bed, &garden.observations, &mut part.observations);
        self.harvests.take(bed, &garden.harvests, &mut part.harvests);
        self.amendments.take(bed, &garden.amendments, &mut part.amendments);
        self.soil_tests.take(bed, &garden.soil_tests, &mut part.soil_tests);
        self.treatments.take(bed, &garden.treatments, &mut part.treatments);
    }
}

impl Beds for ByBed<'_> {
    type Error = std::convert::Infallible;

    fn count(&self) -> usize {
        self.garden.beds.len()
    }

    fn name(&self, bed: usize) -> Box<str> {
        self.garden.beds[bed].name.clone()
    }

    fn next(&self, parts: &mut [Garden]) -> Result<Range<usize>, Self::Error> {
        let first = self.next.fetch_add(parts.len(), Ordering::Relaxed).min(self.count());
        let taken = first..(first + parts.len()).min(self.count());
        for (bed, part) in taken.clone().zip(parts) {
            self.fill(bed, part);
        }
        Ok(taken)
    }
}

/// Where the beds of a garden come from, one after the other, to whichever thread asks.
pub trait Beds: Sync {
    /// Why a bed cannot be had.
    type Error: Send;

    /// How many beds there are.
    fn count(&self) -> usize;

    /// The name of a bed.
    fn name(&self, bed: usize) -> Box<str>;

    /// Puts the records of the next beds into `parts`, one bed each, in place of those of others:
    /// their numbers from 0, in the order of the beds; none after the last, and fewer than there
    /// are parts only then. Site, climate and weather, which all beds share, stay; wishes and
    /// exceptions are left out.
    ///
    /// # Errors
    /// If the records cannot be read.
    fn next(&self, parts: &mut [Garden]) -> Result<Range<usize>, Self::Error>;
}

/// Beds that a thread takes at once: enough that asking costs little, few enough that all threads end
/// together.
const AT_ONCE: usize = 16;

/// A garden with what every bed shares and none of the beds.
pub(super) fn shared(garden: &Garden) -> Garden {
    Garden {
        site: garden.site.clone(),
        climate: garden.climate.clone(),
        weather: garden.weather.clone(),
        ..Garden::default()
    }
}

/// Shows each bed to a function, with its number and its records as a garden of its own, and what
/// `begin` made for the thread; then what `end` makes of that, thread by thread, in no order.
pub(super) fn each_bed<B: Beds, T, R: Send>(
    beds: &B,
    garden: &Garden,
    begin: impl Fn() -> T + Sync,
    visit: impl Fn(&mut T, usize, &Garden) + Sync,
    end: impl Fn(T) -> R + Sync,
) -> Result<Vec<R>, B::Error> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let work = || {
        let mut made = begin();
        let mut parts: Vec<Garden> = (0..AT_ONCE).map(|_| shared(garden)).collect();
        loop {
            let taken = beds.next(&mut parts)?;
            if taken.is_empty() {
                return Ok(end(made));
            }
            for (bed, part) in taken.zip(&parts) {
                visit(&mut made, bed, part);
            }
        }
    };
    std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores.min(beds.count())).map(|_| scope.spawn(work)).collect();
        let own = work();
        let mut all = vec![own?];
        for other in others {
            all.push(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))?);
        }
        Ok(all)
    })
}
