//! A cover between standing plants as a page: answer, plan of the bed, reasons.

use super::cover::standing_words;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::told::{Told, leaves, speaks_of};
use super::units::Units;
use super::words;
use crate::advise::cover::{Standing, Winter};
use crate::advise::intersow::{Backing, CompanyOption, Intersow, Layout, Timing};
use crate::knowledge::Turn;
use crate::season::{Date, month_name};

/// The answer for a place: the best cover in full with the plan of the bed, the others in a line.
#[must_use]
pub fn intersow_page(
    phrases: Phrases<'_>,
    advice: &Intersow<'_>,
    most: usize,
    with_reasons: bool,
) -> Page {
    let mut page = Page::default();
    let crop = phrases.crop(advice.standing.crop);
    page.heading(format!("Between the {crop} in {}, sown {}", advice.state.place, advice.on));
    if advice.is_refused() {
        page.line(
            Line::at(1)
                .and(Label::Wait, "NO")
                .text(format!("  {crop} is best left alone: sources advise against any company")),
        );
        let mut seen = Vec::new();
        page.lines(leaves(phrases, &advice.refused.iter().collect::<Vec<_>>(), &mut seen));
        page.line(Line::at(1).text(
            "instead: mulch between the rows, or a cover after the harvest (`breakcrop cover`)",
        ));
        return page;
    }
    let mut seen = Vec::new();
    for told in crop_reasons(phrases, advice) {
        page.line(Line::at(1).text(words::sentence(&told.text)));
        if with_reasons {
            page.lines(leaves(phrases, &told.evidence, &mut seen));
        }
    }
    for missing in advice.missing() {
        let (text, _) = phrases.evidence(&missing);
        page.line(Line::at(1).and(Label::Unknown, format!("missing: {text}")));
    }
    if let Some(best) = advice.covers.first() {
        page.blank();
        page.extend(option_page(phrases, advice, best, with_reasons, &mut seen));
        if let Some(layout) = &best.layout {
            page.blank();
            page.lines(plan_lines(phrases.units, layout));
        }
    }
    if advice.covers.len() > 1 {
        page.blank();
        page.table(others(phrases, advice, most));
    }
    page
}

/// The answer in a few lines: the best cover, its seed, its day of cutting.
#[must_use]
pub fn intersow_brief(phrases: Phrases<'_>, advice: &Intersow<'_>) -> Page {
    let mut page = Page::default();
    let crop = phrases.crop(advice.standing.crop);
    page.heading(format!(
        "A legume between the {crop} in {}, sown {}",
        advice.state.place, advice.on
    ));
    let Some(best) = advice.covers.first().filter(|_| !advice.is_refused()) else {
        page.line(Line::at(1).text("sources advise against any company"));
        return page;
    };
    page.line(
        Line::at(1)
            .and(Label::Name, phrases.crop(best.crop))
            .text("  ")
            .and(standing_label(best.standing), standing_words(best.standing))
            .text(format!("  {}", seed_told(phrases.units, best).text)),
    );
    page.line(Line::at(1).text(cut_told(advice, best).text));
    page
}

/// What holds for the crop, whichever cover is sown.
pub(super) fn crop_reasons<'a>(phrases: Phrases<'_>, advice: &'a Intersow<'_>) -> Vec<Told<'a>> {
    let crop = phrases.crop(advice.standing.crop);
    let mut told = Vec::new();
    told.push(health_told(phrases, advice));
    let free = &advice.weed_free;
    let days = words::range(free.until_days.low, free.until_days.high);
    let since = (advice.on - advice.standing.planted).num_days();
    let basis = if free.is_published {
        String::new()
    } else {
        " (no source gives it: the first third of its time)".to_owned()
    };
    told.push(Told {
        rule: "weed_free_weeks",
        speaks: if (since as f64) < free.until_days.high { "against" } else { "for" },
        text: format!(
            "{crop} must be free of weeds until {days} days after planting{basis}; it was planted {since} days before"
        ),
        evidence: free.evidence.iter().collect(),
    });
    let survival = match (advice.survival.done, &advice.survival.winter) {
        (Some(done), _) => done_words(crop, done, advice.on),
        (None, Winter::Lives) => format!("{crop} should live through the winter here"),
        (None, Winter::Dies(day)) => format!(
            "{crop} will not live through the winter here: killed about {day} in an ordinary year, so what is sown is a cover after it"
        ),
        (None, Winter::MayDie) => format!(
            "{crop} lives through some winters here and not through others: do not rely on it, cover it on cold nights"
        ),
        (None, Winter::Unknown) => {
            format!("whether {crop} lives through the winter is not known")
        }
    };
    let idle = match (advice.regrowth.idle_from, advice.regrowth.from) {
        (Some(idle), Some(from)) => {
            format!("; too cool to grow from {idle}, grows again from {from}")
        }
        (Some(idle), None) if advice.survival.done.is_none_or(|done| idle < done) => {
            format!("; too cool to grow from {idle}")
        }
        (Some(_) | None, None) | (None, Some(_)) => String::new(),
    };
    told.push(Told {
        rule: "winter_of_the_crop",
        speaks: match (advice.survival.done, &advice.survival.winter) {
            (None, Winter::Lives) => "for",
            (None, Winter::Dies(_)) => "against",
            (Some(_), _) | (None, Winter::MayDie) => "neither",
            (None, Winter::Unknown) => "unknown",
        },
        text: format!("{survival}{idle}"),
        evidence: advice.survival.evidence.iter().collect(),
    });
    if let Some(months) = &advice.dry_months {
        let names: Vec<String> = months.iter().map(|month| month_name(*month).to_owned()).collect();
        let text = if names.is_empty() {
            "rain makes up for what two stands drink".to_owned()
        } else {
            format!(
                "two stands drink: water in {}, when rain does not make up for it",
                words::list(&names)
            )
        };
        told.push(Told { rule: "water", speaks: "neither", text, evidence: Vec::new() });
    }
    told
}

/// What is said of a crop of one season.
fn done_words(crop: &str, done: Date, on: Date) -> String {
    if done <= on {
        format!(
            "{crop} is done, and no crop to keep over the winter: what is sown is a cover after it"
        )
    } else {
        format!(
            "{crop} is a crop of one season, done about {done}; what is sown stands on after it until it is cut"
        )
    }
}

fn health_told<'a>(phrases: Phrases<'_>, advice: &'a Intersow<'_>) -> Told<'a> {
    let crop = phrases.crop(advice.standing.crop);
    let (speaks, text) = match &advice.health {
        None => (
            "unknown",
            format!(
                "nothing is on record of how the {crop} fares: look for wilt, mould and virus before keeping it"
            ),
        ),
        Some(health) if health.sick.is_empty() => (
            "for",
            format!("no disease is on record on the {crop}; last looked at {}", health.last),
        ),
        Some(health) => {
            let names: Vec<String> =
                health.sick.iter().map(|pathogen| phrases.disease(*pathogen).to_owned()).collect();
            (
                "against",
                format!(
                    "the {crop} had {}: sick plants are no stand to sow between; take them out first",
                    words::list(&names)
                ),
            )
        }
    };
    let evidence = advice.health.iter().flat_map(|health| &health.evidence).collect();
    Told { rule: "health_of_the_crop", speaks, text, evidence }
}

fn standing_label(standing: Standing) -> Label {
    match standing {
        Standing::Recommended => Label::Plant,
        Standing::WithCare => Label::Care,
        Standing::NotHere => Label::Wait,
    }
}

fn option_page(
    phrases: Phrases<'_>,
    advice: &Intersow<'_>,
    option: &CompanyOption,
    with_reasons: bool,
    seen: &mut Vec<String>,
) -> Page {
    let mut page = Page::default();
    page.line(
        Line::at(1)
            .and(Label::Name, phrases.crop(option.crop))
            .text("  ")
            .and(standing_label(option.standing), standing_words(option.standing)),
    );
    for told in option_reasons(phrases, advice, option) {
        page.line(Line { indent: 3, hang: 5, spans: Vec::new() }.text(told.text));
        if with_reasons {
            page.lines(leaves(phrases, &told.evidence, seen));
        }
    }
    page
}

/// The claims on a cover, in the order in which they are acted on.
pub(super) fn option_reasons<'a>(
    phrases: Phrases<'_>,
    advice: &Intersow<'_>,
    option: &'a CompanyOption,
) -> Vec<Told<'a>> {
    let mut told = Vec::new();
    let cover = phrases.crop(option.crop);
    if !option.refused.is_empty() {
        told.push(Told {
            rule: "not_advised",
            speaks: "against",
            text: format!("sources advise against {cover} under this crop"),
            evidence: option.refused.iter().collect(),
        });
    }
    told.push(seed_told(phrases.units, option));
    told.push(when_told(phrases, advice, option));
    told.push(cut_told(advice, option));
    told.push(cost_told(option));
    told.push(nitrogen_told(phrases.units, advice, option));
    told.extend(disease_told(phrases, advice, option));
    let text = match option.backing {
        Backing::Trial => "trials of the pair are known",
        Backing::Practice => {
            "no trial of this very pair is known: the answer rests on practice and on what is known of the parts"
        }
        Backing::Parts => {
            "no trial of this very pair is known: the answer is built from what is known of the parts"
        }
    };
    told.push(Told {
        rule: "evidence",
        speaks: if option.backing == Backing::Trial { "neither" } else { "unknown" },
        text: text.to_owned(),
        evidence: option.said.iter().collect(),
    });
    told
}

fn seed_told(units: Units, option: &CompanyOption) -> Told<'_> {
    let evidence = option.distance_evidence.iter().collect();
    let distance = units.short_length_range(option.distance_cm);
    let Some(layout) = &option.layout else {
        return Told {
            rule: "seed",
            speaks: "unknown",
            text: format!(
                "keep {distance} from each stem; how much seed hangs on plants and spacing"
            ),
            evidence,
        };
    };
    let areas = layout.areas;
    let grams = option.grams.map_or("grams not known".to_owned(), |grams| {
        let span = units.small_mass_span(grams.low, grams.high);
        format!("{span} {}", units.small_mass_sign())
    });
    let lines = words::count(layout.lines.len(), "line");
    let seeds = match option.seeds {
        Some(seeds) if option.is_single => format!(
            "{:.0} seeds ({grams}), one every {} in {lines}",
            seeds.likely,
            units.short_length(layout.sowing.between_seeds)
        ),
        _ => format!(
            "{grams} of seed in {} pinches, one every {} in {lines}",
            layout.seeds(),
            units.short_length(layout.sowing.between_seeds)
        ),
    };
    Told {
        rule: "seed",
        speaks: "for",
        text: format!(
            "{seeds}; {} kept free about each of {} (printed {distance}): {} of {} {} are free",
            units.short_length(layout.sowing.distance),
            words::count(layout.stems.len(), "stem"),
            units.area_figure(areas.free, 2),
            units.area_figure(areas.bed, 2),
            units.area_sign()
        ),
        evidence,
    }
}

fn when_told<'a>(phrases: Phrases<'_>, advice: &Intersow<'_>, option: &CompanyOption) -> Told<'a> {
    let calendar = &option.calendar;
    let crop = phrases.crop(advice.standing.crop);
    let kind = match calendar.timing {
        Timing::TooEarly => format!(
            "too early: {crop} is in its critical weeks, and what is sown now counts as a weed"
        ),
        Timing::Doubtful => {
            "sources put the end of the critical weeks before and after this day".to_owned()
        }
        Timing::Relay => {
            "a late relay, after the critical weeks, not company for the season".to_owned()
        }
    };
    let window = match calendar.window_to {
        Some(to) if calendar.window_from < to => {
            format!("; sow from {} to {to}", calendar.window_from.max(advice.on))
        }
        _ => "; no day within the next half year leaves it time".to_owned(),
    };
    let season = if calendar.is_out_of_season { "out of its season on this day; " } else { "" };
    Told {
        rule: "when",
        speaks: if calendar.timing == Timing::Relay && !calendar.is_out_of_season {
            "for"
        } else {
            "against"
        },
        text: format!("{season}{kind}{window}"),
        evidence: Vec::new(),
    }
}

fn cut_told<'a>(advice: &Intersow<'_>, option: &'a CompanyOption) -> Told<'a> {
    let calendar = &option.calendar;
    let text = match (calendar.cut, calendar.cut_for_regrowth) {
        (Some(cut), _) if matches!(option.winter.winter, Winter::Dies(_)) => {
            format!("frost kills it about {cut}: leave it lying, it covers the ground until spring")
        }
        (Some(cut), true) => format!(
            "cut it about {cut}, before the crop grows again and is shaded; cut at the ground, do not pull: roots and nodules stay"
        ),
        (Some(cut), false) => format!(
            "cut it at first bloom, about {cut}; cut at the ground, do not pull: roots and nodules stay"
        ),
        (None, _) if advice.climate_is_known => {
            "it would not stand four weeks before it must be cut: not worth the seed".to_owned()
        }
        (None, _) => "when to cut it is not known without site and climate".to_owned(),
    };
    let speaks = match (calendar.cut, advice.climate_is_known) {
        (Some(_), _) => "for",
        (None, true) => "against",
        (None, false) => "unknown",
    };
    Told { rule: "cut", speaks, text, evidence: option.winter.evidence.iter().collect() }
}

fn cost_told<'a>(option: &CompanyOption) -> Told<'a> {
    let change = option.yield_change;
    let text = if change.likely > -0.005 {
        "it should cost the crop nothing: it covers the ground when the crop is nearly done"
            .to_owned()
    } else {
        format!(
            "it may cost the crop {} of its yield by company",
            words::percent_range(change.map(|change| -change))
        )
    };
    Told {
        rule: "cost",
        speaks: if change.likely < -0.05 { "against" } else { "neither" },
        text,
        evidence: Vec::new(),
    }
}

fn nitrogen_told<'a>(units: Units, advice: &Intersow<'_>, option: &CompanyOption) -> Told<'a> {
    let ends_first = |done: Date| option.calendar.cut.is_none_or(|cut| done <= cut);
    let goes_to = if advice.survival.done.is_some_and(ends_first) {
        "to what follows"
    } else {
        "to the crop"
    };
    let text = match (&option.stand, option.nitrogen_g) {
        (Some(stand), Some(grams)) => format!(
            "cut then it has {} of dry matter on the free ground; {} of nitrogen in all come free {goes_to} in the weeks after",
            units.nutrients(stand.dry_matter),
            units.small_mass_range(grams)
        ),
        (Some(stand), None) => format!(
            "cut then it has {} of dry matter on the free ground, {} of nitrogen come free of it",
            units.nutrients(stand.dry_matter),
            units.nutrients(stand.available)
        ),
        (None, _) if advice.climate_is_known => {
            "no nitrogen to count on: it has no day to be cut".to_owned()
        }
        (None, _) => "nitrogen is not known without site and climate".to_owned(),
    };
    Told {
        rule: "nitrogen",
        speaks: if option.stand.is_some() { "for" } else { "unknown" },
        text,
        evidence: Vec::new(),
    }
}

fn disease_told<'a>(
    phrases: Phrases<'_>,
    advice: &Intersow<'_>,
    option: &'a CompanyOption,
) -> Vec<Told<'a>> {
    let cover = phrases.crop(option.crop);
    let crop = phrases.crop(advice.standing.crop);
    let mut told = Vec::new();
    for life in &option.soil_life {
        let disease = phrases.disease(life.pathogen);
        let shared = option.shared_here.contains(&life.pathogen);
        let text = match life.turn {
            Some(Turn::Raises) if shared => format!(
                "{cover} and {crop} both carry {disease}, which this bed had: it would be kept alive from one to the other"
            ),
            Some(Turn::Raises) => format!("{cover} raises {disease}, which this bed had"),
            Some(Turn::Lowers) => format!("{cover} lowers {disease}, which this bed had"),
            Some(Turn::Neutral) => {
                format!("{cover} neither raises nor lowers {disease}, which this bed had")
            }
            None => format!("what {cover} does to {disease}, which this bed had, is not known"),
        };
        told.push(Told {
            rule: "own_diseases",
            speaks: speaks_of(life.turn),
            text,
            evidence: life.evidence.iter().collect(),
        });
    }
    if option.shared_elsewhere > 0 {
        told.push(Told {
            rule: "shared_diseases",
            speaks: "neither",
            text: format!(
                "{cover} and {crop} share {} that {} not on record here",
                words::count(option.shared_elsewhere, "other disease"),
                if option.shared_elsewhere == 1 { "is" } else { "are" }
            ),
            evidence: Vec::new(),
        });
    }
    told
}

fn others(phrases: Phrases<'_>, advice: &Intersow<'_>, most: usize) -> Table {
    let units = phrases.units;
    let mass = units.small_mass_sign();
    let (seed_head, nitrogen_head) = (format!("seed {mass}"), format!("N {mass}"));
    let mut table = Table {
        indent: 1,
        head: ["cover", "", &seed_head, "seeds", "cut", &nitrogen_head, "remarks"]
            .map(String::from)
            .to_vec(),
        right: vec![2, 3],
        rows: Vec::new(),
    };
    for option in advice.covers.iter().take(most) {
        let mut remarks = Vec::new();
        if !option.refused.is_empty() {
            remarks.push("advised against".to_owned());
        }
        if option.calendar.is_out_of_season {
            remarks.push("out of season".to_owned());
        }
        if option.calendar.timing == Timing::TooEarly {
            remarks.push("too early".to_owned());
        }
        if option.is_hard_to_kill {
            remarks.push("hard to kill".to_owned());
        }
        let shared: Vec<String> = option
            .shared_here
            .iter()
            .map(|pathogen| phrases.short_disease(*pathogen).to_owned())
            .collect();
        if !shared.is_empty() {
            remarks.push(format!("shares {}", shared.join(", ")));
        }
        table.rows.push(vec![
            Span::new(Label::Name, phrases.crop(option.crop)),
            Span::new(standing_label(option.standing), standing_words(option.standing)),
            Span::new(
                Label::Plain,
                option.grams.map_or("?".to_owned(), |grams| {
                    units.small_mass_span(grams.low, grams.high).replace(" to ", "-")
                }),
            ),
            Span::new(
                Label::Plain,
                option.seeds.map_or("?".to_owned(), |seeds| format!("{:.0}", seeds.likely)),
            ),
            Span::new(
                Label::Plain,
                option.calendar.cut.map_or("-".to_owned(), |cut| cut.format("%d %b").to_string()),
            ),
            Span::new(
                Label::Plain,
                option
                    .nitrogen_g
                    .map_or("?".to_owned(), |grams| units.figure(units.small_mass(grams.likely))),
            ),
            Span::new(Label::Plain, remarks.join("; ")),
        ]);
    }
    table
}

/// The plan of the bed in characters: `O` a stem, `.` seed. Five centimetres a column, ten a line,
/// as a character is about twice as high as wide; a long bed is drawn at a smaller scale.
#[must_use]
pub fn plan_lines(units: Units, layout: &Layout) -> Vec<Line> {
    const COLUMNS: f64 = 66.0;
    let ground = layout.ground;
    let mut column_cm = 5.0;
    while ground.length / column_cm > COLUMNS {
        column_cm += 5.0;
    }
    let line_cm = column_cm * 2.0;
    let cells = |length: f64, cell: f64| whole((length / cell).ceil()).max(1);
    let (columns, rows) = (cells(ground.length, column_cm), cells(ground.width, line_cm));
    let mut drawn = vec![vec![' '; columns]; rows];
    let mut put = |x: f64, y: f64, sign: char| {
        let column = whole((x / column_cm).floor()).min(columns - 1);
        let row = whole((y / line_cm).floor()).min(rows - 1);
        if drawn[row][column] != 'O' {
            drawn[row][column] = sign;
        }
    };
    for spot in layout.spots() {
        put(spot.x, spot.y, '.');
    }
    for stem in &layout.stems {
        put(stem.x, stem.y, 'O');
    }
    let edge = format!("+{}+", "-".repeat(columns));
    let plain = |text: String| Line { indent: 3, hang: 3, spans: Vec::new() }.text(text);
    let mut lines = vec![plain(edge.clone())];
    lines.extend(
        drawn.into_iter().map(|row| plain(format!("|{}|", row.into_iter().collect::<String>()))),
    );
    lines.push(plain(edge));
    lines.push(plain(format!(
        "O stem   . seed   one sign is {} by {}; the bed {}",
        units.short_length_figure(column_cm),
        units.short_length(line_cm),
        units.sides(ground.length / 100.0, ground.width / 100.0)
    )));
    for line in &layout.lines {
        let (Some(first), Some(last)) = (line.seeds.first(), line.seeds.last()) else { continue };
        lines.push(plain(format!(
            "line {} from the long side: {} from {} to {}",
            units.short_length(line.y),
            words::count(line.seeds.len(), "place"),
            units.short_length_figure(*first),
            units.short_length(*last)
        )));
    }
    lines
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "cells of a bed of at most a kilometre"
)]
fn whole(value: f64) -> usize {
    value.clamp(0.0, 10_000.0) as usize
}
