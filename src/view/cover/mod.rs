//! Covers for a gap as a page: the ranking, the first of them in full, the tree of one.

mod claims;

pub(in crate::view) use claims::reasons;

use super::judgment::verdict_label;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::told::{leaves, speaks_label};
use super::units::Units;
use super::words;
use crate::advise::cover::{
    CoverOption, Covers, Fit, FoundGap, GapEnd, Goal, SoilLife, Standing, Why, Winter,
};
use crate::knowledge::Turn;

/// What an option is called.
#[must_use]
pub fn cover_name(phrases: Phrases<'_>, option: &CoverOption) -> String {
    let names: Vec<String> =
        option.parts.iter().map(|part| phrases.crop(part.crop).to_owned()).collect();
    names.join(" + ")
}

fn standing_label(standing: Standing) -> Label {
    match standing {
        Standing::Recommended => Label::Plant,
        Standing::WithCare => Label::Care,
        Standing::NotHere => Label::Wait,
    }
}

/// The word for a standing.
#[must_use]
pub(in crate::view) fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Recommended => "SOW",
        Standing::WithCare => "CARE",
        Standing::NotHere => "NOT HERE",
    }
}

/// The word for a fit.
#[must_use]
pub(in crate::view) fn fit_words(fit: Fit) -> &'static str {
    match fit {
        Fit::Fits => "fits",
        Fit::TooShort => "too short",
        Fit::FrostFirst => "frost first",
        Fit::TooCold => "too cold",
        Fit::OutOfSeason => "out of season",
    }
}

fn why_words(phrases: Phrases<'_>, covers: &Covers<'_>) -> String {
    let goal = covers.aim.goal.word();
    match covers.aim.why {
        Why::Asked => format!("sown for {goal}, as asked"),
        Why::Nematode(pathogen) => {
            format!("sown against {goal}: this bed holds {}", phrases.disease(pathogen))
        }
        Why::Leachable { free, surplus_mm } => format!(
            "sown for {goal}: {} {} of nitrogen lie free and {} of rain will pass through",
            phrases.units.nutrient_figure(free),
            phrases.units.over_ground_sign(),
            phrases.units.rain(surplus_mm)
        ),
        Why::Short { next, short } => format!(
            "sown for {goal}: {} would be short of {}",
            phrases.crop(next),
            phrases.units.nutrients(short)
        ),
        Why::PoorInHumus(percent) => format!(
            "sown for {goal}: the books have {} % of organic matter",
            words::number(percent)
        ),
        Why::NothingPressing => {
            format!("sown for {goal}: nothing on record presses, ground is kept covered")
        }
    }
}

fn gap_end_words(phrases: Phrases<'_>, end: GapEnd, is_first: bool) -> String {
    match (end, is_first) {
        (GapEnd::Asked, _) => "as asked".to_owned(),
        (GapEnd::Free, _) => "nothing stands".to_owned(),
        (GapEnd::StandsUntil(crop), _) => {
            format!("{} is taken to be done by then", phrases.crop(crop))
        }
        (GapEnd::Planned(crop), _) => format!("{} is on record for then", phrases.crop(crop)),
        (GapEnd::InSeason(crop), _) => {
            format!("the first good day for {} that leaves time for a cover", phrases.crop(crop))
        }
    }
}

/// What the worth of a goal counts, in the units shown.
fn worth_words(units: Units, goal: Goal) -> String {
    let metric = goal.unit();
    match metric.strip_prefix("g/m2").filter(|_| goal.is_over_ground()) {
        Some(of) => format!("{}{of}", units.over_ground_sign()),
        None => metric.to_owned(),
    }
}

/// The ranking: a line each, the first so many in full.
#[must_use]
pub fn cover_page(
    phrases: Phrases<'_>,
    found: FoundGap,
    covers: &Covers<'_>,
    most: usize,
    in_full: usize,
) -> Page {
    let mut page = Page::default();
    let units = phrases.units;
    let gap = covers.question.gap;
    let before = covers
        .question
        .next
        .map_or(String::new(), |next| format!(", before {}", phrases.crop(next)));
    page.heading(format!(
        "Covers for {}, {} to {} ({}){before}",
        covers.state.place,
        gap.from,
        gap.to,
        words::days(gap.days())
    ));
    if found.from != GapEnd::Asked || found.to != GapEnd::Asked {
        page.line(Line::at(1).text(format!(
            "from: {}; to: {}",
            gap_end_words(phrases, found.from, true),
            gap_end_words(phrases, found.to, false)
        )));
    }
    page.line(Line::at(1).text(why_words(phrases, covers)));
    if !covers.grows_on_paper {
        page.line(Line::at(1).and(
            Label::Unknown,
            "growth is not known: site.csv needs the latitude, climate.csv twelve months",
        ));
    }
    page.table(ranking(phrases, covers, most));
    page.line(Line::at(1).text(format!(
        "worth: {}; seed for {} by hand",
        worth_words(units, covers.aim.goal),
        covers.ground.map_or(format!("1 {}", units.area_sign()), |ground| format!(
            "{} {}",
            units.area_figure(ground.0, 1),
            units.area_sign()
        ))
    )));
    if shown(covers, 1).next().is_none() {
        page.line(Line::at(1).and(
            Label::Care,
            "no cover fits this gap and this bed: mulch it, or ask with another --from or --to",
        ));
    }
    for option in shown(covers, in_full) {
        page.blank();
        page.extend(in_full_page(phrases, covers, option));
    }
    page.extend(left_out(phrases, covers));
    page
}

fn shown<'a>(covers: &'a Covers<'_>, most: usize) -> impl Iterator<Item = &'a CoverOption> {
    covers
        .ranked
        .iter()
        .filter(|option| option.fit == Fit::Fits && option.standing != Standing::NotHere)
        .take(most)
}

fn ranking(phrases: Phrases<'_>, covers: &Covers<'_>, most: usize) -> Table {
    let units = phrases.units;
    let seed_head = format!("seed {}", units.small_mass_sign());
    let free_head = format!("free N {}", units.over_ground_sign());
    let mut table = Table {
        indent: 1,
        head: ["cover", "", "worth", &seed_head, "kill", &free_head, "remarks"]
            .map(String::from)
            .to_vec(),
        right: vec![2, 3],
        rows: Vec::new(),
    };
    for option in covers.ranked.iter().take(most) {
        let seed: Option<(f64, f64)> = option
            .parts
            .iter()
            .map(|part| part.seed.unwrap_or(part.rate))
            .map(|seed| (seed.low, seed.high))
            .reduce(|one, other| (one.0 + other.0, one.1 + other.1));
        table.rows.push(vec![
            Span::new(Label::Name, cover_name(phrases, option)),
            Span::new(standing_label(option.standing), standing_words(option.standing)),
            Span::new(
                Label::Plain,
                option.worth.map_or("?".to_owned(), |worth| {
                    if covers.aim.goal.is_over_ground() {
                        units.nutrient_figure(worth.likely)
                    } else {
                        words::rounded(worth.likely)
                    }
                }),
            ),
            Span::new(
                Label::Plain,
                seed.map_or("?".to_owned(), |(low, high)| {
                    units.small_mass_span(low, high).replace(" to ", "-")
                }),
            ),
            Span::new(Label::Plain, option.kill.on.format("%d %b").to_string()),
            Span::new(
                Label::Plain,
                option.stand.as_ref().map_or("?".to_owned(), |stand| {
                    units.nutrient_span(stand.available.low, stand.available.high)
                }),
            ),
            Span::new(Label::Plain, remarks(phrases, option)),
        ]);
    }
    table
}

/// What bears most on an option, in few words.
fn remarks(phrases: Phrases<'_>, option: &CoverOption) -> String {
    let mut remarks = Vec::new();
    if option.fit != Fit::Fits {
        remarks.push(fit_words(option.fit).to_owned());
    }
    match option.winter.winter {
        Winter::Dies(day) => remarks.push(format!("frost kills it about {}", day.format("%d %b"))),
        Winter::MayDie => remarks.push("frost may kill it".to_owned()),
        Winter::Lives | Winter::Unknown => {}
    }
    if option.kill.is_hard() {
        remarks.push("hard to kill".to_owned());
    }
    let of = |wanted: fn(&SoilLife) -> bool| -> Vec<String> {
        option
            .soil_life
            .iter()
            .filter(|life| wanted(life))
            .map(|life| phrases.short_disease(life.pathogen).to_owned())
            .collect()
    };
    for (words, diseases) in [
        ("raises", of(|life| life.turn == Some(Turn::Raises))),
        ("lowers", of(|life| life.turn == Some(Turn::Lowers))),
        ("by species:", of(|life| life.turn.is_none() && life.hangs_on_species())),
        ("not known:", of(|life| life.turn.is_none() && !life.hangs_on_species())),
    ] {
        if !diseases.is_empty() {
            remarks.push(format!("{words} {}", diseases.join(", ")));
        }
    }
    if let Some(next) = &option.next
        && next.verdict > next.verdict_bare
    {
        remarks.push(format!("next crop then: {}", next.verdict.word()));
    }
    remarks.join("; ")
}

/// One option in full.
fn in_full_page(phrases: Phrases<'_>, covers: &Covers<'_>, option: &CoverOption) -> Page {
    let mut page = Page::default();
    page.line(
        Line::at(1)
            .and(Label::Name, cover_name(phrases, option))
            .text("  ")
            .and(standing_label(option.standing), standing_words(option.standing)),
    );
    let line = |text: String| Line { indent: 3, hang: 5, spans: Vec::new() }.text(text);
    page.line(line(seed_words(phrases, covers, option)));
    for told in reasons(phrases, covers, option) {
        page.line(line(told.text));
    }
    page
}

/// Seed in words: grams, rate, depth, inoculant.
fn seed_words(phrases: Phrases<'_>, covers: &Covers<'_>, option: &CoverOption) -> String {
    let units = phrases.units;
    let each: Vec<String> = option
        .parts
        .iter()
        .map(|part| {
            let whose = if option.parts.len() > 1 {
                format!("{} ", phrases.crop(part.crop))
            } else {
                String::new()
            };
            let grams = part.seed.map_or(String::new(), |seed| {
                let sign = units.small_mass_sign();
                format!("{} {sign} of seed, ", units.small_mass_span(seed.low, seed.high))
            });
            let depth = part.depth_cm.map_or(String::new(), |depth| {
                format!(", {} deep", units.short_length_range(depth))
            });
            let inoculant = part.inoculant.as_ref().map_or(String::new(), |group| {
                format!(", inoculant group {} if the bed never grew it", group.replace('_', "/"))
            });
            format!(
                "{whose}{grams}{} {}{depth}{inoculant}",
                units.nutrient_span(part.rate.low, part.rate.high),
                units.over_ground_sign()
            )
        })
        .collect();
    format!("sow {}: {}", covers.question.gap.from, each.join("; "))
}

/// Those that feed what the bed has, each with the reason.
fn left_out(phrases: Phrases<'_>, covers: &Covers<'_>) -> Page {
    let mut page = Page::default();
    let mut lines: Vec<(String, String)> = Vec::new();
    for option in covers.ranked.iter().filter(|option| option.standing == Standing::NotHere) {
        let raised: Vec<String> =
            option.raised().map(|life| phrases.disease(life.pathogen).to_owned()).collect();
        let why = if raised.is_empty() {
            option
                .assessment
                .reasons
                .iter()
                .find(|reason| reason.effect.verdict() == option.assessment.verdict)
                .map_or(String::new(), |reason| phrases.short(reason))
        } else {
            format!("feeds {}", words::list(&raised))
        };
        match lines.iter_mut().find(|(known, _)| *known == why) {
            Some((_, names)) => {
                names.push_str(", ");
                names.push_str(&cover_name(phrases, option));
            }
            None => lines.push((why, cover_name(phrases, option))),
        }
    }
    if lines.is_empty() {
        return page;
    }
    page.blank();
    page.line(Line::at(1).and(Label::Wait, "not for this bed"));
    page.lines(lines.into_iter().map(|(why, names)| {
        Line { indent: 3, hang: 5, spans: Vec::new() }.text(format!("{why}: {names}"))
    }));
    page
}

/// The tree of one option: each claim with the leaves it rests on.
#[must_use]
pub fn cover_tree_page(phrases: Phrases<'_>, covers: &Covers<'_>, option: &CoverOption) -> Page {
    let mut page = Page::default();
    page.line(
        Line::default()
            .and(
                Label::Heading,
                format!(
                    "{} in {}, {} to {}",
                    cover_name(phrases, option),
                    covers.state.place,
                    covers.question.gap.from,
                    covers.question.gap.to
                ),
            )
            .text("  ")
            .and(standing_label(option.standing), standing_words(option.standing)),
    );
    page.line(Line::at(1).text(why_words(phrases, covers)));
    page.line(Line::at(1).text(seed_words(phrases, covers, option)));
    if let Some(next) = &option.next {
        page.line(
            Line::at(1)
                .text("next crop after it: ")
                .and(verdict_label(next.verdict), next.verdict.word().to_uppercase()),
        );
    }
    let mut seen: Vec<String> = Vec::new();
    for (number, told) in (1..).zip(reasons(phrases, covers, option)) {
        page.line(
            Line { indent: 1, hang: 4, spans: Vec::new() }
                .text(format!("{number}  {} ", words::sentence(&told.text)))
                .and(speaks_label(told.speaks), format!("[{}]", told.speaks)),
        );
        page.lines(leaves(phrases, &told.evidence, &mut seen));
    }
    page
}
