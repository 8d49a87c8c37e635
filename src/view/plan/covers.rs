//! What the covers of a plan do, and the legumes between what stands.

use super::super::phrase::Phrases;
use super::super::text::{Label, Line, Page};
use super::super::words;
use crate::advise::cover::{Goal, SoilLife, Standing};
use crate::estimate::Estimate;
use crate::knowledge::Turn;
use crate::plan::{Company, GardenPlan, NoCompany, PlannedCover, WhyAlone};
use crate::season::Date;

/// Diseases named in a line.
const NAMED: usize = 3;

/// Covers with their effects; company and why there is none. Empty if the plan has neither.
pub(super) fn covers_page(phrases: Phrases<'_>, plan: &GardenPlan) -> Page {
    let mut page = Page::default();
    if !plan.covers.is_empty() {
        page.heading("Covers, and what they do");
        page.lines(plan.covers.iter().map(|cover| cover_line(phrases, plan, cover)));
        page.blank();
    }
    if !plan.company.is_empty() || !plan.alone.is_empty() {
        page.heading("Legumes between what stands (`intersow BED` shows where each seed goes)");
        page.lines(plan.company.iter().map(|company| company_line(phrases, company)));
        page.lines(plan.alone.iter().map(|alone| alone_line(phrases, alone)));
        page.blank();
    }
    page
}

fn cover_line(phrases: Phrases<'_>, plan: &GardenPlan, cover: &PlannedCover) -> Line {
    let line = Line::at(1)
        .and(Label::Name, format!("{} {} {}", cover.place, cover.sown, phrases.crop(cover.crop)));
    let Some(candidate) = &cover.candidate else {
        return line.text(": too short a gap for it to close; it covers part of the ground");
    };
    let mut parts = vec![format!("sown for {}", goal_words(candidate.goal))];
    let seed = candidate.parts.first().and_then(|part| part.seed);
    parts.extend(seed.map(|grams| seed_words(phrases, grams)));
    parts.extend(candidate.available.map(|free| nitrogen_words(phrases, free)));
    parts.extend(life_words(phrases, &candidate.soil_life));
    parts.extend(cover.cut(plan).map(|cut| ending_words(phrases, cover, cut)));
    if candidate.standing == Standing::WithCare {
        parts.push("asks for care (`cover` says why)".to_owned());
    }
    match cover.best {
        Some((best, share)) if share > 0.0 => parts.push(format!(
            "it does {:.0} % of what {} would, which fits the plan less",
            100.0 * share,
            phrases.crop(best)
        )),
        _ => {}
    }
    line.text(format!(": {}", parts.join("; ")))
}

fn seed_words(phrases: Phrases<'_>, grams: Estimate) -> String {
    let units = phrases.units;
    format!("{} {} of seed", units.figure(units.small_mass(grams.likely)), units.small_mass_sign())
}

fn goal_words(goal: Goal) -> &'static str {
    match goal {
        Goal::Nitrogen => "the nitrogen the next crop lacks",
        Goal::Weeds => "ground kept from weeds",
        Goal::OrganicMatter => "organic matter, which is low here",
        Goal::Scavenging => "nitrogen held that rain would wash out",
        Goal::Nematodes => "fewer nematodes",
        Goal::Bloom => "flowers",
    }
}

/// `3.8 g/m2 of nitrogen free to the next crop (0.5 tied up to 8 free)`.
fn nitrogen_words(phrases: Phrases<'_>, free: Estimate) -> String {
    let figure = |grams: f64| phrases.units.nutrient_figure(grams.abs());
    let sign = phrases.units.over_ground_sign();
    let end =
        |grams: f64| format!("{} {}", figure(grams), if grams < 0.0 { "tied up" } else { "free" });
    let range = if free.low < 0.0 {
        format!("{} to {}", end(free.low), end(free.high))
    } else {
        format!("{} to {}", figure(free.low), figure(free.high))
    };
    if free.likely < 0.0 {
        format!("ties up {} {sign} of nitrogen at first ({range})", figure(free.likely))
    } else {
        format!("{} {sign} of nitrogen free to the next crop ({range})", figure(free.likely))
    }
}

/// What it does to the bed's own diseases, grouped by which way.
fn life_words(phrases: Phrases<'_>, lives: &[SoilLife]) -> Vec<String> {
    let named = |is: &dyn Fn(&SoilLife) -> bool| -> Option<String> {
        let names: Vec<String> = lives
            .iter()
            .filter(|life| is(life))
            .map(|life| phrases.disease(life.pathogen).to_owned())
            .collect();
        let more = names.len().saturating_sub(NAMED);
        let shown = words::list(&names.into_iter().take(NAMED).collect::<Vec<_>>());
        (!shown.is_empty()).then(|| if more > 0 { format!("{shown} ({more} more)") } else { shown })
    };
    [
        ("lowers", named(&|life: &SoilLife| life.turn == Some(Turn::Lowers))),
        ("may raise", named(&|life: &SoilLife| life.may_raise())),
        (
            "nobody has said what it does to",
            named(&|life: &SoilLife| life.turn.is_none() && !life.may_raise()),
        ),
    ]
    .into_iter()
    .filter_map(|(verb, names)| Some(format!("{verb} {}", names?)))
    .collect()
}

fn ending_words(phrases: Phrases<'_>, cover: &PlannedCover, cut: Date) -> String {
    match cover.next {
        Some((next, day)) => {
            format!("cut it down by {cut}, then {} on {day}", phrases.crop(next))
        }
        None => format!("cut it down by {cut}"),
    }
}

fn company_line(phrases: Phrases<'_>, company: &Company) -> Line {
    let kept = if company.kept { " (kept)" } else { "" };
    let line = Line::at(1).and(
        Label::Name,
        format!(
            "{} {} {}{kept} between the {}",
            company.place,
            company.sown,
            phrases.crop(company.crop),
            phrases.crop(company.with)
        ),
    );
    let mut parts = Vec::new();
    parts.extend(company.grams.map(|grams| seed_words(phrases, grams)));
    parts.push(format!(
        "on {} {}",
        words::rounded(phrases.units.area(company.area.0)),
        phrases.units.area_sign()
    ));
    parts.push(format!("cut it at the ground by {}", company.cut));
    parts.extend(company.nitrogen_g.map(|grams| {
        format!("{} of nitrogen come free to the crop", phrases.units.small_mass_range(grams))
    }));
    let change = company.yield_change;
    if !company.kept {
        parts.push(if change.low > -0.005 {
            "it should cost the crop nothing".to_owned()
        } else {
            format!("it may cost the crop up to {:.0} %", -100.0 * change.low)
        });
        parts.push("they share no disease on record here".to_owned());
        if company.shared_elsewhere > 0 {
            parts.push(format!("{} others they could share", company.shared_elsewhere));
        }
    }
    line.text(format!(": {}", parts.join("; ")))
}

fn alone_line(phrases: Phrases<'_>, alone: &NoCompany) -> Line {
    let why = match &alone.why {
        WhyAlone::NoneMayStand => {
            "none may stand there now (out of season, advised against, or it would feed what the \
             bed has)"
                .to_owned()
        }
        WhyAlone::SpacingUnknown => {
            "plants and their spacing are not on record, so nothing tells where seed could go"
                .to_owned()
        }
        WhyAlone::NoRoom => "its plants leave too little ground free between them".to_owned(),
        WhyAlone::NoTime => "none has the days to grow before it must be cut".to_owned(),
        WhyAlone::CostsYield => "each would cost the crop too much".to_owned(),
        WhyAlone::Shares(diseases) => {
            let names: Vec<String> = diseases
                .iter()
                .take(NAMED)
                .map(|disease| phrases.disease(*disease).to_owned())
                .collect();
            format!("each carries what this bed has and the crop too: {}", words::list(&names))
        }
    };
    Line::at(1)
        .and(Label::Name, format!("{} {}", alone.place, phrases.crop(alone.with)))
        .text(format!(": {why}"))
}
