//! Covers for a gap as a page: the ranking, the first of them in full, the tree of one.

use super::judgment::verdict_label;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::advise::cover::{
    CoverOption, Covers, Fit, FoundGap, GapEnd, Goal, KillFor, NextCrop, SoilLife, Standing, Start,
    Why, Winter,
};
use crate::assess::Evidence;
use crate::knowledge::{PathogenId, Turn};
use crate::state::stand::Stage;

/// A claim on an option with what it rests on, for the tree and for JSON.
pub(super) struct Told<'a> {
    /// What it is about.
    pub(super) rule: &'static str,
    /// `for`, `against`, `neither` or `unknown`.
    pub(super) speaks: &'static str,
    /// In words.
    pub(super) text: String,
    /// What it rests on.
    pub(super) evidence: Vec<&'a Evidence>,
}

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
pub(super) fn standing_words(standing: Standing) -> &'static str {
    match standing {
        Standing::Recommended => "SOW",
        Standing::WithCare => "CARE",
        Standing::NotHere => "NOT HERE",
    }
}

/// The word for a fit.
#[must_use]
pub(super) fn fit_words(fit: Fit) -> &'static str {
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
            "sown for {goal}: {} g/m2 of nitrogen lie free and {surplus_mm:.0} mm of rain will pass through",
            words::rounded(free)
        ),
        Why::Short { next, short } => format!(
            "sown for {goal}: {} would be short of {}",
            phrases.crop(next),
            words::grams_m2(short)
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
        covers.aim.goal.unit(),
        covers.ground.map_or("1 m2".to_owned(), |ground| format!("{:.1} m2", ground.0))
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
    let mut table = Table {
        indent: 1,
        head: ["cover", "", "worth", "seed g", "kill", "free N g/m2", "remarks"]
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
                option.worth.map_or("?".to_owned(), |worth| words::rounded(worth.likely)),
            ),
            Span::new(
                Label::Plain,
                seed.map_or("?".to_owned(), |(low, high)| {
                    words::range(low, high).replace(" to ", "-")
                }),
            ),
            Span::new(Label::Plain, option.kill.on.format("%d %b").to_string()),
            Span::new(
                Label::Plain,
                option.stand.as_ref().map_or("?".to_owned(), |stand| {
                    short_range(stand.available.low, stand.available.high)
                }),
            ),
            Span::new(Label::Plain, remarks(phrases, option)),
        ]);
    }
    table
}

fn short_range(low: f64, high: f64) -> String {
    let (low, high) = (words::rounded(low), words::rounded(high));
    if low == high { low } else { format!("{low} to {high}") }
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
                format!("{} g of seed, ", words::range(seed.low, seed.high))
            });
            let depth = part.depth_cm.map_or(String::new(), |depth| {
                format!(", {} cm deep", words::range(depth.low, depth.high))
            });
            let inoculant = part.inoculant.as_ref().map_or(String::new(), |group| {
                format!(", inoculant group {} if the bed never grew it", group.replace('_', "/"))
            });
            format!(
                "{whose}{grams}{} g/m2{depth}{inoculant}",
                words::range(part.rate.low, part.rate.high)
            )
        })
        .collect();
    format!("sow {}: {}", covers.question.gap.from, each.join("; "))
}

/// The claims on an option, what bears most first.
pub(super) fn reasons<'a>(
    phrases: Phrases<'_>,
    covers: &'a Covers<'_>,
    option: &'a CoverOption,
) -> Vec<Told<'a>> {
    let mut told = Vec::new();
    told.extend(option.soil_life.iter().map(|life| life_told(phrases, option, life)));
    for reason in &option.assessment.reasons {
        if reason.effect.verdict() > crate::assess::Verdict::Plant {
            told.push(Told {
                rule: reason.rule.word(),
                speaks: "against",
                text: format!("the cover itself: {}", phrases.claim(reason)),
                evidence: reason.evidence.iter().collect(),
            });
        }
    }
    told.push(fit_told(option));
    told.push(growth_told(option));
    told.extend(nitrogen_told(option));
    told.push(winter_told(option));
    told.push(kill_told(covers, option));
    told.push(wait_told(phrases, covers, option));
    told.extend(option.next.as_ref().map(|next| next_told(phrases, next)));
    told
}

fn life_told<'a>(phrases: Phrases<'_>, option: &CoverOption, life: &'a SoilLife) -> Told<'a> {
    let disease = phrases.disease(life.pathogen);
    let cover = cover_name(phrases, option);
    let mut text = match life.turn {
        Some(Turn::Raises) => format!("{cover} raises {disease}, which this bed has"),
        Some(Turn::Lowers) => format!("{cover} lowers {disease}, which this bed has"),
        Some(Turn::Neutral) => format!("{cover} neither raises nor lowers {disease}"),
        None if life.hangs_on_species() => {
            format!(
                "{disease}: what {cover} does hangs on the species, which nobody has determined"
            )
        }
        None => format!("what {cover} does to {disease} is not known: that is not a no"),
    };
    if life.hangs_on_species() {
        let each: Vec<String> = life
            .by_species
            .iter()
            .map(|(species, turn)| {
                let does = match turn {
                    Some(Turn::Raises) => "raised",
                    Some(Turn::Lowers) => "lowered",
                    Some(Turn::Neutral) => "neither",
                    None => "not known",
                };
                format!("{} {does}", species_name(phrases, *species))
            })
            .collect();
        let settles = crate::advise::cover::settling_test(phrases.knowledge, life.pathogen);
        text = format!("{text} ({}); what settles it: {settles}", each.join(", "));
    }
    if life.is_contested {
        text.push_str("; sources contradict each other");
    }
    if life.is_weak && life.turn.is_some() {
        text.push_str(" (weakly backed)");
    }
    Told {
        rule: "own_diseases",
        speaks: match life.turn {
            Some(Turn::Raises) => "against",
            Some(Turn::Lowers) => "for",
            Some(Turn::Neutral) => "neither",
            None => "unknown",
        },
        text,
        evidence: life.evidence.iter().collect(),
    }
}

/// A species by its scientific name with the genus cut short.
fn species_name(phrases: Phrases<'_>, species: PathogenId) -> String {
    let name = &phrases.knowledge.pathogens[species].scientific_name;
    match name.split_once(' ') {
        Some((genus, rest)) => format!("{}. {rest}", genus.chars().take(1).collect::<String>()),
        None => name.to_string(),
    }
}

fn fit_told(option: &CoverOption) -> Told<'_> {
    let soil = option
        .germination_c
        .map_or("whether it germinates is not known".to_owned(), |(soil, least)| {
            format!("soil about {soil:.0} C at sowing, germinates from {least:.0} C")
        });
    let text = match option.fit {
        Fit::Fits => format!("fits the gap; {soil}"),
        Fit::TooShort => format!("the gap is too short to cover the ground; {soil}"),
        Fit::FrostFirst => format!("frost kills it before it has grown; {soil}"),
        Fit::TooCold => format!("too cold to come up: {soil}"),
        Fit::OutOfSeason => {
            format!("out of its season: the gap is too warm or too cool for it; {soil}")
        }
    };
    Told {
        rule: "fits_the_gap",
        speaks: if option.fit == Fit::Fits { "for" } else { "against" },
        text,
        evidence: Vec::new(),
    }
}

fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Leafy => "in leaf",
        Stage::Bud => "in bud or jointing",
        Stage::Bloom => "in bloom or headed",
        Stage::Seed => "past bloom, seed sets",
    }
}

fn growth_told(option: &CoverOption) -> Told<'_> {
    let evidence = option.growth.iter().collect();
    let Some(stand) = &option.stand else {
        return Told {
            rule: "growth",
            speaks: "unknown",
            text: "growth is not known without site and climate".to_owned(),
            evidence,
        };
    };
    let starved =
        if stand.is_starved { "; nitrogen in the soil, not light, limits it" } else { "" };
    Told {
        rule: "growth",
        speaks: "for",
        text: format!(
            "grows to {} of dry matter by {}, {}; {:.0} % of the ground covered{starved}",
            words::grams_m2(stand.dry_matter),
            stand.ended,
            stage_words(stand.stage),
            stand.ground_cover.likely * 100.0
        ),
        evidence,
    }
}

fn nitrogen_told(option: &CoverOption) -> Option<Told<'_>> {
    let stand = option.stand.as_ref()?;
    let available = stand.available;
    let free = if available.likely < -0.05 {
        let at_best = if available.high > 0.05 {
            format!("; at best {} come free", words::rounded(available.high))
        } else {
            String::new()
        };
        let tied = available.map(|grams| (-grams).max(0.0));
        format!("it ties up {} at first{at_best}", words::grams_m2(tied))
    } else {
        let at_worst = if available.low < -0.05 { "; at worst it ties nitrogen up" } else { "" };
        format!(
            "{} come free to the next crop, most of it four to six weeks after killing{at_worst}",
            words::grams_m2(available)
        )
    };
    Some(Told {
        rule: "nitrogen",
        speaks: if available.likely > 0.0 { "for" } else { "against" },
        text: format!(
            "nitrogen in it at {} %: {} from the air, {} taken from the soil and given back; {free}",
            words::number(stand.nitrogen_percent.likely),
            words::with_range(stand.fixed),
            words::grams_m2(stand.recycled)
        ),
        evidence: option.timing.iter().collect(),
    })
}

fn winter_told(option: &CoverOption) -> Told<'_> {
    let text = match option.winter.winter {
        Winter::Lives => {
            "frost will not kill it here: do not rely on winter, plan to cut it".to_owned()
        }
        Winter::Dies(day) => {
            format!("frost kills it, about {day} in an ordinary year; leave it lying as a cover")
        }
        Winter::MayDie => {
            "frost kills it in some years only: do not rely on it either way".to_owned()
        }
        Winter::Unknown => "whether frost kills it is not known".to_owned(),
    };
    Told {
        rule: "winter",
        speaks: if option.winter.winter == Winter::Unknown { "unknown" } else { "neither" },
        text,
        evidence: option.winter.evidence.iter().collect(),
    }
}

fn kill_told<'a>(covers: &Covers<'_>, option: &'a CoverOption) -> Told<'a> {
    let kill = &option.kill;
    let by = match kill.by {
        KillFor::TheWait => "the last day that serves the next crop's wait",
        KillFor::FirstBloom => "first bloom, when most of its nitrogen comes free",
        KillFor::Jointing => "before it joints, so that it ties up nothing",
        KillFor::Seed => "before it sets seed",
    };
    let ease = if kill.ease.is_empty() { String::new() } else { format!(" ({})", kill.ease) };
    let later = if kill.by != KillFor::TheWait && (kill.latest - kill.on).num_days() > 7 {
        format!("; {} at the latest", kill.latest)
    } else {
        String::new()
    };
    let bare = if covers.aim.goal != Goal::Bloom && (kill.latest - kill.on).num_days() > 28 {
        "; let it lie as a mulch until then, so that the ground is not bare"
    } else {
        ""
    };
    let hard = if kill.is_hard() {
        "; it may come back in the next crop: cut low, turn the crowns under, look again after two weeks"
    } else {
        "; cut at the ground and chop"
    };
    Told {
        rule: "kill",
        speaks: "neither",
        text: format!("kill by hand on {}: {by}{ease}{hard}{later}{bare}", kill.on),
        evidence: kill.evidence.iter().collect(),
    }
}

fn wait_told<'a>(phrases: Phrases<'_>, covers: &Covers<'_>, option: &'a CoverOption) -> Told<'a> {
    let wait = &option.wait;
    let next = covers.question.next.map_or("the next crop", |next| phrases.crop(next));
    let start = match wait.start {
        Start::SmallSeed => "small seed sown in place",
        Start::LargeSeed => "large seed sown in place, which maggots of fresh green matter eat",
        Start::Transplants => "set out as plants, sets or tubers",
        Start::Unknown => "however it is started",
    };
    let days = words::range(wait.dug_in.low, wait.dug_in.high);
    let mulch = if wait.start == Start::SmallSeed {
        "small seed does not come up through a mulch".to_owned()
    } else {
        match wait.as_mulch.high {
            none if none < 0.5 => "none if it is cut and left lying".to_owned(),
            _ => format!(
                "{} days if it is cut and left lying",
                words::range(wait.as_mulch.low, wait.as_mulch.high)
            ),
        }
    };
    Told {
        rule: "wait",
        speaks: "neither",
        text: format!(
            "then wait {days} days after digging in before {next} ({start}): from {}; {mulch}",
            option.ready()
        ),
        evidence: wait.evidence.iter().collect(),
    }
}

fn next_told<'a>(phrases: Phrases<'_>, next: &NextCrop) -> Told<'a> {
    let speaks = if next.verdict > next.verdict_bare {
        "against"
    } else if next.factor().likely > 1.005 {
        "for"
    } else {
        "neither"
    };
    Told {
        rule: "next_crop",
        speaks,
        text: format!(
            "{} on {} after it: {}, yield {}; after bare ground: {}, {}",
            phrases.crop(next.crop),
            next.on,
            next.verdict.word(),
            words::percent_range(next.expected_yield),
            next.verdict_bare.word(),
            words::percent_range(next.yield_bare)
        ),
        evidence: Vec::new(),
    }
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

fn speaks_label(speaks: &str) -> Label {
    match speaks {
        "for" => Label::Plant,
        "against" => Label::Wait,
        "unknown" => Label::Unknown,
        _ => Label::Plain,
    }
}

/// The leaves of a claim; one told before is left out.
pub(super) fn leaves(
    phrases: Phrases<'_>,
    evidence: &[&Evidence],
    seen: &mut Vec<String>,
) -> Vec<Line> {
    let mut lines = Vec::new();
    for leaf in evidence {
        let (text, place) = phrases.evidence(leaf);
        let whole = format!("{text}|{place}");
        if seen.contains(&whole) {
            continue;
        }
        seen.push(whole);
        let label = match leaf {
            Evidence::Missing(_) => Label::Unknown,
            Evidence::Record(..) | Evidence::Fact(..) | Evidence::Figure(_) => Label::Plain,
        };
        lines.push(
            Line { indent: 4, hang: 8, spans: Vec::new() }
                .text("- ")
                .and(label, format!("{text} "))
                .and(Label::Source, format!("[{place}]")),
        );
    }
    lines
}
