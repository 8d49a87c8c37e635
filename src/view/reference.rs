//! What the tables say of a crop, a pathogen, a pair, a source.

use super::evidence::unit_of;
use super::phrase::Phrases;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::knowledge::{CropId, HostRow, Node, PathogenId, Preference, Says, Source};
use crate::units::UnitSystem;

pub(super) fn says_word(says: Says) -> &'static str {
    match says {
        Says::Host => "host",
        Says::Carrier => "carrier",
        Says::PoorHost => "poor host",
        Says::Unknown => "no grade",
        Says::AdvisedBreak => "advised break",
        Says::NonHost => "not a host",
        Says::ResistantCultivars => "resistant cultivars exist",
        Says::Suppressive => "lowers it",
    }
}

/// A crop.
#[must_use]
pub fn crop_page(phrases: Phrases<'_>, crop: CropId) -> Page {
    let knowledge = phrases.knowledge;
    let row = &knowledge.crops[crop];
    let mut page = Page::default();
    page.heading(format!("{} ({})", row.name, row.key));
    let eppo =
        if row.eppo_code.is_empty() { String::new() } else { format!(", EPPO {}", row.eppo_code) };
    let mut line = Line::at(1).text(format!(
        "{}, {}, {}{eppo} ",
        row.scientific_name,
        row.family,
        row.role.word()
    ));
    line.spans.push(phrases.cited(&row.citation));
    page.line(line);
    let mut names: Vec<&str> = knowledge
        .names
        .synonyms()
        .iter()
        .filter(|synonym| {
            synonym.named == crate::knowledge::Named::Crop && *synonym.key == *row.key
        })
        .map(|synonym| &*synonym.name)
        .collect();
    names.sort_unstable();
    if !names.is_empty() {
        page.line(Line::at(1).text(format!("also: {}", names.join(", "))));
    }
    let mut table = Table {
        indent: 1,
        head: ["disease", "it is", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for row in knowledge.hosts.rows().iter().filter(|row| row.crop == crop) {
        table.rows.push(vec![
            Span::new(Label::Name, phrases.disease(row.pathogen)),
            Span::new(Label::Plain, says_word(row.says)),
            phrases.cited(&row.citation),
        ]);
    }
    page.table(table);
    figures(phrases, crop, &mut page);
    page
}

/// Every figure of a crop, conflicting ones side by side, the preferred first.
fn figures(phrases: Phrases<'_>, crop: CropId, page: &mut Page) {
    let knowledge = phrases.knowledge;
    let mut table = Table {
        indent: 1,
        head: ["figure", "value", "", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    let mut last = "";
    for figure in knowledge.figures_of_crop(crop).iter().chain(knowledge.figures_of_cover(crop)) {
        let (name, unit) = unit_of(&figure.field);
        let value = match figure.range {
            Some(range) if !unit.is_empty() && phrases.units.0 == UnitSystem::Us => {
                phrases.units.tabled(range, unit)
            }
            Some(range) if figure.text.is_empty() && range.low < range.high => {
                format!("{} to {}", range.low, range.high)
            }
            Some(range) if figure.text.is_empty() => range.low.to_string(),
            _ => figure.text.to_string(),
        };
        let preference = match figure.preference {
            Preference::Preferred => "",
            Preference::Second => "second source",
            Preference::Weak => "stand-in",
        };
        let name = if last == &*figure.field { String::new() } else { name };
        last = &figure.field;
        let is_turned = !unit.is_empty() && phrases.units.0 == UnitSystem::Us;
        let unit = match &*figure.unit {
            "" if unit.is_empty() || is_turned => String::new(),
            "" => format!(" {unit}"),
            unit => format!(" {unit}"),
        };
        table.rows.push(vec![
            Span::new(Label::Name, name),
            Span::new(Label::Plain, format!("{value}{unit}")),
            Span::new(Label::Unknown, preference),
            phrases.cited(&figure.citation),
        ]);
    }
    page.table(table);
}

fn host_rows(phrases: Phrases<'_>, rows: &[&HostRow], page: &mut Page) {
    let mut table = Table {
        indent: 1,
        head: ["crop", "it is", "what the source adds"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for row in rows {
        table.rows.push(vec![
            Span::new(Label::Name, phrases.crop(row.crop)),
            Span::new(Label::Plain, says_word(row.says)),
            Span::new(Label::Source, format!("{} [{}]", row.note, phrases.source(&row.citation))),
        ]);
    }
    page.table(table);
}

/// A pathogen.
#[must_use]
pub fn pathogen_page(phrases: Phrases<'_>, pathogen: PathogenId) -> Page {
    let knowledge = phrases.knowledge;
    let row = &knowledge.pathogens[pathogen];
    let mut page = Page::default();
    page.heading(format!("{} ({})", row.name, row.key));
    let eppo =
        if row.eppo_code.is_empty() { String::new() } else { format!(", EPPO {}", row.eppo_code) };
    page.line(Line::at(1).text(format!(
        "{}, {}{eppo}; lives in {}",
        row.scientific_name,
        row.kind,
        row.inoculum.join(", ")
    )));
    let survival = row.survival_years.map_or("not published".to_owned(), |years| {
        words::years_range(Some(years.low), Some(years.high), false)
    });
    let open = if row.survival_open { ", no end known" } else { "" };
    for gap in &row.unrecorded {
        page.line(Line::at(1).and(Label::Unknown, format!("not recorded here: its {gap}")));
    }
    let mut line = Line::at(1).text(format!(
        "survival {survival}{open}; rotation {}: {} ",
        row.rotation_effect, row.note
    ));
    line.spans.push(phrases.cited(&row.citation));
    page.line(line);
    for interval in
        knowledge.intervals.rows().iter().filter(|interval| interval.pathogen == Some(pathogen))
    {
        let crop = interval.crop.map_or("any host", |crop| phrases.crop(crop));
        let enough = if interval.enough { "" } else { ", not enough" };
        let mut line = Line::at(1).text(format!(
            "{crop}: {}{enough} ",
            words::years_range(interval.years_min, interval.years_max, interval.open_ended)
        ));
        line.spans.push(phrases.cited(&interval.citation));
        page.line(line);
    }
    let rows: Vec<&HostRow> = knowledge.hosts.of(pathogen).iter().collect();
    host_rows(phrases, &rows, &mut page);
    page
}

/// What links two crops.
#[must_use]
pub fn pair_page(phrases: Phrases<'_>, one: CropId, other: CropId) -> Page {
    let knowledge = phrases.knowledge;
    let mut page = Page::default();
    page.heading(format!("What links {} and {}", phrases.crop(one), phrases.crop(other)));
    let shared = knowledge.graph().shared_pathogens(one, other);
    if let Some(chain) = knowledge.graph().chain(one, other) {
        let names: Vec<String> = chain
            .iter()
            .map(|node| match node {
                Node::Crop(crop) => phrases.crop(*crop).to_owned(),
                Node::Pathogen(pathogen) => phrases.disease(*pathogen).to_owned(),
                Node::Genus(name) | Node::Family(name) => name.to_string(),
            })
            .collect();
        page.line(Line::at(1).text(format!("shortest chain: {}", names.join(" - "))));
        page.lines(super::reference_graph::chain_words(phrases, &chain));
    }
    page.line(
        Line::at(1).text(format!("{} on record for both:", words::count(shared.len(), "disease"))),
    );
    let mut table = Table {
        indent: 1,
        head: vec![
            "disease".into(),
            phrases.crop(one).into(),
            phrases.crop(other).into(),
            "stays with the bed".into(),
        ],
        right: vec![],
        rows: vec![],
    };
    for pathogen in shared {
        let cell = |crop| {
            let standing = knowledge.standing(pathogen, crop);
            let word = standing.witness().map_or("?", |row| says_word(row.says));
            let source = standing
                .witness()
                .map_or(String::new(), |row| format!(" [{}]", phrases.source(&row.citation)));
            Span::new(Label::Plain, format!("{word}{source}"))
        };
        let bound = if knowledge.pathogens[pathogen].is_bound_to_bed() { "yes" } else { "no" };
        table.rows.push(vec![
            Span::new(Label::Name, phrases.disease(pathogen)),
            cell(one),
            cell(other),
            Span::new(Label::Plain, bound),
        ]);
    }
    page.table(table);
    for row in knowledge.sequences.on(one, other) {
        let mut line = Line::at(1).text(format!(
            "{} before {}: {} ",
            row.previous.replace('_', " "),
            row.next.replace('_', " "),
            row.note
        ));
        line.spans.push(phrases.cited(&row.citation));
        page.line(line);
    }
    page
}

/// A source, and the tables that cite it.
#[must_use]
pub fn source_page(phrases: Phrases<'_>, source: &Source) -> Page {
    let mut page = Page::default();
    page.heading(source.key.to_string());
    page.line(Line::at(1).text(source.citation.to_string()));
    page.line(Line::at(1).text(format!("what it is: {}", source.publication.words())));
    if !source.address.is_empty() {
        page.line(Line::at(1).and(Label::Source, source.address.to_string()));
    }
    let cited: Vec<String> = phrases
        .knowledge
        .tables()
        .citing(&source.key)
        .into_iter()
        .map(|(file, rows)| format!("{file} ({})", words::count(rows, "row")))
        .collect();
    if !cited.is_empty() {
        page.line(Line::at(1).text(format!("cited in {}", words::list(&cited))));
    }
    page
}
