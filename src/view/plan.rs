//! The page of a plan.

mod covers;
mod unmet;
mod work;

pub use unmet::unmet_words;

use super::judgment::verdict_label;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::units::Units;
use super::words;
use crate::assess::{Assessment, Verdict};
use crate::estimate::Estimate;
use crate::plan::{GardenPlan, GoalKind, Planned, PlannedPlanting, WishBy};
use crate::records::Place;
use crate::season::{Date, month_name};
use chrono::Datelike;

/// A plan as a page; `name` is the garden's.
#[must_use]
pub fn plan_page(phrases: Phrases<'_>, plan: &GardenPlan, name: &str) -> Page {
    let mut page = Page::default();
    page.heading(format!(
        "Plan of {name}: {} to {}",
        plan.half_months.day(0),
        plan.half_months.end().pred_opt().unwrap_or(plan.half_months.end())
    ));
    page.lines(proof_lines(phrases.units, plan));
    page.blank();
    page.heading("Plantings");
    page.table(plantings_table(phrases, plan));
    page.blank();
    page.extend(cares(phrases, plan));
    page.extend(covers::covers_page(phrases, plan));
    page.heading("Wishes");
    page.table(wishes_table(phrases, plan));
    page.lines(unmet_lines(phrases, plan));
    for crop in &plan.unwanted {
        page.line(Line::at(1).text(format!("{}: none, as wished", phrases.crop(*crop))));
    }
    page.blank();
    page.extend(work::work_page(phrases, plan));
    page.blank();
    page.heading(format!(
        "Left in the soil at the end (N, P, K free, {})",
        phrases.units.over_ground_sign()
    ));
    page.table(left_table(phrases, plan));
    page
}

/// Value, bound, gap and what they mean.
#[must_use]
fn proof_lines(units: Units, plan: &GardenPlan) -> Vec<Line> {
    let count = |verdict| plan.count(verdict);
    let limit =
        if plan.hours_a_week.is_some() { ", hours of work left out of account" } else { "" };
    let mut lines = vec![
        Line::at(1).text(format!(
            "worth {} {} of full crops wished for; no plan is worth more than {}{limit}: at most \
             {:.1} % better (seed {})",
            units.area_figure(plan.value, 1),
            units.area_sign(),
            units.area_figure(plan.bound, 1),
            100.0 * plan.gap,
            plan.seed
        )),
        Line::at(1).text(format!(
            "{} in {}: {} plant, {} care; {:.0} % of the ground and time under crops, {:.0} % under \
             legumes",
            words::count(plan.plantings.len(), "planting"),
            words::count(plan.places.len(), "place"),
            count(Verdict::Plant),
            count(Verdict::Care),
            100.0 * plan.covered_share,
            100.0 * plan.legumes_of_all
        )),
    ];
    lines.extend(plan.goals.iter().map(|goal| {
        let (what, reached) = match goal.kind {
            GoalKind::Covered => ("under crops", plan.covered_share),
            GoalKind::Legumes => ("under legumes", plan.legumes_of_all),
        };
        let is_met = reached >= goal.share - 0.005;
        let words = format!(
            "asked for {:.0} % of the ground and time {what}: {:.0} %, {}",
            100.0 * goal.share,
            100.0 * reached,
            if is_met { "met" } else { "not met: crops wished for are worth more there" }
        );
        Line::at(1).and(if is_met { Label::Plant } else { Label::Care }, words)
    }));
    lines.extend(work::work_line(plan));
    lines
}

fn plantings_table(phrases: Phrases<'_>, plan: &GardenPlan) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["bed", "from", "crop", "until", "verdict", "yield %", phrases.units.mass_sign()]
            .map(String::from)
            .to_vec(),
        right: vec![5, 6],
        rows: Vec::new(),
    };
    for (place, _) in &plan.places {
        let begins = table.rows.len();
        for standing in plan.standing.iter().filter(|standing| standing.place.bears_on(place)) {
            let until = standing
                .free
                .map_or("stays".to_owned(), |day| day_after(plan.half_months.day(0), day));
            table.rows.push(vec![
                Span::new(Label::Name, ""),
                Span::new(Label::Plain, "stands"),
                Span::new(Label::Name, phrases.crop(standing.crop)),
                Span::new(Label::Plain, until),
                Span::new(Label::Plain, ""),
                Span::new(Label::Plain, ""),
                Span::new(Label::Plain, ""),
            ]);
        }
        for planting in plan.plantings.iter().filter(|planting| planting.place == *place) {
            table.rows.push(planting_row(phrases, planting));
        }
        if table.rows.len() == begins {
            let mut row = vec![Span::new(Label::Name, ""), Span::new(Label::Unknown, "nothing")];
            row.resize(7, Span::new(Label::Plain, ""));
            table.rows.push(row);
        }
        table.rows[begins][0].text = place.to_string();
    }
    table
}

/// A day without its year where the day it follows tells that.
fn day_after(before: Date, day: Date) -> String {
    const NO_YEAR_NEEDED_DAYS: i64 = 330;
    if (day - before).num_days() > NO_YEAR_NEEDED_DAYS {
        return day.to_string();
    }
    format!("{} {}", day.day(), month_name(day.month()))
}

fn planting_row(phrases: Phrases<'_>, planting: &PlannedPlanting) -> Vec<Span> {
    let assessment = &planting.assessment;
    let kept = if planting.planned == Planned::Kept { " (kept)" } else { "" };
    vec![
        Span::new(Label::Name, ""),
        Span::new(Label::Plain, planting.planted.to_string()),
        Span::new(Label::Name, format!("{}{kept}", phrases.crop(planting.crop))),
        Span::new(Label::Plain, day_after(planting.planted, planting.cleared)),
        Span::new(verdict_label(assessment.verdict), assessment.verdict.word().to_uppercase()),
        Span::new(Label::Plain, words::percent_short(planting.fed_yield).replace(" %", "")),
        Span::new(
            Label::Plain,
            planting.mass.map_or(String::new(), |mass| mass_words(phrases.units, mass)),
        ),
    ]
}

fn mass_words(units: Units, mass: Estimate) -> String {
    words::range(units.mass(mass.low), units.mass(mass.high)).replace(" to ", "-")
}

/// What needs care and what needs food, one line a planting.
fn cares(phrases: Phrases<'_>, plan: &GardenPlan) -> Page {
    let mut page = Page::default();
    // What asks for care in many beds is told once, with all of them.
    let mut told: Vec<(String, Vec<String>)> = Vec::new();
    for planting in &plan.plantings {
        if planting.assessment.verdict != Verdict::Plant {
            let why = why(phrases, &planting.assessment);
            match told.iter_mut().find(|(said, _)| *said == why) {
                Some((_, beds)) => beds.push(at(phrases, planting)),
                None => told.push((why, vec![at(phrases, planting)])),
            }
        }
    }
    let lines: Vec<Line> = told
        .into_iter()
        .map(|(why, beds)| {
            let beds = beds.join(", ");
            Line::at(1).and(Label::Name, beds).text(": ").and(Label::Care, why)
        })
        .collect();
    if !lines.is_empty() {
        page.heading("Care");
        page.lines(lines);
        page.blank();
    }
    let fed = plan.plantings.iter().filter_map(|planting| Some((planting, planting.feed?)));
    let lines: Vec<Line> = fed
        .map(|(planting, grams)| {
            Line::at(1)
                .and(Label::Name, at(phrases, planting))
                .text(format!(": nitrogen short by {}", phrases.units.nutrients(grams)))
        })
        .collect();
    if !lines.is_empty() {
        page.heading("Feed (the yields above count on it; `soil BED --crop CROP` says with what)");
        page.lines(lines);
        page.blank();
    }
    page
}

fn at(phrases: Phrases<'_>, planting: &PlannedPlanting) -> String {
    format!("{} {} {}", planting.place, planting.planted, phrases.crop(planting.crop))
}

/// The reason that decides a verdict, in one sentence.
fn why(phrases: Phrases<'_>, assessment: &Assessment) -> String {
    let deciding =
        assessment.reasons.iter().find(|reason| reason.effect.verdict() == assessment.verdict);
    deciding.map_or_else(|| assessment.verdict.word().to_owned(), |reason| phrases.claim(reason))
}

fn wishes_table(phrases: Phrases<'_>, plan: &GardenPlan) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["crop", "when", "wished", "planned", "met"].map(String::from).to_vec(),
        right: vec![2, 3],
        rows: Vec::new(),
    };
    for wish in &plan.wishes {
        let units = phrases.units;
        let (unit, amount): (_, fn(Units, f64) -> f64) = match wish.by {
            WishBy::Mass(_) => (units.mass_sign(), Units::mass),
            WishBy::Area(_) => (units.area_sign(), Units::area),
        };
        let shown = |kept| words::rounded(amount(units, kept));
        let label = match &wish.unmet {
            None => Label::Plant,
            Some(_) if wish.met() > 0.5 => Label::Care,
            Some(_) => Label::Wait,
        };
        let met = wish
            .unmet
            .as_ref()
            .map_or_else(|| "yes".to_owned(), |_| format!("{:.0} %", (100.0 * wish.met()).abs()));
        table.rows.push(vec![
            Span::new(Label::Name, phrases.crop(wish.crop)),
            Span::new(Label::Plain, time_words(wish.from, wish.to)),
            Span::new(Label::Plain, format!("{} {unit}", shown(wish.wanted()))),
            Span::new(Label::Plain, shown(wish.standing + wish.planned)),
            Span::new(label, met),
        ]);
    }
    table
}

/// Why wishes are not met, one line each, and which the plan does not reach.
fn unmet_lines(phrases: Phrases<'_>, plan: &GardenPlan) -> Vec<Line> {
    let mut lines: Vec<Line> = plan
        .wishes
        .iter()
        .filter_map(|wish| {
            let why = unmet_words(phrases, wish.unmet.as_ref()?);
            let name = format!("{} {}", phrases.crop(wish.crop), time_words(wish.from, wish.to));
            Some(Line::at(1).and(Label::Name, name).text(format!(": {why}")))
        })
        .collect();
    if !plan.beyond.is_empty() {
        let names: Vec<String> = plan
            .beyond
            .iter()
            .map(|wish| format!("{} {}", phrases.crop(wish.crop), time_words(wish.from, wish.to)))
            .collect();
        lines.push(Line::at(1).and(
            Label::Unknown,
            format!("not planned for, as this plan ends before: {} (--months)", names.join(", ")),
        ));
    }
    lines
}

fn time_words(from: Date, to: Date) -> String {
    let to = to.pred_opt().unwrap_or(to);
    if from.month() == to.month() && from.year() == to.year() {
        return format!("{} {}", month_name(from.month()), from.year());
    }
    format!("{}-{} {}", month_name(from.month()), month_name(to.month()), to.year())
}

fn left_table(phrases: Phrases<'_>, plan: &GardenPlan) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["bed", "N", "P", "K", "diseases: loss of a host, now and then"]
            .map(String::from)
            .to_vec(),
        right: vec![1, 2, 3],
        rows: Vec::new(),
    };
    for left in &plan.left {
        let grams = |at: usize| {
            left.nutrients.map_or("?".to_owned(), |nutrients| {
                let (low, high) = (nutrients[at].low.max(0.0), nutrients[at].high.max(0.0));
                phrases.units.nutrient_span(low, high).replace(" to ", "-")
            })
        };
        let percent = |share: Estimate| format!("{:.0}", 100.0 * share.likely);
        let mut diseases: Vec<String> = left
            .diseases
            .iter()
            .filter(|(_, end, begin)| end.likely.max(begin.likely) >= 0.005)
            .map(|(pathogen, end, begin)| {
                let name = phrases.disease(*pathogen);
                format!("{name} {} to {} %", percent(*begin), percent(*end))
            })
            .collect();
        diseases.dedup();
        table.rows.push(vec![
            Span::new(Label::Name, left.place.to_string()),
            Span::new(Label::Plain, grams(0)),
            Span::new(Label::Plain, grams(1)),
            Span::new(Label::Plain, grams(2)),
            Span::new(
                Label::Plain,
                if diseases.is_empty() { "-".to_owned() } else { diseases.join(", ") },
            ),
        ]);
    }
    table
}

/// What two plans differ in: the second's plantings that the first has not, and the other way round.
#[must_use]
pub fn compare_page(
    phrases: Phrases<'_>,
    (one, other): (&GardenPlan, &GardenPlan),
    (one_name, other_name): (&str, &str),
) -> Page {
    let mut page = Page::default();
    page.heading(format!("{one_name} beside {other_name}"));
    let mut table = Table {
        indent: 1,
        head: ["", "value", "bound", "wishes met", "plant", "care", "legumes"]
            .map(String::from)
            .to_vec(),
        right: vec![1, 2, 3, 4, 5, 6],
        rows: Vec::new(),
    };
    for (plan, name) in [(one, one_name), (other, other_name)] {
        let met = plan.wishes.iter().filter(|wish| wish.unmet.is_none()).count();
        let cells = [
            phrases.units.area_figure(plan.value, 1),
            phrases.units.area_figure(plan.bound, 1),
            format!("{met} of {}", plan.wishes.len()),
            plan.count(Verdict::Plant).to_string(),
            plan.count(Verdict::Care).to_string(),
            format!("{:.0} %", 100.0 * plan.legume_share),
        ];
        let mut row = vec![Span::new(Label::Name, name)];
        row.extend(cells.map(|cell| Span::new(Label::Plain, cell)));
        table.rows.push(row);
    }
    page.table(table);
    let only = |plan: &GardenPlan, beside: &GardenPlan| -> Vec<(Place, Date, String)> {
        let known = |planting: &PlannedPlanting| {
            beside.plantings.iter().any(|other| {
                other.place == planting.place
                    && other.crop == planting.crop
                    && other.planted == planting.planted
            })
        };
        let rows = plan.plantings.iter().filter(|planting| !known(planting));
        rows.map(|planting| {
            let crop = phrases.crop(planting.crop).to_owned();
            (planting.place.clone(), planting.planted, crop)
        })
        .collect()
    };
    for (rows, name) in [(only(one, other), one_name), (only(other, one), other_name)] {
        page.blank();
        page.heading(format!("only in {name}: {}", words::count(rows.len(), "planting")));
        for (place, day, crop) in rows {
            page.line(Line::at(1).text(format!("{place} {day} {crop}")));
        }
    }
    page
}
