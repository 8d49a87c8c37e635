//! One garden's records bed by bed: each kind of record is walked once, and only one bed's part of
//! it is held a second time.

use std::collections::BTreeMap;
use std::ops::Range;

use crate::records::{Garden, Place};

/// Records of one kind by bed: the bed's place in the list and the record's. Within a bed they keep
/// the order they had.
struct Sorted(Vec<(u32, u32)>);

impl Sorted {
    fn of<'r>(places: impl Iterator<Item = &'r Place>, beds: &BTreeMap<&str, u32>) -> Self {
        let mut order: Vec<(u32, u32)> = (0..)
            .zip(places)
            .filter_map(|(at, place)| beds.get(&*place.bed).map(|bed| (*bed, at)))
            .collect();
        order.sort_unstable();
        Self(order)
    }

    /// Copies what lies in a bed.
    fn take<R: Clone>(&self, bed: u32, records: &[R]) -> Vec<R> {
        let from = self.0.partition_point(|(of, _)| *of < bed);
        let here = self.0[from..].iter().take_while(|(of, _)| *of == bed);
        here.map(|(_, at)| records[*at as usize].clone()).collect()
    }
}

/// A garden's records sorted by bed.
pub(super) struct ByBed<'g> {
    garden: &'g Garden,
    plantings: Sorted,
    observations: Sorted,
    harvests: Sorted,
    amendments: Sorted,
    soil_tests: Sorted,
    treatments: Sorted,
}

impl<'g> ByBed<'g> {
    pub(super) fn new(garden: &'g Garden) -> Self {
        let beds: BTreeMap<&str, u32> = garden.beds.iter().map(|bed| &*bed.name).zip(0..).collect();
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

    /// Calls a function with the records of each bed of a range, in the order of the beds, as a
    /// garden of its own: the same site, climate and weather, one bed. Wishes and exceptions are left
    /// out.
    pub(super) fn each(&self, beds: Range<usize>, mut visit: impl FnMut(&Garden)) {
        let garden = self.garden;
        let mut part = Garden {
            site: garden.site.clone(),
            climate: garden.climate.clone(),
            weather: garden.weather.clone(),
            ..Garden::default()
        };
        for (at, bed) in (0_u32..).zip(&garden.beds).skip(beds.start).take(beds.len()) {
            part.beds = vec![bed.clone()];
            part.plantings = self.plantings.take(at, &garden.plantings);
            part.observations = self.observations.take(at, &garden.observations);
            part.harvests = self.harvests.take(at, &garden.harvests);
            part.amendments = self.amendments.take(at, &garden.amendments);
            part.soil_tests = self.soil_tests.take(at, &garden.soil_tests);
            part.treatments = self.treatments.take(at, &garden.treatments);
            visit(&part);
        }
    }
}
