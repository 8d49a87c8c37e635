//! One garden's records bed by bed: each kind of record is put in order once, and only the parts of
//! the beds under way are held a second time. Beds know nothing of each other, so they are judged
//! side by side on all cores; the order of what comes back is that of the beds.

use std::collections::BTreeMap;
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

/// A garden in the order of its beds.
struct ByBed<'g> {
    garden: &'g Garden,
    plantings: Sorted,
    observations: Sorted,
    harvests: Sorted,
    amendments: Sorted,
    soil_tests: Sorted,
    treatments: Sorted,
}

impl<'g> ByBed<'g> {
    fn of(garden: &'g Garden) -> Self {
        let beds: BTreeMap<&str, usize> =
            garden.beds.iter().enumerate().map(|(at, bed)| (&*bed.name, at)).collect();
        Self {
            garden,
            plantings: Sorted::of(garden.plantings.iter().map(|one| &one.place), &beds),
            observations: Sorted::of(garden.observations.iter().map(|one| &one.place), &beds),
            harvests: Sorted::of(garden.harvests.iter().map(|one| &one.place), &beds),
            amendments: Sorted::of(garden.amendments.iter().map(|one| &one.place), &beds),
            soil_tests: Sorted::of(garden.soil_tests.iter().map(|one| &one.place), &beds),
            treatments: Sorted::of(garden.treatments.iter().map(|one| &one.place), &beds),
        }
    }

    /// A garden with what every bed shares and none of the beds.
    fn shared(&self) -> Garden {
        Garden {
            site: self.garden.site.clone(),
            climate: self.garden.climate.clone(),
            weather: self.garden.weather.clone(),
            ..Garden::default()
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

/// What a function makes of each bed, in the order of the beds. It is given the records of a bed
/// as a garden of its own (the same site, climate and weather, one bed; wishes and exceptions are
/// left out), and what `begin` made for its thread.
pub(super) fn each_bed<T, R: Send>(
    garden: &Garden,
    begin: impl Fn() -> T + Sync,
    visit: impl Fn(&T, &Garden) -> R + Sync,
) -> Vec<R> {
    let by_bed = ByBed::of(garden);
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let next = AtomicUsize::new(0);
    let work = || {
        let (at_hand, mut part, mut made) = (begin(), by_bed.shared(), Vec::new());
        loop {
            let bed = next.fetch_add(1, Ordering::Relaxed);
            if bed >= garden.beds.len() {
                return made;
            }
            by_bed.fill(bed, &mut part);
            made.push((bed, visit(&at_hand, &part)));
        }
    };
    let mut made = std::thread::scope(|scope| {
        let others: Vec<_> = (1..cores.min(garden.beds.len())).map(|_| scope.spawn(work)).collect();
        let mut made = work();
        for other in others {
            made.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        made
    });
    made.sort_unstable_by_key(|(bed, _)| *bed);
    made.into_iter().map(|(_, result)| result).collect()
}
