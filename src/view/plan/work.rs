//! The hours that a plan asks for, and where they pass what there is.

use super::super::phrase::Phrases;
use super::super::text::{Label, Line, Page, Span, Table};
use super::super::words;
use crate::estimate::Estimate;
use crate::knowledge::LabourTask;
use crate::plan::{GardenPlan, HalfMonthWork, WorkPart};
use crate::season::month_name;
use chrono::Datelike;

/// Peaks told.
const PEAKS: usize = 3;
/// Parts named of a half-month.
const PARTS: usize = 4;
/// Hours by which a half-month may pass the limit by rounding.
const CLOSE: f64 = 1e-6;

/// `3.2 (1.4 to 7)`.
fn hours(hours: Estimate) -> String {
    format!(
        "{} ({} to {})",
        words::number(hours.likely),
        words::number(hours.low),
        words::number(hours.high)
    )
}

/// Work in one line: the mean and the most.
pub(super) fn work_line(plan: &GardenPlan) -> Option<Line> {
    let most = busiest(plan).next()?;
    let weeks: f64 =
        plan.work.iter().map(|work| (work.to - work.from).num_days() as f64 / 7.0).sum();
    let all: f64 = plan.work.iter().map(|work| work.hours.likely).sum();
    Some(Line::at(1).text(format!(
        "work in the beds: {} hours a week on average; most from {}: {} a week",
        words::number(all / weeks.max(1.0)),
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
    page.line(Line::at(1).and(
        Label::Unknown,
        "by hand, from rows of labour.csv; compost, paths, tools and selling are not in it",
    ));
    page
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
        match table.rows.last_mut().filter(|row| row[0].text == month && second) {
            Some(row) => row[2] = cell,
            None => {
                let blank = Span::new(Label::Plain, "");
                let cells = if second { [blank, cell] } else { [cell, blank] };
                let [first, last] = cells;
                table.rows.push(vec![Span::new(Label::Plain, month), first, last]);
            }
        }
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

fn half_month_line(phrases: Phrases<'_>, work: &HalfMonthWork) -> Line {
    let parts: Vec<String> =
        work.parts.iter().take(PARTS).map(|part| part_words(phrases, part)).collect();
    let more = work.parts.len().saturating_sub(PARTS);
    let more = if more == 0 { String::new() } else { format!(", {more} more") };
    Line::at(1).and(Label::Name, work.from.to_string()).text(format!(
        ": {} a week: {}{more}",
        hours(work.a_week()),
        parts.join(", ")
    ))
}

fn part_words(phrases: Phrases<'_>, part: &WorkPart) -> String {
    let verb = match part.task {
        LabourTask::Prepare => "prepare for",
        LabourTask::Sow => "sow",
        LabourTask::SetOut => "set out",
        LabourTask::Support => "stake",
        LabourTask::Weed => "weed",
        LabourTask::Tend => "tend",
        LabourTask::Pick => "pick",
        LabourTask::Clear => "clear",
        LabourTask::CutDown => "cut down",
        LabourTask::Total => "work on",
    };
    format!(
        "{verb} {} in {} {} h",
        phrases.crop(part.crop),
        part.place,
        words::number(part.hours.likely)
    )
}
