//! Tasks in words: a list by week, CSV, events.

use super::phrase::Phrases;
use super::plan_file::field;
use super::text::{Label, Line, Page};
use super::units::Units;
use super::words;
use crate::estimate::Estimate;
use crate::plan::{Task, TaskKind};
use crate::season::{Date, add_days, month_name};
use chrono::Datelike;

/// The list by week, from Monday on.
#[must_use]
pub fn calendar_page(phrases: Phrases<'_>, tasks: &[Task]) -> Page {
    let mut page = Page::default();
    let mut week: Option<Date> = None;
    for task in tasks {
        let monday = add_days(task.from, -f64::from(task.from.weekday().num_days_from_monday()));
        if week != Some(monday) {
            if week.is_some() {
                page.blank();
            }
            page.heading(format!(
                "Week of {} {} {}",
                monday.day(),
                month_name(monday.month()),
                monday.year()
            ));
            week = Some(monday);
        }
        let place = task.place.as_ref().map_or("any bed".to_owned(), ToString::to_string);
        page.line(Line::at(1).and(Label::Name, place).text(format!(
            "  {}{}{}",
            words::sentence(&task_words(phrases, task)),
            span(task),
            plants_words(phrases.units, task).map_or(String::new(), |plants| format!("; {plants}"))
        )));
    }
    if tasks.is_empty() {
        page.line(Line::at(1).text("nothing to do in this plan"));
    }
    page
}

/// A task in words, without its place.
#[must_use]
pub fn task_words(phrases: Phrases<'_>, task: &Task) -> String {
    let crop = phrases.crop(task.crop);
    let piece = || match phrases.knowledge.piece(task.crop) {
        Some(piece) => format!(" ({})", piece.word()),
        None => String::new(),
    };
    match task.kind {
        TaskKind::Clear => format!("clear {crop}"),
        TaskKind::Sow => format!("sow {crop}"),
        TaskKind::SetOut => format!("set out {crop}{}", piece()),
        TaskKind::Plant => format!("plant {crop}{}", piece()),
        TaskKind::Harvest => format!("pick {crop}"),
        TaskKind::CutDown => format!("cut down {crop}"),
        TaskKind::WaitEnds if task.place.is_some() => format!("the residue of {crop} has rested"),
        TaskKind::WaitEnds => format!("the wait for {crop} ends in the first bed"),
    }
}

/// How many plants a start is for: `2.9 m2, 50 to 130 plants in rows, up to 320 all round alike`.
#[must_use]
pub fn plants_words(units: Units, task: &Task) -> Option<String> {
    let start = task.plants?;
    let ground = format!("{} {}", units.area_figure(start.area.0, 1), units.area_sign());
    let most = two_figures(start.plants.high);
    Some(match start.in_rows {
        // Only where a bed takes clearly more is it told apart.
        Some(rows) if start.plants.high > 1.2 * rows.high => {
            format!("{ground}, {} in rows, up to {most} all round alike", plants(rows))
        }
        _ => format!("{ground}, {}", plants(start.plants)),
    })
}

fn plants(range: Estimate) -> String {
    let (few, many) = (two_figures(range.low), two_figures(range.high));
    let plants = if few == many { few } else { format!("{few} to {many}") };
    let plural = if plants == "1" { "" } else { "s" };
    format!("{plants} plant{plural}")
}

/// Plants to two figures, one at least: more is a false precision.
fn two_figures(plants: f64) -> String {
    let scale = 10.0_f64.powf((plants.max(1.0).log10().floor() - 1.0).max(0.0));
    format!("{:.0}", ((plants / scale).round() * scale).max(1.0))
}

fn span(task: &Task) -> String {
    match task.kind {
        TaskKind::Harvest => {
            format!(", {} to {}", task.from, task.to.pred_opt().unwrap_or(task.to))
        }
        TaskKind::WaitEnds => format!(", {}", task.from),
        TaskKind::Clear
        | TaskKind::Sow
        | TaskKind::SetOut
        | TaskKind::Plant
        | TaskKind::CutDown => {
            format!(", from {}", task.from)
        }
    }
}

/// The tasks as CSV.
#[must_use]
pub fn calendar_csv(phrases: Phrases<'_>, tasks: &[Task]) -> String {
    let mut text = String::from("from,to,task,bed,section,crop,key\n");
    for task in tasks {
        let bed = task.place.as_ref().map_or("", |place| &place.bed);
        let section = task.place.as_ref().and_then(|place| place.section.as_deref());
        let cells = [
            task.from.to_string(),
            task.to.pred_opt().unwrap_or(task.to).to_string(),
            task.kind.word().to_owned(),
            field(bed),
            field(section.unwrap_or_default()),
            phrases.knowledge.crops[task.crop].key.to_string(),
            task.key.clone(),
        ];
        text.push_str(&cells.join(","));
        text.push('\n');
    }
    text
}
