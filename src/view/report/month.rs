//! The tasks of a month in words.

use super::super::phrase::Phrases;
use super::super::text::{Label, Line};
use super::super::words;
use super::line;
use crate::advise::Task;
use crate::season::Date;

/// A task as one line without its end. `today` tells what is open already.
pub(super) fn task_line(phrases: Phrases<'_>, today: Date, task: &Task<'_>) -> Line {
    match task {
        Task::Check { crop, cause, field_check } => {
            let crop = crop.map_or("the crop", |crop| phrases.crop(crop));
            line()
                .and(Label::Command, "Look")
                .text(format!(" what ails {crop}: {field_check} (would tell "))
                .and(Label::Name, phrases.cause_key(cause))
                .text(")")
        }
        Task::Pull { planting, keeps } => {
            let keeps: Vec<String> =
                keeps.iter().map(|pathogen| phrases.short_disease(*pathogen).to_owned()).collect();
            line()
                .and(Label::Command, "Pull")
                .text(format!(
                    " the self-sown {}: it keeps {} alive ",
                    phrases.crop(planting.crop),
                    words::list(&keeps)
                ))
                .and(Label::Source, format!("[{}]", planting.origin))
        }
        Task::Pick { planting, from } => line()
            .and(Label::Command, "Pick")
            .text(format!(" {}: first harvest likely about {from} ", phrases.crop(planting.crop)))
            .and(Label::Source, format!("[{}]", planting.origin)),
        Task::Clear { planting, last } => line()
            .and(Label::Command, "Clear")
            .text(format!(
                " {}, or write when it was cleared: its harvest usually ends by {last} ",
                phrases.crop(planting.crop)
            ))
            .and(Label::Source, format!("[{}]", planting.origin)),
        Task::Start { crop, verdict, from, until } => {
            let from = if *from <= today { "now".to_owned() } else { format!("from {from}") };
            let until = until.map_or(String::new(), |until| format!(", good till {until}"));
            line()
                .and(Label::Command, "Start")
                .text(format!(" {} {from}{until} (", phrases.crop(*crop)))
                .and(super::super::judgment::verdict_label(*verdict), verdict.word())
                .text(")")
        }
        Task::Cover { parts, verdict, kill_by } => {
            let sown: Vec<String> = parts
                .iter()
                .map(|(crop, seed)| {
                    let seed = seed.map_or(String::new(), |seed| {
                        let units = phrases.units;
                        let span = units.small_mass_span(seed.low, seed.high);
                        format!(" ({span} {} of seed)", units.small_mass_sign())
                    });
                    format!("{}{seed}", phrases.crop(*crop))
                })
                .collect();
            line()
                .and(Label::Command, "Sow")
                .text(format!(" {} as a cover, to be cut by {kill_by} (", words::list(&sown)))
                .and(super::super::judgment::verdict_label(*verdict), verdict.word())
                .text(")")
        }
    }
}
