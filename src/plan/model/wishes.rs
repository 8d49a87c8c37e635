//! Wishes in time: each comes round every year of the plan.

use crate::knowledge::{CropId, Knowledge};
use crate::plan::half_months::HalfMonths;
use crate::plan::outcome::{WishBeyond, WishBy};
use crate::records::{Garden, Season as WishSeason, Wish};
use crate::season::Date;
use crate::state::nutrients::typical_yield;
use chrono::Datelike;

/// A wish in one year.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Occurrence {
    pub(in crate::plan) wish: usize,
    pub(in crate::plan) crop: CropId,
    pub(in crate::plan) from: Date,
    pub(in crate::plan) to: Date,
    pub(in crate::plan) by: WishBy,
    /// Full crops wanted, m2; `None` if the mass cannot be turned into an area.
    pub(in crate::plan) wanted_m2: Option<f64>,
    /// Typical yield, kg/m2.
    pub(in crate::plan) kg_m2: Option<f64>,
}

impl Occurrence {
    /// Share of a planting that serves the wish: of its picking days those within the time, or, for a
    /// wish by area, all of it if it is started within the time.
    pub(in crate::plan) fn served_by(&self, planted: Date, harvest: Option<(Date, Date)>) -> f64 {
        match self.by {
            WishBy::Area(_) => f64::from(u8::from(self.from <= planted && planted < self.to)),
            WishBy::Mass(_) => harvest.map_or(0.0, |(first, last)| {
                let days = (last - first).num_days().max(1) as f64;
                let within = (last.min(self.to) - first.max(self.from)).num_days();
                (within.max(0) as f64 / days).min(1.0)
            }),
        }
    }
}

/// The wishes of a plan.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct Wished {
    /// Those that come round within the half-months, by their times.
    pub(in crate::plan) wishes: Vec<Occurrence>,
    /// Crops wished away.
    pub(in crate::plan) unwanted: Vec<CropId>,
    /// Those whose time the plan does not reach to its end.
    pub(in crate::plan) beyond: Vec<WishBeyond>,
}

/// All wishes that come round within the half-months.
pub(in crate::plan) fn occurrences(
    knowledge: &Knowledge,
    garden: &Garden,
    half_months: HalfMonths,
) -> Wished {
    let southern = garden.site.as_ref().is_some_and(|site| site.latitude < 0.0);
    let (begin, end) = (half_months.day(0), half_months.end());
    let mut found = Vec::new();
    let mut unwanted = Vec::new();
    let mut beyond = Vec::new();
    for (at, wish) in garden.wishes.iter().enumerate() {
        let by = match (wish.mass, wish.area) {
            (Some(mass), _) if mass.0 > 0.0 => WishBy::Mass(mass),
            (_, Some(area)) if area.0 > 0.0 => WishBy::Area(area),
            _ => {
                unwanted.push(wish.crop);
                continue;
            }
        };
        let kg_m2 = typical_yield(knowledge, wish.crop).map(|range| range.likely);
        let wanted_m2 = match by {
            WishBy::Mass(mass) => kg_m2.map(|kg| mass.0 / kg),
            WishBy::Area(area) => Some(area.0),
        };
        for year in begin.year() - 1..=end.year() {
            let Some((from, to)) = time_of(wish, year, southern, half_months) else { continue };
            // A season that is half over has been seen to already.
            let middle = from + (to - from) / 2;
            if middle >= begin && to <= end {
                let crop = wish.crop;
                found.push(Occurrence { wish: at, crop, from, to, by, wanted_m2, kg_m2 });
            } else if from >= begin && from < end {
                beyond.push(WishBeyond { crop: wish.crop, from, to });
            }
        }
    }
    found.sort_by_key(|occurrence| (occurrence.from, occurrence.to, occurrence.wish));
    beyond.sort_by_key(|beyond| (beyond.from, beyond.to, beyond.crop));
    Wished { wishes: found, unwanted, beyond }
}

/// The time of a wish that begins in a year; without a month, the plan's years.
fn time_of(
    wish: &Wish,
    year: i32,
    southern: bool,
    half_months: HalfMonths,
) -> Option<(Date, Date)> {
    let months = |first: u32, count: u32| {
        let first = if southern && count == 3 { (first + 5) % 12 + 1 } else { first };
        let from = Date::from_ymd_opt(year, first, 1)?;
        Some((from, from.checked_add_months(chrono::Months::new(count))?))
    };
    match wish.season {
        WishSeason::Month(month) => months(month, 1),
        WishSeason::Spring => months(3, 3),
        WishSeason::Summer => months(6, 3),
        WishSeason::Autumn => months(9, 3),
        WishSeason::Winter => months(12, 3),
        WishSeason::Any => {
            let begin = half_months.day(0).with_year(year)?;
            let to = begin.checked_add_months(chrono::Months::new(12))?;
            Some((begin, to))
        }
    }
}
