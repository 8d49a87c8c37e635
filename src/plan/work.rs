//! Hours of work that a plan asks for, half-month by half-month.
//!
//! Rows of `labour.csv` by task, laid on the days on which the task falls: ground and sowing on the
//! first days, weeding until the crop closes or is picked, watering and looking over all the time it
//! stands, picking over the harvest, clearing at its end. What belongs to no planting (compost,
//! paths, tools, selling) is not in it.

use super::half_months::HalfMonths;
use super::outcome::{GardenPlan, HalfMonthWork, WorkPart};
use crate::estimate::Estimate;
use crate::knowledge::{CropId, Knowledge, Labour, LabourPer, LabourTask, Role};
use crate::records::{Method, Place};
use crate::season::{Date, add_days};

/// Days in which a task of one day may be done.
const DAYS_TO_DO_IT: f64 = 7.0;
/// Days of weeding: by then most crops have closed or need it no longer.
const WEEDED_DAYS: f64 = 56.0;

/// A planting as its work sees it.
#[derive(Clone, Debug)]
pub(super) struct Job {
    pub(super) place: Place,
    pub(super) crop: CropId,
    /// How it is started; `None` for what stands already.
    pub(super) method: Option<Method>,
    pub(super) from: Date,
    /// Day by which it is cleared; `None` if it stays.
    pub(super) cleared: Option<Date>,
    /// First and last day of picking, of each season.
    pub(super) harvests: Vec<(Date, Date)>,
    /// Area, m2.
    pub(super) area: f64,
    /// Share of a full crop to expect.
    pub(super) bears: Estimate,
    /// What is picked, kg.
    pub(super) mass: Option<Estimate>,
}

/// One task of a planting, with the days over which it is spread.
#[derive(Clone, Debug)]
pub(super) struct Task {
    pub(super) kind: LabourTask,
    pub(super) from: Date,
    pub(super) to: Date,
    pub(super) hours: Estimate,
}

/// The work of a planting.
pub(super) fn tasks_of(knowledge: &Knowledge, job: &Job, until: Date) -> Vec<Task> {
    let cover = knowledge.crops[job.crop].role == Role::Cover;
    let end = job.cleared.unwrap_or(until).max(job.from);
    let mut tasks = Vec::new();
    let mut add = |task, from: Date, to: Date, times: Estimate| {
        let Some(row) = knowledge.labour(job.crop, task) else { return };
        let Some(hours) = hours(row, job, times) else { return };
        let to = to.max(add_days(from, 1.0));
        tasks.push(Task { kind: task, from, to, hours });
    };
    let soon = add_days(job.from, DAYS_TO_DO_IT);
    if let Some(method) = job.method {
        add(LabourTask::Prepare, job.from, soon, Estimate::ONE);
        let start = match method {
            Method::Transplanted => LabourTask::SetOut,
            Method::Sown | Method::Volunteer => LabourTask::Sow,
        };
        add(start, job.from, soon, Estimate::ONE);
        add(LabourTask::Support, job.from, add_days(job.from, WEEDED_DAYS), Estimate::ONE);
        let first = job.harvests.first().map_or(end, |(first, _)| *first);
        let weeded = add_days(job.from, WEEDED_DAYS).min(first).min(end);
        add(LabourTask::Weed, job.from, weeded, Estimate::ONE);
        add(LabourTask::Tend, job.from, end, Estimate::ONE);
    }
    for (first, last) in &job.harvests {
        add(LabourTask::Pick, *first, *last, job.bears);
    }
    if let Some(cleared) = job.cleared {
        let task = if cover { LabourTask::CutDown } else { LabourTask::Clear };
        add(task, cleared, add_days(cleared, DAYS_TO_DO_IT), Estimate::ONE);
    }
    tasks
}

/// Hours by a row, `times` the whole task; `None` where the row counts what is not known.
fn hours(row: &Labour, job: &Job, times: Estimate) -> Option<Estimate> {
    match row.per {
        LabourPer::SquareMetre => Some(row.hours * times.map(|times| times * job.area)),
        LabourPer::Kilogram => Some(row.hours * job.mass?),
        LabourPer::SquareMetreYear => None,
    }
}

/// Share of a task that falls into each half-month it touches.
pub(super) fn spread(half_months: HalfMonths, task: &Task) -> Vec<(u8, f64)> {
    let days = (task.to - task.from).num_days().max(1) as f64;
    (0..half_months.count())
        .filter_map(|slot| {
            let from = half_months.day(slot).max(task.from);
            let to = half_months.day(slot + 1).min(task.to);
            let within = (to - from).num_days();
            (within > 0).then(|| (slot, within as f64 / days))
        })
        .collect()
}

/// The work of many plantings, half-month by half-month; the parts of each, most work first.
pub(super) fn by_half_month(
    knowledge: &Knowledge,
    half_months: HalfMonths,
    jobs: &[Job],
) -> Vec<HalfMonthWork> {
    let mut work: Vec<HalfMonthWork> = (0..half_months.count())
        .map(|slot| HalfMonthWork {
            from: half_months.day(slot),
            to: half_months.day(slot + 1),
            hours: Estimate::ZERO,
            parts: Vec::new(),
        })
        .collect();
    for job in jobs {
        for task in tasks_of(knowledge, job, half_months.end()) {
            for (slot, share) in spread(half_months, &task) {
                let hours = task.hours.map(|hours| hours * share);
                let half_month = &mut work[usize::from(slot)];
                half_month.hours = half_month.hours + hours;
                half_month.parts.push(WorkPart {
                    task: task.kind,
                    place: job.place.clone(),
                    crop: job.crop,
                    hours,
                });
            }
        }
    }
    for half_month in &mut work {
        half_month.parts.sort_by(|a, b| {
            b.hours
                .likely
                .total_cmp(&a.hours.likely)
                .then_with(|| (a.task, &a.place, a.crop).cmp(&(b.task, &b.place, b.crop)))
        });
    }
    work
}

/// The plantings of a plan, and what stands, as jobs.
pub(super) fn jobs(plan: &GardenPlan) -> Vec<Job> {
    let planted = plan.plantings.iter().map(|planting| Job {
        place: planting.place.clone(),
        crop: planting.crop,
        method: Some(planting.method),
        from: planting.planted,
        cleared: Some(planting.cleared).filter(|day| *day < plan.half_months.end()),
        harvests: planting.harvest.into_iter().collect(),
        area: planting.area.0,
        bears: planting.fed_yield,
        mass: planting.mass,
    });
    let standing = plan.standing.iter().map(|standing| Job {
        place: standing.place.clone(),
        crop: standing.crop,
        method: None,
        from: standing.planted,
        cleared: standing.free.filter(|day| *day < plan.half_months.end()),
        harvests: standing.harvests.clone(),
        area: standing.area.0,
        bears: Estimate::ONE,
        mass: None,
    });
    let between = plan.company.iter().map(|company| Job {
        place: company.place.clone(),
        crop: company.crop,
        method: Some(Method::Sown),
        from: company.sown,
        cleared: Some(company.cut).filter(|day| *day < plan.half_months.end()),
        harvests: Vec::new(),
        area: company.area.0,
        bears: Estimate::ONE,
        mass: None,
    });
    standing.chain(between).chain(planted).collect()
}

impl HalfMonthWork {
    /// Hours a week.
    #[must_use]
    pub fn a_week(&self) -> Estimate {
        let weeks = (self.to - self.from).num_days().max(1) as f64 / 7.0;
        self.hours.map(|hours| hours / weeks)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::season::iso_day;

    fn job(knowledge: &Knowledge, crop: &str, area: f64) -> Job {
        let day = |text| iso_day(text).expect("a day");
        Job {
            place: Place::whole("A"),
            crop: knowledge.crops.find(crop).expect("a crop"),
            method: Some(Method::Transplanted),
            from: day("2027-05-01"),
            cleared: Some(day("2027-10-01")),
            harvests: vec![(day("2027-07-16"), day("2027-10-01"))],
            area,
            bears: Estimate::ONE,
            mass: None,
        }
    }

    #[test]
    fn all_hours_fall_somewhere_and_grow_with_the_area() {
        let knowledge = Knowledge::embedded();
        let half_months = HalfMonths::from(iso_day("2027-04-01").expect("a day"), 20);
        let total = |area: f64| -> f64 {
            let job = job(&knowledge, "pepper", area);
            let tasks = tasks_of(&knowledge, &job, half_months.end());
            let work = by_half_month(&knowledge, half_months, &[job]);
            let whole: f64 = tasks.iter().map(|task| task.hours.likely).sum();
            let spread: f64 = work.iter().map(|half_month| half_month.hours.likely).sum();
            assert!((whole - spread).abs() < 1e-9, "{whole} {spread}");
            whole
        };
        assert!((total(2.0) - 2.0 * total(1.0)).abs() < 1e-9);
    }

    /// Totals that a source prints for a whole crop lie within the range of our parts.
    #[test]
    fn parts_hold_the_published_totals() {
        let knowledge = Knowledge::embedded();
        for row in knowledge.labour_rows() {
            let Some(crop) = row.crop.one() else { continue };
            if row.task != LabourTask::Total || row.per != LabourPer::SquareMetre {
                continue;
            }
            let key = &knowledge.crops[crop].key;
            let job = job(&knowledge, key, 1.0);
            let tasks = tasks_of(&knowledge, &job, job.from);
            let (low, high) = tasks.iter().fold((0.0, 0.0), |(low, high), task| {
                (low + task.hours.low, high + task.hours.high)
            });
            println!("{key}: {low:.3} to {high:.3} h/m2; printed {:?}", row.hours);
            assert!(low <= row.hours.high && row.hours.low <= high, "{key}");
        }
    }
}
