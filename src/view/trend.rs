//! What the years show, as a page: the garden by year, the beds, the families, the doses, and what
//! stood side by side.

use super::evidence::extent_words;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::units::Units;
use super::words;
use crate::estimate::Estimate;
use crate::records::Observation;
use crate::sample;
use crate::state::nutrients::Nutrient;
use crate::trend::{Balance, Contest, Match, Return, Side, Sides, Trend};
use crate::units::UnitSystem;

/// The page of the years. `all` also lists every return.
#[must_use]
pub fn trend_page(phrases: Phrases<'_>, trend: &Trend<'_>, all: bool) -> Page {
    let mut page = Page::default();
    let (Some(first), Some(last)) = (trend.years.first(), trend.years.last()) else {
        page.heading("Nothing is on record yet");
        return page;
    };
    page.heading(format!("What the years {} to {} show", first.year, last.year));
    years(&mut page, phrases.units, trend);
    beds(&mut page, phrases.units, trend);
    families(&mut page, phrases, trend, all);
    doses(&mut page, phrases, trend);
    contests(&mut page, phrases, trend, all);
    page
}

fn plain(text: impl Into<String>) -> Span {
    Span::new(Label::Plain, text)
}

fn head(columns: &[&str]) -> Vec<String> {
    columns.iter().map(|column| (*column).to_owned()).collect()
}

fn share(share: Option<f64>) -> Span {
    share.map_or_else(
        || Span::new(Label::Unknown, "-"),
        |share| plain(format!("{:.0} %", share * 100.0)),
    )
}

/// A gain over the ground with a plus.
fn signed(units: Units, value: f64) -> String {
    let text = units.nutrient_figure(value);
    if value > 0.0 && text != "0" { format!("+{text}") } else { text }
}

/// The range of a gain.
fn gain(units: Units, value: Estimate) -> String {
    let (low, high) = (signed(units, value.low), signed(units, value.high));
    if low == high { low } else { format!("{low} to {high}") }
}

fn gains(units: Units, balance: &Balance) -> Vec<Span> {
    Nutrient::ALL.into_iter().map(|nutrient| plain(gain(units, balance.net(nutrient)))).collect()
}

fn years(page: &mut Page, units: Units, trend: &Trend<'_>) {
    let over = |nutrient: &str| format!("{nutrient}, {}", units.over_ground_sign());
    page.table(Table {
        indent: 1,
        head: head(&["year", "days", "bare", "legumes", &over("N"), &over("P"), &over("K")]),
        right: vec![1, 2, 3, 4, 5, 6],
        rows: trend
            .years
            .iter()
            .map(|year| {
                let mut row = vec![
                    Span::new(Label::Name, year.year.to_string()),
                    plain(format!("{:.0}", year.days)),
                    plain(format!("{:.0}", year.bare_days)),
                    share(year.legumes),
                ];
                row.extend(gains(units, &year.balance));
                row
            })
            .collect(),
    });
    page.line(Line::at(1).text(
        "days: on record; bare: days of a whole year on which nothing stood and no cover was on record, containers left out; legumes: share of the time under plants; N, P, K: what came (put on, fixed by legumes) less what left (picked, carried off, washed out, lost), total and not only what is free to plants",
    ));
}

fn beds(page: &mut Page, units: Units, trend: &Trend<'_>) {
    page.blank();
    page.line(
        Line::at(1)
            .and(Label::Name, "By bed, a mean year")
            .text(format!(" (N, P, K in {})", units.over_ground_sign())),
    );
    page.table(Table {
        indent: 1,
        head: head(&["bed", "since", "bare", "legumes", "N", "P", "K", "soonest return"]),
        right: vec![2, 3, 4, 5, 6],
        rows: trend
            .beds
            .iter()
            .map(|bed| {
                let balance = bed.balance();
                let likely = |nutrient| plain(signed(units, balance.net(nutrient).likely));
                vec![
                    Span::new(Label::Name, &*bed.bed.name),
                    plain(bed.from.format("%Y-%m").to_string()),
                    plain(format!("{:.0}", bed.bare_days())),
                    share(bed.legumes()),
                    likely(Nutrient::Nitrogen),
                    likely(Nutrient::Phosphorus),
                    likely(Nutrient::Potassium),
                    bed.soonest().map_or_else(
                        || plain("none yet"),
                        |soonest| {
                            let label =
                                if soonest.is_too_soon() { Label::Care } else { Label::Plain };
                            let year = soonest.next.planted().format("%Y");
                            Span::new(
                                label,
                                format!(
                                    "{} {year}, {}",
                                    soonest.family,
                                    words::years(soonest.free_years)
                                ),
                            )
                        },
                    ),
                ]
            })
            .collect(),
    });
}

fn families(page: &mut Page, phrases: Phrases<'_>, trend: &Trend<'_>, all: bool) {
    page.blank();
    page.line(
        Line::at(1)
            .and(Label::Name, "How soon families came back to their bed, in years free of them"),
    );
    page.table(Table {
        indent: 1,
        head: head(&["family", "returns", "soonest", "middle", "latest", "sooner than printed"]),
        right: vec![1, 2, 3, 4],
        rows: trend
            .families
            .iter()
            .map(|family| {
                let years = |value: f64| plain(format!("{value:.1}"));
                let label = if family.too_soon > 0 { Label::Care } else { Label::Plain };
                vec![
                    Span::new(Label::Name, &*family.family),
                    plain(family.returns.len().to_string()),
                    years(family.free_years.low),
                    years(family.free_years.likely),
                    years(family.free_years.high),
                    Span::new(
                        label,
                        match family.too_soon {
                            0 => "none".to_owned(),
                            some => some.to_string(),
                        },
                    ),
                ]
            })
            .collect(),
    });
    page.line(Line::at(1).text(
        "sooner than printed: than the shortest return time any source gives for the crop or its family",
    ));
    if all {
        for family in &trend.families {
            for one in &family.returns {
                page.line(return_line(phrases, one));
            }
        }
    }
}

fn return_line(phrases: Phrases<'_>, one: &Return<'_>) -> Line {
    let printed = one.published.map_or_else(
        || "nothing printed".to_owned(),
        |gap| format!("printed {} years", words::range(gap.low, gap.high)),
    );
    Line::at(2)
        .hanging(4)
        .and(Label::Name, one.next.place.to_string())
        .text(format!(
            ": {} {} after {}, {} ({printed}) ",
            phrases.crop(one.next.crop),
            one.next.planted(),
            phrases.crop(one.previous.crop),
            words::years(one.free_years),
        ))
        .and(Label::Source, format!("[{}, {}]", one.previous.origin, one.next.origin))
}

fn doses(page: &mut Page, phrases: Phrases<'_>, trend: &Trend<'_>) {
    if trend.doses.is_empty() {
        return;
    }
    page.blank();
    page.line(Line::at(1).and(
        Label::Name,
        "Share a susceptible crop would lose to what the soil holds, at each year's end and now",
    ));
    let first = trend.doses.iter().flat_map(|one| &one.years).map(|one| one.year).min();
    let last = trend.doses.iter().flat_map(|one| &one.years).map(|one| one.year).max();
    let (Some(first), Some(last)) = (first, last) else { return };
    // So many years as a line holds; the earlier ones are in the JSON.
    let first = first.max(last - 5);
    let mut columns = vec!["bed".to_owned(), "disease".to_owned()];
    columns.extend((first..=last).map(|year| year.to_string()));
    columns.push("range now".to_owned());
    page.table(Table {
        indent: 1,
        head: columns,
        right: (2..=usize::try_from(last - first).unwrap_or(0) + 2).collect(),
        rows: trend
            .doses
            .iter()
            .map(|one| {
                let mut row = vec![
                    Span::new(Label::Name, one.place.to_string()),
                    plain(phrases.short_disease(one.pathogen)),
                ];
                for year in first..=last {
                    let held = one.years.iter().find(|held| held.year == year);
                    row.push(held.map_or_else(
                        || plain("-"),
                        |held| plain(format!("{:.0} %", held.loss.likely * 100.0)),
                    ));
                }
                let now =
                    one.years.last().map_or(String::new(), |held| words::percent_short(held.loss));
                row.push(plain(now));
                row
            })
            .collect(),
    });
}

fn contests(page: &mut Page, phrases: Phrases<'_>, trend: &Trend<'_>, all: bool) {
    page.blank();
    page.line(Line::at(1).and(Label::Name, "Side by side: same crop, same season, same age"));
    if trend.contests.is_empty() {
        page.line(Line::at(1).text(
            "nothing yet: plant two varieties, or grafted and ungrafted, within a month of each other, and weigh both",
        ));
    }
    // One season in different beds tells next to nothing.
    let tells = |contest: &&Contest<'_>| {
        contest.matches.len() > 1 || contest.matches.iter().any(|season| season.same_bed)
    };
    for contest in trend.contests.iter().filter(|contest| all || tells(contest)) {
        page.line(
            Line::at(1)
                .hanging(3)
                .and(Label::Name, phrases.crop(contest.crop))
                .text(format!(": {}", sides_words(&contest.sides))),
        );
        for season in &contest.matches {
            page.line(match_line(phrases, season));
        }
        page.line(Line::at(3).hanging(5).text(words::sentence(&contest_words(contest))));
    }
    let left = trend.contests.iter().filter(|contest| !all && !tells(contest)).count();
    if left > 0 {
        page.line(
            Line::at(1)
                .text(format!("{left} more of one season in different beds (--all shows them)")),
        );
    }
    let judged = trend.contests.iter().filter(|contest| contest.ratio().is_some()).count();
    if judged > 1 {
        page.line(Line::at(1).text(format!(
            "of {judged} comparisons over several seasons one in twenty looks like more than chance by chance alone",
        )));
    }
}

fn sides_words(sides: &Sides) -> String {
    match sides {
        Sides::Grafted => "grafted against the same variety on its own roots".to_owned(),
        Sides::Varieties(one, other) => format!("{one} against {other}"),
    }
}

fn match_line(phrases: Phrases<'_>, season: &Match<'_>) -> Line {
    let beds = if season.same_bed { "in one bed" } else { "in different beds: other soil too" };
    let picked = match (season.one.picked, season.other.picked) {
        (Some(one), Some(other)) => picked_words(phrases.units, (one, other), season.age_days),
        _ => "not both weighed".to_owned(),
    };
    let records: Vec<String> = season
        .one
        .plantings
        .iter()
        .chain(&season.other.plantings)
        .map(|planting| planting.origin.to_string())
        .chain(
            [&season.one, &season.other]
                .into_iter()
                .filter_map(|side| side.sick.map(|seen| seen.origin.to_string())),
        )
        .collect();
    let looked = season.one.looked_at || season.other.looked_at;
    let health = if looked {
        format!("; {} against {}", health(phrases, &season.one), health(phrases, &season.other))
    } else {
        String::new()
    };
    Line::at(3)
        .hanging(5)
        .text(format!("{}, {beds}: {picked}{health} ", season.year))
        .and(Label::Source, format!("[{}]", records.join(", ")))
}

/// A tenth of a kilogram a square metre is a fiftieth of a pound a square foot.
fn picked_words(units: Units, (one, other): (f64, f64), age_days: i64) -> String {
    let figure = |kg_m2| match units.0 {
        UnitSystem::Metric => format!("{kg_m2:.1}"),
        UnitSystem::Us => format!("{:.2}", units.harvest_over_ground(kg_m2)),
    };
    let sign = units.harvest_over_ground_sign();
    format!("{} against {} {sign} by an age of {age_days} days", figure(one), figure(other))
}

fn health(phrases: Phrases<'_>, side: &Side<'_>) -> String {
    let extent = |seen: &Observation| {
        seen.extent.map_or(String::new(), |extent| format!(", {}", extent_words(extent)))
    };
    match (side.sick, side.looked_at) {
        (Some(seen), _) => format!("{}{}", phrases.seen(&seen.seen), extent(seen)),
        (None, true) => "healthy".to_owned(),
        (None, false) => "not looked at".to_owned(),
    }
}

/// What so few seasons allow to say.
fn contest_words(contest: &Contest<'_>) -> String {
    let ratios: Vec<f64> = contest.matches.iter().filter_map(Match::ratio).collect();
    let (one, other) = match &contest.sides {
        Sides::Grafted => ("grafted plants", "plants on their own roots"),
        Sides::Varieties(one, other) => (&**one, &**other),
    };
    let beds_differ = contest.matches.iter().all(|season| !season.same_bed);
    let yields = match (ratios.as_slice(), contest.ratio()) {
        ([], _) | ([_, _, ..], None) => "no harvest to compare".to_owned(),
        ([only], _) => format!(
            "{one} gave {only:.2} times as much as {other}; a single season cannot tell the plants from their place"
        ),
        ([_, _, ..], Some(ratio)) => {
            let sure = match (ratio.brackets(1.0), beds_differ) {
                (true, _) => "it may be chance",
                (false, true) => "hardly chance, but the beds differed each time",
                (false, false) => "hardly chance",
            };
            format!(
                "{one} gave {:.2} times as much as {other} in the mean of {} seasons; the true figure may be {:.2} to {:.2}: {sure}",
                ratio.likely,
                ratios.len(),
                ratio.low,
                ratio.high,
            )
        }
    };
    let ((sick, of), (sick_other, of_other)) = contest.sick();
    if of == 0 || of_other == 0 || sick + sick_other == 0 {
        return yields;
    }
    let chance = sample::parted_by_chance((sick, of), (sick_other, of_other));
    let told =
        if chance < 0.05 { "hardly chance" } else { "so few seasons cannot tell them apart" };
    format!(
        "{yields}; a disease of the bed came in {sick} of {} against {sick_other} of {of_other}: {told}",
        words::count(of, "season"),
    )
}
