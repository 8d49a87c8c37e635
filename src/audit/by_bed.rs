//! One garden's records bed by bed: each kind of record is walked once, and only one bed's part of
//! it is held a second time.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::records::{Garden, Place};

/// Records of one kind in the order of their beds; within a bed the order they had.
struct Sorted(Vec<(usize, usize)>);

impl Sorted {
    fn of<'r>(places: impl Iterator<Item = &'r Place>, beds: &BTreeMap<Box<str>, usize>) -> Self {
        let mut order: Vec<(usize, usize)> = places
            .enumerate()
            .filter_map(|(at, place)| beds.get(&place.bed).map(|bed| (*bed, at)))
            .collect();
        order.sort_unstable();
        Self(order)
    }

    /// Copies what lies in a bed. `cursor` is where the bed before ended.
    fn take<R: Clone>(&self, cursor: &mut usize, bed: usize, records: &[R]) -> Vec<R> {
        let from = *cursor;
        let count = self.0[from..].iter().take_while(|(of, _)| *of == bed).count();
        *cursor = from + count;
        let range: Range<usize> = from..from + count;
        self.0[range].iter().map(|(_, at)| records[*at].clone()).collect()
    }
}

/// Calls a function with the records of each bed, in the order of the beds, as a garden of its own:
/// the same site, climate and weather, one bed. Wishes and exceptions are left out.
pub(super) fn each_bed(garden: &Garden, mut visit: impl FnMut(&Garden)) {
    let beds: BTreeMap<Box<str>, usize> =
        garden.beds.iter().enumerate().map(|(at, bed)| (bed.name.clone(), at)).collect();
    let plantings = Sorted::of(garden.plantings.iter().map(|one| &one.place), &beds);
    let observations = Sorted::of(garden.observations.iter().map(|one| &one.place), &beds);
    let harvests = Sorted::of(garden.harvests.iter().map(|one| &one.place), &beds);
    let amendments = Sorted::of(garden.amendments.iter().map(|one| &one.place), &beds);
    let soil_tests = Sorted::of(garden.soil_tests.iter().map(|one| &one.place), &beds);
    let treatments = Sorted::of(garden.treatments.iter().map(|one| &one.place), &beds);
    let mut cursors = [0; 6];
    let mut part = Garden {
        site: garden.site.clone(),
        climate: garden.climate.clone(),
        weather: garden.weather.clone(),
        ..Garden::default()
    };
    for (at, bed) in garden.beds.iter().enumerate() {
        part.beds = vec![bed.clone()];
        part.plantings = plantings.take(&mut cursors[0], at, &garden.plantings);
        part.observations = observations.take(&mut cursors[1], at, &garden.observations);
        part.harvests = harvests.take(&mut cursors[2], at, &garden.harvests);
        part.amendments = amendments.take(&mut cursors[3], at, &garden.amendments);
        part.soil_tests = soil_tests.take(&mut cursors[4], at, &garden.soil_tests);
        part.treatments = treatments.take(&mut cursors[5], at, &garden.treatments);
        visit(&part);
    }
}
