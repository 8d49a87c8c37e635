//! How each crop goes at the site from every half-month of the year: the same in every year, since a
//! plan knows no weather but the normals.

use crate::assess::season::{Kind, SiteDays, days_from, season};
use crate::climate::Climate;
use crate::knowledge::{CropId, Knowledge, Role};
use crate::plan::half_months::{A_YEAR, HalfMonths};
use crate::plan::solve::side_by_side;
use crate::policy::Policy;
use crate::records::{Method, Started};
use crate::season::{Date, add_days};
use crate::state::nutrients::grown_by;

/// A start that the season allows.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Start {
    /// Days from the start to the first and the last harvest; `None` for covers.
    pub(in crate::plan) harvest: Option<(i64, i64)>,
    /// Days that the place is taken.
    pub(in crate::plan) taken: i64,
    /// How it is started.
    pub(in crate::plan) method: Method,
}

/// A crop through the year.
#[derive(Clone, Debug)]
pub(in crate::plan) struct CropCourse {
    pub(in crate::plan) crop: CropId,
    pub(in crate::plan) is_cover: bool,
    /// By half-month of the year from the plan's first on; `None` where the season forbids a start.
    pub(in crate::plan) starts: Vec<Option<Start>>,
}

impl CropCourse {
    /// The start in a half-month of the plan.
    pub(in crate::plan) fn start(&self, slot: u8) -> Option<Start> {
        self.starts[usize::from(slot % A_YEAR)]
    }
}

/// Longest harvest that is planned for: what bears longer is cleared for the next crop or kept by
/// the grower's own decision.
const LONGEST_HARVEST: i64 = 120;
/// A crop picked at once is picked over a fortnight.
const SHORTEST_HARVEST: i64 = 14;

/// The course of each crop.
pub(in crate::plan) fn courses(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: &Climate<'_>,
    half_months: HalfMonths,
    crops: &[CropId],
) -> Vec<CropCourse> {
    let normals = climate.normals_only();
    let days: Vec<SiteDays> = side_by_side(usize::from(A_YEAR), |slot| {
        let slot = u8::try_from(slot).unwrap_or(0);
        days_from(&normals, policy, half_months.day(slot))
    });
    let of_crop = |at: usize| {
        let crop = crops[at];
        let is_cover = knowledge.crops[crop].role == Role::Cover;
        let starts = (0..A_YEAR)
            .map(|slot| {
                let on = half_months.day(slot);
                let days = &days[usize::from(slot)];
                let answer = season(knowledge, policy, days, crop, Kind::Plain, None, on);
                if !answer.fits() {
                    return None;
                }
                let method = Started::of(knowledge, crop, answer.method).method();
                let days_to = |day: Date| (day - on).num_days();
                let grown = days_to(grown_by(knowledge, policy, Some(&normals), crop, on)).max(21);
                if is_cover {
                    if !in_season(knowledge, policy, &normals, crop, on) {
                        return None;
                    }
                    return Some(Start { harvest: None, taken: grown, method });
                }
                let first = answer.course.first_harvest.likely.map_or(grown, days_to).max(21);
                let last = answer.course.last_harvest.map_or(first, days_to);
                let last = last.clamp(first + SHORTEST_HARVEST, first + LONGEST_HARVEST);
                Some(Start { harvest: Some((first, last)), taken: last, method })
            })
            .collect();
        CropCourse { crop, is_cover, starts }
    };
    side_by_side(crops.len(), of_crop)
}

/// Whether the first two months are warm or cool enough for what a cover is.
fn in_season(
    knowledge: &Knowledge,
    policy: &Policy,
    climate: &Climate<'_>,
    crop: CropId,
    on: Date,
) -> bool {
    let mean = (0..4).map(|part| climate.mean_c(later(on, part * 15))).sum::<f64>() / 4.0;
    match knowledge.cover_figures(crop, "season").first().map(|figure| &*figure.text) {
        Some("warm") => mean >= policy.warm_cover_c,
        Some("cool") => mean <= policy.cool_cover_c,
        _ => true,
    }
}

/// The day so many days after another.
pub(super) fn later(day: Date, days: i64) -> Date {
    add_days(day, days as f64)
}
