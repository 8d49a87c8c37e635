//! Whatever a name was found to mean, each with its sources.

use super::phrase::Phrases;
use super::reference::{crop_page, pathogen_page, source_page};
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::estimate::Estimate;
use crate::knowledge::{Found, How, Worked, fold};

/// Pages of all things found, one below the other.
#[must_use]
pub fn found_page(phrases: Phrases<'_>, found: &[Found]) -> Page {
    let mut page = Page::default();
    for one in found {
        if !page.blocks.is_empty() {
            page.blank();
        }
        page.extend(match one {
            Found::Crop(crop) => crop_page(phrases, *crop),
            Found::Pathogen(pathogen) => pathogen_page(phrases, *pathogen),
            Found::Cause(key) => cause_page(phrases, key),
            Found::Material(key) => material_page(phrases, key),
            Found::Practice(key) => practice_page(phrases, key),
            Found::Rootstock(key) => rootstock_page(phrases, key),
            Found::Code(code) => code_page(phrases, code),
            Found::Clause(id) => clause_page(phrases, id),
            Found::Source(key) => phrases
                .knowledge
                .sources
                .find(key)
                .map_or_else(Page::default, |source| source_page(phrases, source)),
        });
    }
    page
}

/// What a thing is, its key and its name.
pub(super) fn label(phrases: Phrases<'_>, found: &Found) -> (&'static str, String, String) {
    let knowledge = phrases.knowledge;
    match found {
        Found::Crop(crop) => {
            let row = &knowledge.crops[*crop];
            ("crop", row.key.to_string(), row.name.to_string())
        }
        Found::Pathogen(pathogen) => {
            let row = &knowledge.pathogens[*pathogen];
            ("disease", row.key.to_string(), row.name.to_string())
        }
        Found::Cause(key) => {
            let name = knowledge.symptoms.cause(key).map_or("", |cause| &cause.name);
            ("cause", key.to_string(), name.to_owned())
        }
        Found::Material(key) => {
            let kind = knowledge.materials.find(key).map_or("", |material| &material.kind);
            ("material", key.to_string(), kind.replace('_', " "))
        }
        Found::Practice(key) => ("practice", key.to_string(), key.replace('_', " ")),
        Found::Rootstock(key) => {
            let row = knowledge.rootstocks.rows().iter().find(|row| row.key == *key);
            ("rootstock", key.to_string(), row.map_or("", |row| &row.name).to_owned())
        }
        Found::Code(code) => ("code", code.to_string(), "resistance code".to_owned()),
        Found::Clause(id) => {
            let row = knowledge.clauses().iter().find(|row| row.id == *id);
            ("clause", id.to_string(), row.map_or("", |row| &row.demands).to_owned())
        }
        Found::Source(key) => {
            let title = knowledge.sources.find(key).map_or("", |source| &source.title);
            ("source", key.to_string(), title.to_owned())
        }
    }
}

/// A list of things found.
#[must_use]
pub fn found_list(phrases: Phrases<'_>, found: &[Found]) -> Page {
    let mut page = Page::default();
    let mut table = Table {
        indent: 0,
        head: ["what", "key", "name"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for one in found {
        let (what, key, name) = label(phrases, one);
        table.rows.push(vec![
            Span::new(Label::Plain, what),
            Span::new(Label::Name, key),
            Span::new(Label::Plain, name),
        ]);
    }
    page.table(table);
    page
}

fn cause_page(phrases: Phrases<'_>, key: &str) -> Page {
    let mut page = Page::default();
    let Some(cause) = phrases.knowledge.symptoms.cause(key) else {
        page.heading(key.to_owned());
        page.line(Line::at(1).text(
            "a word of the records: `healthy` is an observation too, `unknown` is a cause not yet told",
        ));
        return page;
    };
    page.heading(format!("{} ({})", cause.name, cause.key));
    let locks = if cause.locks_bed { "bears on what may follow" } else { "does not lock the bed" };
    let mut line = Line::at(1).text(format!("{}, {locks}: {} ", cause.kind, cause.what_it_is));
    line.spans.push(phrases.cited(&cause.citation));
    page.line(line);
    if !cause.remedy.is_empty() {
        page.line(Line::at(1).text(format!("helps: {}", cause.remedy)));
    }
    for row in phrases.knowledge.symptoms.rows().iter().filter(|row| *row.cause == *key) {
        let mut line = Line::at(1).text(format!("on {}: {} ", phrases.crop(row.crop), row.symptom));
        line.spans.push(phrases.cited(&row.citation));
        page.line(line);
    }
    page
}

fn material_page(phrases: Phrases<'_>, key: &str) -> Page {
    let mut page = Page::default();
    page.heading(key.replace('_', " "));
    let Some(row) = phrases.knowledge.materials.find(key) else {
        return page;
    };
    page.line(Line::at(1).text(row.kind.replace('_', " ")));
    let part = |name: &str, figure: Option<Estimate>| {
        figure.map(|figure| format!("{name} {} %", ends(figure)))
    };
    let parts: Vec<String> =
        [part("N", row.n_percent), part("P", row.p_percent), part("K", row.k_percent)]
            .into_iter()
            .flatten()
            .collect();
    let parts =
        if parts.is_empty() { "no analysis in the tables".to_owned() } else { parts.join(", ") };
    let mut line = Line::at(1).text(format!("{parts} ({} basis) ", row.basis));
    line.spans.push(phrases.cited(&row.citation));
    page.line(line);
    page
}

/// Both ends of a figure, to the tenth; small figures as they are.
fn ends(figure: Estimate) -> String {
    let one = |value: f64| if value < 1.0 { format!("{value}") } else { words::number(value) };
    let (low, high) = (one(figure.low), one(figure.high));
    if low == high { low } else { format!("{low} to {high}") }
}

fn practice_page(phrases: Phrases<'_>, key: &str) -> Page {
    let mut page = Page::default();
    page.heading(key.replace('_', " "));
    let knowledge = phrases.knowledge;
    let mut table = Table {
        indent: 1,
        head: ["against", "effect", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for row in knowledge.modifiers().iter().filter(|row| *row.practice == *key) {
        let on = row.crop.map_or(String::new(), |crop| format!(" on {}", phrases.crop(crop)));
        let against = row.pathogen.one().map_or_else(
            || row.pathogen.written(&knowledge.pathogens).to_owned(),
            |pathogen| phrases.disease(pathogen).to_owned(),
        );
        let conditions = if row.conditions.is_empty() {
            String::new()
        } else {
            format!(" ({})", row.conditions)
        };
        let by: Vec<&str> = row.by.iter().map(|crop| phrases.crop(*crop)).collect();
        let by = if by.is_empty() { String::new() } else { format!("by {}: ", by.join(", ")) };
        let worked = match row.worked {
            Worked::Yes => "",
            Worked::No => "without effect: ",
            Worked::Harmful => "harmful: ",
        };
        table.rows.push(vec![
            Span::new(Label::Name, format!("{against}{on}")),
            Span::new(Label::Plain, format!("{by}{worked}{}{conditions}", row.effect)),
            phrases.cited(&row.citation),
        ]);
    }
    if table.rows.is_empty() {
        page.line(Line::at(1).text("no figures in the tables"));
    }
    page.table(table);
    page
}

fn rootstock_page(phrases: Phrases<'_>, key: &str) -> Page {
    let mut page = Page::default();
    let Some(row) = phrases.knowledge.rootstocks.rows().iter().find(|row| *row.key == *key) else {
        return page;
    };
    page.heading(format!("{} ({})", row.name, row.key));
    let scions: Vec<String> =
        row.scions.iter().map(|crop| phrases.crop(*crop).to_owned()).collect();
    let mut line = Line::at(1).text(format!("{}, for {} ", row.species, words::list(&scions)));
    line.spans.push(phrases.cited(&row.citation));
    page.line(line);
    let resists: Vec<String> = row
        .resists
        .iter()
        .zip(&row.races)
        .map(|(pathogen, written)| {
            let race = written
                .split_once(':')
                .map_or(String::new(), |(_, race)| format!(" (race {race})"));
            format!("{}{race}", phrases.disease(*pathogen))
        })
        .collect();
    if !resists.is_empty() {
        page.line(Line::at(1).text(format!("resists {}", words::list(&resists))));
    }
    if !row.limits.is_empty() {
        page.line(Line::at(1).text(format!("limits: {}", row.limits)));
    }
    page
}

fn code_page(phrases: Phrases<'_>, code: &str) -> Page {
    let knowledge = phrases.knowledge;
    let mut page = Page::default();
    page.heading(format!("Resistance code {code}"));
    page.line(Line::at(1).text("read together with the crop: the same letters differ by crop"));
    let mut table = Table {
        indent: 1,
        head: ["crop", "code", "resists", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for row in knowledge.resistances.rows().iter().filter(|row| row.is_written(&fold(code))) {
        let what = row
            .pathogen
            .map_or_else(|| row.note.to_string(), |pathogen| phrases.disease(pathogen).to_owned());
        let races =
            if row.races.is_empty() { String::new() } else { format!(", races {}", row.races) };
        table.rows.push(vec![
            Span::new(Label::Name, phrases.crop(row.crop)),
            Span::new(Label::Plain, row.code.to_string()),
            Span::new(Label::Plain, format!("{what}{races}")),
            phrases.cited(&row.citation),
        ]);
    }
    page.table(table);
    page
}

fn clause_page(phrases: Phrases<'_>, id: &str) -> Page {
    let mut page = Page::default();
    let Some(row) = phrases.knowledge.clauses().iter().find(|row| *row.id == *id) else {
        return page;
    };
    page.heading(format!("{} ({})", row.id, row.clause));
    let mut line = Line::at(1).text(format!("{} ", row.demands));
    line.spans.push(phrases.cited(&row.citation));
    page.line(line);
    if !row.proof.is_empty() {
        page.line(Line::at(1).text(format!("proved by: {}", row.proof)));
    }
    if row.citation.how != How::Read {
        page.line(Line::at(1).and(Label::Unknown, "not read in the document: check the clause"));
    }
    page
}
