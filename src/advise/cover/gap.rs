//! The time between two crops: as asked, or found between what stands and what comes next.

use crate::assess::season::{Kind, SiteDays, windows};
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge};
use crate::policy::Policy;
use crate::records::{Garden, Method, Place};
use crate::season::{Date, add_days};
use crate::state::nutrients::grown_by;

/// The time between two crops.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// First free day.
    pub from: Date,
    /// Day of the next crop.
    pub to: Date,
}

impl Gap {
    /// Days in it.
    #[must_use]
    pub fn days(&self) -> i64 {
        (self.to - self.from).num_days()
    }
}

/// Where an end of a gap comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GapEnd {
    /// Asked for.
    Asked,
    /// Today, or the day asked from: nothing stands.
    Free,
    /// What stands is taken to be done by then.
    StandsUntil(CropId),
    /// A planting on record that begins later.
    Planned(CropId),
    /// The first day in season for the next crop that leaves time for a cover.
    InSeason(CropId),
}

/// A gap with where its ends come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FoundGap {
    /// The gap.
    pub gap: Gap,
    /// Where its first day comes from.
    pub from: GapEnd,
    /// Where its last day comes from.
    pub to: GapEnd,
    /// The next crop: the one asked for, else the one on record.
    pub next: Option<CropId>,
}

/// What of a gap was asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct Asked {
    /// First free day.
    pub from: Option<Date>,
    /// Day of the next crop.
    pub to: Option<Date>,
    /// The next crop.
    pub next: Option<CropId>,
}

/// The gap of a place from a day on: from what stands there to the next planting on record, else to
/// the first day in season for the next crop that leaves time for a cover. `None` where neither
/// tells its end.
#[must_use]
pub fn find_gap(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    place: &Place,
    today: Date,
    asked: Asked,
) -> Option<FoundGap> {
    let here = || garden.plantings.at(place);
    let (from, from_end) = asked.from.map_or_else(
        || {
            here()
                .filter(|planting| planting.stood.holds(today) && !planting.is_volunteer())
                .map(|planting| {
                    let by = planting.stood.end.unwrap_or_else(|| {
                        let climate = Climate::of(garden);
                        let (crop, start) = (planting.crop, planting.planted());
                        grown_by(knowledge, policy, climate.as_ref(), crop, start)
                    });
                    (by.max(today), GapEnd::StandsUntil(planting.crop))
                })
                .max_by_key(|(by, _)| *by)
                .unwrap_or((today, GapEnd::Free))
        },
        |from| (from, GapEnd::Asked),
    );
    if let Some(to) = asked.to {
        let gap = Gap { from, to };
        return Some(FoundGap { gap, from: from_end, to: GapEnd::Asked, next: asked.next });
    }
    let planned = here()
        .filter(|planting| planting.planted() > from && !planting.is_volunteer())
        .min_by_key(|planting| planting.planted());
    if let Some(planned) = planned {
        let gap = Gap { from, to: planned.planted() };
        // What is on record comes next, whatever else is wished for later.
        let next = Some(planned.crop);
        return Some(FoundGap { gap, from: from_end, to: GapEnd::Planned(planned.crop), next });
    }
    let next = asked.next?;
    let to = first_in_season(knowledge, policy, garden, next, from)?;
    let gap = Gap { from, to };
    Some(FoundGap { gap, from: from_end, to: GapEnd::InSeason(next), next: Some(next) })
}

/// The first day good for starting a crop that leaves time for a cover and the wait after it.
fn first_in_season(
    knowledge: &Knowledge,
    policy: &Policy,
    garden: &Garden,
    crop: CropId,
    from: Date,
) -> Option<Date> {
    const YEAR_AND_GROWTH: usize = 366 + 500;
    let climate = Climate::of(garden)?;
    let least = add_days(from, policy.cover_days_fewest + policy.residue_rots_days);
    let days = SiteDays::new(&climate, policy, least, YEAR_AND_GROWTH);
    let found = windows(knowledge, policy, &days, crop, Kind::Plain, None);
    // A window that ends before it begins is open on the first day.
    found
        .good
        .iter()
        .map(|window| if window.to < window.from { least } else { window.from.max(least) })
        .min()
}

/// How the next crop is started, as this garden starts it, else as its days are counted.
#[must_use]
pub(super) fn usual_method(knowledge: &Knowledge, garden: &Garden, crop: CropId) -> Option<Method> {
    let own = garden
        .plantings
        .iter()
        .rev()
        .filter(|planting| planting.crop == crop && !planting.is_volunteer())
        .find_map(|planting| planting.method);
    own.or_else(|| {
        let from = knowledge.crop_figures(crop, "from").first()?;
        Some(if &*from.text == "transplant" { Method::Transplanted } else { Method::Sown })
    })
}
