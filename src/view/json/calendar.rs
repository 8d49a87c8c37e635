//! Tasks, going out.

use serde::Serialize;

use super::super::phrase::Phrases;
use super::FORMAT;
use crate::estimate::Estimate;
use crate::plan::Task;
use crate::season::Date;

/// A task.
#[derive(Clone, Debug, Serialize)]
pub struct TaskJson {
    /// First day.
    pub from: Date,
    /// Day after the last.
    pub to: Date,
    /// clear, `cut_down`, `wait_ends`, sow, `set_out`, plant or harvest.
    pub task: &'static str,
    /// Bed; null for every bed.
    pub bed: Option<String>,
    /// Section.
    pub section: Option<String>,
    /// Crop key.
    pub crop: String,
    /// Area of what is sown or set out; null for other tasks and where no spacing is printed.
    pub area_m2: Option<f64>,
    /// Plants for it, at the widest and the closest printed spacing.
    pub plants: Option<Estimate>,
    /// The same in rows; null where no row spacing is printed.
    pub plants_in_rows: Option<Estimate>,
    /// Name that stays the same when the plan is made anew.
    pub key: String,
}

/// Tasks.
#[derive(Clone, Debug, Serialize)]
pub struct CalendarJson {
    /// Format number.
    pub format: u32,
    /// By day.
    pub tasks: Vec<TaskJson>,
}

/// Tasks for going out.
#[must_use]
pub fn calendar(phrases: Phrases<'_>, tasks: &[Task]) -> CalendarJson {
    CalendarJson {
        format: FORMAT,
        tasks: tasks
            .iter()
            .map(|task| TaskJson {
                from: task.from,
                to: task.to,
                task: task.kind.word(),
                bed: task.place.as_ref().map(|place| place.bed.to_string()),
                section: task
                    .place
                    .as_ref()
                    .and_then(|place| place.section.as_deref())
                    .map(str::to_owned),
                crop: phrases.knowledge.crops[task.crop].key.to_string(),
                area_m2: task.plants.map(|start| start.area.0),
                plants: task.plants.map(|start| start.plants),
                plants_in_rows: task.plants.and_then(|start| start.in_rows),
                key: task.key.clone(),
            })
            .collect(),
    }
}
