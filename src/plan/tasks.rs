//! What a plan asks of the grower, day by day.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::outcome::{GardenPlan, Unmet};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, Role};
use crate::records::{Place, Started, natural_order};
use crate::season::{Date, add_days};
use crate::units::SquareMetres;
use chrono::Datelike;

/// What is to be done, in the order in which a bed sees it on one day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum TaskKind {
    /// Clear what stands.
    Clear,
    /// Cut a cover down or dig it in.
    CutDown,
    /// A wait is over.
    WaitEnds,
    /// Sow.
    Sow,
    /// Set out plants.
    SetOut,
    /// Plant cloves, bulbs, tubers and the like.
    Plant,
    /// Pick, over a span.
    Harvest,
}

impl TaskKind {
    /// The word as written in files.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Sow => "sow",
            Self::SetOut => "set_out",
            Self::Plant => "plant",
            Self::Harvest => "harvest",
            Self::CutDown => "cut_down",
            Self::WaitEnds => "wait_ends",
        }
    }

    /// Whether it begins a planting.
    #[must_use]
    pub fn is_start(self) -> bool {
        match self {
            Self::Sow | Self::SetOut | Self::Plant => true,
            Self::Clear | Self::CutDown | Self::WaitEnds | Self::Harvest => false,
        }
    }
}

/// Plants for a start, from the widest printed spacing to the closest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StartPlants {
    /// Ground.
    pub area: SquareMetres,
    /// By all printed spacings.
    pub plants: Estimate,
    /// In rows, where that is printed.
    pub in_rows: Option<Estimate>,
}

/// One task.
#[derive(Clone, Debug, PartialEq)]
pub struct Task {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// What.
    pub kind: TaskKind,
    /// Where; `None` for what concerns every place.
    pub place: Option<Place>,
    /// The crop.
    pub crop: CropId,
    /// Ground and plants of what is started; `None` for other tasks, for covers, which are sown by
    /// weight, and where no spacing is printed.
    pub plants: Option<StartPlants>,
    /// Name that stays the same while the plan is made anew: kind, place, crop, year, and which of
    /// several in that year.
    pub key: String,
}

/// Days in which a day of the plan may be kept: a plan thinks in half-months.
const ROOM_DAYS: f64 = 7.0;
/// Days that the residue of a cover rests; the plan leaves it a half-month.
const REST_DAYS: f64 = 15.0;

/// Beds as a grower counts them: 2 before 10.
fn by_place(a: Option<&Place>, b: Option<&Place>) -> Ordering {
    match (a, b) {
        (Some(a), Some(b)) => natural_order(&a.bed, &b.bed).then_with(|| a.section.cmp(&b.section)),
        (a, b) => a.cmp(&b),
    }
}

/// The tasks of a plan in the order of their days.
#[must_use]
pub fn tasks(knowledge: &Knowledge, plan: &GardenPlan) -> Vec<Task> {
    let mut found: Vec<Task> = Vec::new();
    let mut add = |from: Date, to: Date, kind, place: Option<&Place>, crop| {
        let (place, key) = (place.cloned(), String::new());
        found.push(Task { from, to, kind, place, crop, plants: None, key });
    };
    for standing in &plan.standing {
        if let Some(free) = standing.free {
            add(
                free,
                add_days(free, ROOM_DAYS),
                TaskKind::Clear,
                Some(&standing.place),
                standing.crop,
            );
        }
    }
    for company in &plan.company {
        let (place, crop) = (Some(&company.place), company.crop);
        add(company.sown, add_days(company.sown, ROOM_DAYS), TaskKind::Sow, place, crop);
        if company.cut < plan.half_months.end() {
            add(company.cut, add_days(company.cut, ROOM_DAYS), TaskKind::CutDown, place, crop);
        }
    }
    for planting in &plan.plantings {
        let place = Some(&planting.place);
        let crop = planting.crop;
        let kind = match Started::of(knowledge, crop, planting.method) {
            Started::Sown => TaskKind::Sow,
            Started::SetOut => TaskKind::SetOut,
            Started::Planted(_) => TaskKind::Plant,
        };
        add(planting.planted, add_days(planting.planted, ROOM_DAYS), kind, place, crop);
        if let Some((first, last)) = planting.harvest {
            add(first, add_days(last.max(first), 1.0), TaskKind::Harvest, place, crop);
        }
        if planting.cleared >= plan.half_months.end() {
            continue;
        }
        let cleared = planting.cleared;
        if knowledge.crops[crop].role == Role::Cover {
            // Its stage and the wait of the next crop say when, if they are known.
            let known = plan
                .covers
                .iter()
                .find(|cover| cover.place == planting.place && cover.sown == planting.planted);
            let cut = known.and_then(|cover| cover.cut(plan)).unwrap_or(cleared);
            add(cut, add_days(cut, ROOM_DAYS), TaskKind::CutDown, place, crop);
            let known = known.and_then(|cover| cover.candidate.as_ref());
            let rested =
                known.map_or_else(|| add_days(cleared, REST_DAYS), |known| known.ready.max(cut));
            add(rested, add_days(rested, 1.0), TaskKind::WaitEnds, place, crop);
        } else {
            add(cleared, add_days(cleared, ROOM_DAYS), TaskKind::Clear, place, crop);
        }
    }
    for wish in &plan.wishes {
        if let Some(Unmet::EveryPlaceWaits { until: Some(until), .. }) = wish.unmet
            && until >= plan.half_months.day(0)
            && until < plan.half_months.end()
        {
            add(until, add_days(until, 1.0), TaskKind::WaitEnds, None, wish.crop);
        }
    }
    for task in &mut found {
        let started = plan.plantings.iter().find(|planting| {
            task.kind.is_start()
                && knowledge.crops[task.crop].role != Role::Cover
                && task.crop == planting.crop
                && task.from == planting.planted
                && task.place.as_ref() == Some(&planting.place)
        });
        task.plants = started.and_then(|planting| {
            let spacing = knowledge.crop_spacing(task.crop)?;
            Some(StartPlants {
                area: planting.area,
                plants: spacing.plants_on(planting.area)?,
                in_rows: spacing.rows.map(|rows| rows.plants_on(planting.area)),
            })
        });
    }
    found.sort_by(|a, b| {
        (a.from, a.kind)
            .cmp(&(b.from, b.kind))
            .then_with(|| by_place(a.place.as_ref(), b.place.as_ref()))
            .then_with(|| (a.crop, a.to).cmp(&(b.crop, b.to)))
    });
    found.dedup();
    let mut counts: BTreeMap<String, u32> = BTreeMap::new();
    for task in &mut found {
        let place = task.place.as_ref().map_or_else(|| "garden".to_owned(), slug);
        let crop = &knowledge.crops[task.crop].key;
        let name = format!("{}-{place}-{crop}-{}", task.kind.word(), task.from.year());
        let count = counts.entry(name.clone()).or_default();
        *count += 1;
        task.key = format!("{name}-{count}");
    }
    found
}

/// A place as letters and digits; other characters by their number, so that no two places are alike.
fn slug(place: &Place) -> String {
    let mut slug = String::new();
    for character in place.to_string().chars() {
        match character {
            'a'..='z' | 'A'..='Z' | '0'..='9' => slug.push(character.to_ascii_lowercase()),
            '/' => slug.push('.'),
            other => {
                let _ = write!(slug, "u{:x}", u32::from(other));
            }
        }
    }
    slug
}
