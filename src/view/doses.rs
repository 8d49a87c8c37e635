//! What the soil of a place holds of each pathogen: what it would cost, when it falls below the
//! thresholds of the verdicts, and the records that made it so.

use super::evidence::{extent_words, lowered_words};
use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use super::words;
use crate::policy::Policy;
use crate::records::Observation;
use crate::season::Date;
use crate::state::{BedState, Below, DoseEvent, DoseStep, Inoculum, Presence};

/// Steps of a dose that are told: the latest.
const STEPS_TOLD: usize = 6;

/// Letters of a place that a command on a line of 80 columns has room for, be they two columns wide.
const LONGEST_IN_COMMAND: usize = 24;

/// Adds the doses of a place to a page.
pub(super) fn inocula(
    phrases: Phrases<'_>,
    policy: &Policy,
    state: &BedState<'_>,
    page: &mut Page,
) {
    if state.inocula().next().is_none() {
        page.line(Line::at(1).text("disease: none on record, which is not the same as none"));
        return;
    }
    if state.inocula().any(|inoculum| matches!(inoculum.presence, Presence::Candidate(_))) {
        let place = state.place.to_string();
        // A command is not broken over lines: a name too long for one is left to the grower.
        let place = match place.chars().count() {
            ..=LONGEST_IN_COMMAND if place.contains(' ') => format!("\"{place}\""),
            ..=LONGEST_IN_COMMAND => place,
            _ => "BED".to_owned(),
        };
        page.line(
            Line::at(1)
                .and(Label::Unknown, "a disease of unknown cause")
                .text(" is on record; what it may be is weighed by ")
                .and(Label::Command, format!("breakcrop diagnose {place}")),
        );
    }
    // Far-fetched causes of an unknown disease are the business of `diagnose`.
    let told = state.inocula().filter(
        |inoculum| !matches!(inoculum.presence, Presence::Candidate(chance) if chance < policy.far_fetched),
    );
    for inoculum in told {
        one(phrases, policy, state, inoculum, page);
    }
}

fn one(
    phrases: Phrases<'_>,
    policy: &Policy,
    state: &BedState<'_>,
    inoculum: &Inoculum<'_>,
    page: &mut Page,
) {
    let pathogen = &phrases.knowledge.pathogens[inoculum.pathogen];
    let name = phrases.disease(inoculum.pathogen);
    let mut line = Line::at(1).and(Label::Wait, name.to_owned());
    line = match inoculum.presence {
        Presence::Sighted(_) => line,
        Presence::Candidate(chance) => line.text(format!(" (possible, {:.0} %)", chance * 100.0)),
        Presence::Beside => line.text(" (seen in another section)"),
    };
    if !pathogen.is_bound_to_bed() {
        line = line.text(": does not stay with the bed");
        page.line(line);
        return;
    }
    let loss = inoculum.loss_at(state.date, state.date);
    line = line.text(format!(
        ": a susceptible crop would lose {}; half-life {} years; last host cleared {}",
        words::percent_range(loss),
        words::range(inoculum.half_life.years().low, inoculum.half_life.years().high),
        inoculum.hostless_since
    ));
    page.line(line);
    for share in [policy.wait_loss, policy.care_loss] {
        page.line(Line::at(3).text(below_words(state.date, share, inoculum)));
    }
    if let Presence::Candidate(_) = inoculum.presence {
        if let Some(seen) = inoculum.last_sighting() {
            page.line(sighting_line(phrases, seen));
        }
    } else {
        let from = inoculum.steps.len().saturating_sub(STEPS_TOLD);
        for step in &inoculum.steps[from..] {
            page.line(step_line(phrases, step));
        }
    }
    page.line(
        Line::at(3)
            .text(format!(
                "survival {} ",
                pathogen.survival_years.map_or("not published".to_owned(), |years| {
                    words::years_range(Some(years.low), Some(years.high), false)
                })
            ))
            .and(Label::Source, format!("[{}]", phrases.source(&pathogen.citation))),
    );
}

/// When a susceptible crop would lose less than a share, without a host until then.
fn below_words(today: Date, share: f64, inoculum: &Inoculum<'_>) -> String {
    let Below { soonest, likely, latest } = inoculum.below(today, share);
    let share = format!("{:.0} %", share * 100.0);
    let month = |day: Option<Date>| match day {
        Some(day) if day == today => "today".to_owned(),
        Some(day) => day.format("%Y-%m").to_string(),
        None => "never in a lifetime".to_owned(),
    };
    if latest == Some(today) {
        return format!("below a loss of {share} already");
    }
    if soonest.is_none() {
        return format!("below a loss of {share} never in a lifetime");
    }
    format!(
        "below a loss of {share} likely {} ({} to {}), without a host until then",
        month(likely),
        month(soonest),
        month(latest)
    )
}

fn step_line(phrases: Phrases<'_>, step: &DoseStep<'_>) -> Line {
    let (what, origin) = match &step.event {
        DoseEvent::Sighting(seen) => return sighting_line(phrases, seen),
        DoseEvent::Season(planting, status) => {
            let crop = phrases.crop(planting.crop);
            let role = if status.may_suffer() { "a host" } else { "which keeps it" };
            (format!("season of {crop}, {role}"), &planting.origin)
        }
        DoseEvent::Healthy(seen) => {
            let crop = seen.crop.map_or("a host", |crop| phrases.crop(crop));
            (format!("{crop} found healthy"), &seen.origin)
        }
        DoseEvent::Suppressed(planting, left) => (
            format!("{}{}", phrases.crop(planting.crop), lowered_words(phrases.units, left)),
            &planting.origin,
        ),
        DoseEvent::Treated(treatment, left) => (
            format!(
                "{}{}",
                treatment.practice.0.replace('_', " "),
                lowered_words(phrases.units, left)
            ),
            &treatment.origin,
        ),
    };
    let loss = step.dose.map(|dose| 1.0 - (-dose).exp());
    Line::at(3)
        .text(format!("{}: {what}: then {} ", step.date, words::percent_range(loss)))
        .and(Label::Source, format!("[{origin}]"))
}

fn sighting_line(phrases: Phrases<'_>, seen: &Observation) -> Line {
    let extent = seen.extent.map_or(String::new(), |extent| format!(", {}", extent_words(extent)));
    Line::at(3)
        .text(format!("{}: {}{extent} ", seen.date, phrases.seen(&seen.seen)))
        .and(Label::Source, format!("[{}]", seen.origin))
}
