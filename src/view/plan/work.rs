//! The hours that a plan asks for, and where they pass what there is.

use super::super::phrase::Phrases;
use super::super::text::{Label, Line, Page, Span, Table};
use super::super::words;
use crate::estimate::Estimate;
use crate::knowledge::{CropId, LabourPer, LabourTask, Meant};
use crate::plan::{GardenPlan, HalfMonthWork};
use crate::season::month_name;
use chrono::Datelike;

/// Peaks told.
const PEAKS: usize = 3;
/// Tasks named of a half-month, and crops of a task.
const PARTS: usize = 4;
const CROPS: usize = 3;
/// Hours by which a half-month may pass the limit by rounding.
const CLOSE: f64 = 1e-6;

/// `3.2 (1.4 to 7)`.
fn hours(hours: Estimate) -> String {
    format!("{} ({} to {})", figure(hours.likely), figure(hours.low), figure(hours.high))
}

/// Hours, to hundredths below one; less than a minute is none.
fn figure(hours: f64) -> String {
    if hours < 1.0 / 60.0 {
        "0".to_owned()
    } else if hours < 0.995 {
        format!("{hours:.2}")
    } else {
        words::rounded(hours)
    }
}

/// Work in one line: the mean and the most.
pub(super) fn work_line(plan: &GardenPlan) -> Option<Line> {
    let most = busiest(plan).next()?;
    let weeks: f64 =
        plan.work.iter().map(|work| (work.to - work.from).num_days() as f64 / 7.0).sum();
    let all: f64 = plan.work.iter().map(|work| work.hours.likely).sum();
    Some(Line::at(1).text(format!(
        "work in the beds: {} hours a week on average; most from {}: {} a week",
        figure(all / weeks.max(1.0)),
        most.from,
        hours(most.a_week())
    )))
}

/// Half-months, most work first.
fn busiest(plan: &GardenPlan) -> impl Iterator<Item = &HalfMonthWork> {
    let mut work: Vec<&HalfMonthWork> =
        plan.work.iter().filter(|work| work.hours.likely > 0.0).collect();
    work.sort_by(|a, b| b.a_week().likely.total_cmp(&a.a_week().likely).then(a.from.cmp(&b.from)));
    work.into_iter()
}

/// Half-months whose likely hours pass the limit.
pub(super) fn over(plan: &GardenPlan) -> Vec<&HalfMonthWork> {
    let Some(limit) = plan.hours_a_week else { return Vec::new() };
    plan.work.iter().filter(|work| work.a_week().likely > limit + CLOSE).collect()
}

/// Hours half-month by half-month, the peaks, and where the limit is passed.
pub(super) fn work_page(phrases: Phrases<'_>, plan: &GardenPlan) -> Page {
    let mut page = Page::default();
    page.heading("Work in the beds, hours a week: likely (low to high)");
    page.table(table(plan));
    if let Some(limit) = plan.hours_a_week {
        page.lines(limit_lines(phrases, plan, limit));
    }
    page.blank();
    page.heading("Most work");
    for work in busiest(plan).take(PEAKS) {
        page.line(half_month_line(phrases, work));
    }
    page.line(Line::at(1).text(
        "by practised hands, from rows of labour.csv; compost, paths, tools and selling are not in \
         it",
    ));
    page.lines(by_mass(phrases, plan));
    page
}

/// The same work reckoned from what gardeners wrote down for a kilogram, if the table has it.
fn by_mass(phrases: Phrases<'_>, plan: &GardenPlan) -> Option<Line> {
    let rows = phrases.knowledge.labour_rows().iter();
    let row = rows
        .filter(|row| row.task == LabourTask::Total && row.per == LabourPer::Kilogram)
        .find(|row| matches!(&row.crop, Meant::Words(words) if **words == *"any"))?;
    let kilograms: f64 =
        plan.plantings.iter().filter_map(|planting| Some(planting.mass?.likely)).sum();
    let days: i64 = plan.work.iter().map(|work| (work.to - work.from).num_days()).sum();
    let a_week = kilograms * row.hours.likely / (days.max(7) as f64 / 7.0);
    let source = row.citation.keys().next()?;
    Some(
        Line::at(1)
            .text(format!(
                "gardeners who kept diaries took {} hours in all for each {}; for this plan that \
                 is {} hours a week ",
                figure(row.hours.likely / phrases.units.mass(1.0)),
                phrases.units.mass_sign(),
                figure(a_week)
            ))
            .and(Label::Source, format!("[{source}]")),
    )
}

fn table(plan: &GardenPlan) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["month", "from the 1st", "from the 16th"].map(String::from).to_vec(),
        right: Vec::new(),
        rows: Vec::new(),
    };
    let limit = plan.hours_a_week.unwrap_or(f64::INFINITY);
    for work in &plan.work {
        let a_week = work.a_week();
        let label = if a_week.likely > limit + CLOSE { Label::Wait } else { Label::Plain };
        let mark = if a_week.likely > limit + CLOSE { " over" } else { "" };
        let cell = Span::new(label, format!("{}{mark}", hours(a_week)));
        let month = format!("{} {}", month_name(work.from.month()), work.from.year());
        let second = work.from.day() > 15;
        let same = table.rows.last_mut().filter(|row| row[0].text == month && second);
        if let Some(row) = same {
            row[2] = cell;
            continue;
        }
        let blank = Span::new(Label::Plain, "");
        let [first, last] = if second { [blank, cell] } else { [cell, blank] };
        table.rows.push(vec![Span::new(Label::Plain, month), first, last]);
    }
    table
}

fn limit_lines(phrases: Phrases<'_>, plan: &GardenPlan, limit: f64) -> Vec<Line> {
    let over = over(plan);
    let limit_words = words::number(limit);
    if over.is_empty() {
        let might = plan.work.iter().filter(|work| work.a_week().high > limit + CLOSE).count();
        let might = if might == 0 {
            String::new()
        } else {
            format!("; by the high end {} may pass it", words::count(might, "half-month"))
        };
        return vec![Line::at(1).and(
            Label::Plant,
            format!("the {limit_words} hours a week asked for suffice in every half-month{might}"),
        )];
    }
    let mut lines = vec![Line::at(1).and(
        Label::Wait,
        format!(
            "more than the {limit_words} hours a week asked for in {}, by what stands or is \
             decided:",
            words::count(over.len(), "half-month")
        ),
    )];
    lines.extend(over.into_iter().map(|work| half_month_line(phrases, work)));
    lines
}

/// The tasks of a half-month, most work first, each with the crops it is most for.
fn half_month_line(phrases: Phrases<'_>, work: &HalfMonthWork) -> Line {
    let mut by_task: Vec<(LabourTask, f64, Vec<CropId>)> = Vec::new();
    for part in &work.parts {
        match by_task.iter_mut().find(|(task, ..)| *task == part.task) {
            Some((_, sum, crops)) => {
                *sum += part.hours.likely;
                if !crops.contains(&part.crop) {
                    crops.push(part.crop);
                }
            }
            None => by_task.push((part.task, part.hours.likely, vec![part.crop])),
        }
    }
    by_task.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let parts: Vec<String> = by_task
        .iter()
        .take(PARTS)
        .map(|(task, sum, crops)| {
            let names: Vec<&str> =
                crops.iter().take(CROPS).map(|crop| phrases.crop(*crop)).collect();
            let more = if crops.len() > CROPS { " ..." } else { "" };
            format!("{} {} h ({}{more})", task_words(*task), figure(*sum), names.join(", "))
        })
        .collect();
    Line::at(1).and(Label::Name, work.from.to_string()).text(format!(
        ": {} a week: {}",
        hours(work.a_week()),
        parts.join(", ")
    ))
}

fn task_words(task: LabourTask) -> &'static str {
    match task {
        LabourTask::Prepare => "making ground ready",
        LabourTask::Sow => "sowing",
        LabourTask::SetOut => "setting out and planting",
        LabourTask::Support => "staking",
        LabourTask::Weed => "weeding",
        LabourTask::Tend => "watering and looking over",
        LabourTask::Pick => "picking",
        LabourTask::Clear => "clearing",
        LabourTask::CutDown => "cutting covers down",
        LabourTask::Total => "all work",
    }
}
