//! Answers of the graph: what breaks several diseases, what carries one over, how one bears on a
//! crop.

use super::phrase::Phrases;
use super::reference::says_word;
use super::text::{Label, Line, Page, Span, Table};
use super::words;
use crate::knowledge::{BreakCrop, Breaks, CropId, HostStatus, Link, Node, PathogenId, Step, Turn};

fn diseases(phrases: Phrases<'_>, pathogens: &[PathogenId]) -> String {
    let names: Vec<String> =
        pathogens.iter().map(|pathogen| phrases.disease(*pathogen).to_owned()).collect();
    words::list(&names)
}

fn status_word(status: HostStatus) -> &'static str {
    match status {
        HostStatus::Host => "host",
        HostStatus::WeakHost => "weak host",
        HostStatus::InferredHost => "host, inferred",
        HostStatus::Carrier => "carrier",
        HostStatus::PoorHost => "poor host",
        HostStatus::Ungraded => "no grade",
        HostStatus::Unrecorded => "not recorded",
        HostStatus::AdvisedBreak => "advised break",
        HostStatus::OutsideRange => "outside its host range, inferred",
        HostStatus::NonHost => "not a host",
    }
}

/// Crops that break several diseases at once.
#[must_use]
pub fn breaks_page(phrases: Phrases<'_>, pathogens: &[PathogenId], breaks: &Breaks) -> Page {
    let mut page = Page::default();
    page.heading(format!("Crops that break {}", diseases(phrases, pathogens)));
    if breaks.all.is_empty() {
        page.line(Line::at(1).text("no one crop is known to break all of them"));
    } else {
        page.line(Line::at(1).text(format!(
            "{} keep none of them alive and are said to break each:",
            words::count(breaks.all.len(), "crop")
        )));
        page.table(crops_table(phrases, &breaks.all));
    }
    if !breaks.together.is_empty() {
        page.line(Line::at(1).text(format!(
            "one after the other, {} do:",
            words::count(breaks.together.len(), "crop")
        )));
        page.table(crops_table(phrases, &breaks.together));
    }
    if !breaks.unbroken.is_empty() {
        page.line(Line::at(1).and(Label::Unknown, "nothing known breaks ").text(format!(
            "{} without keeping another of them",
            diseases(phrases, &breaks.unbroken)
        )));
    }
    page
}

fn crops_table(phrases: Phrases<'_>, crops: &[BreakCrop]) -> Table {
    let mut table = Table {
        indent: 1,
        head: ["crop", "disease", "it is", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for one in crops {
        let mut name = phrases.crop(one.crop);
        for (pathogen, status) in &one.breaks {
            let standing = phrases.knowledge.standing(*pathogen, one.crop);
            let source = standing.witness().map_or_else(
                || phrases.knowledge.pathogens[*pathogen].citation.clone(),
                |row| row.citation.clone(),
            );
            let lowers = if one.lowers.contains(pathogen) { ", lowers it" } else { "" };
            table.rows.push(vec![
                Span::new(Label::Name, name),
                Span::new(Label::Plain, phrases.disease(*pathogen)),
                Span::new(Label::Plain, format!("{}{lowers}", status_word(*status))),
                phrases.cited(&source),
            ]);
            name = "";
        }
    }
    table
}

/// Weeds and covers that carry a disease over.
#[must_use]
pub fn bridges_page(phrases: Phrases<'_>, pathogen: PathogenId) -> Page {
    let knowledge = phrases.knowledge;
    let mut page = Page::default();
    page.heading(format!("What carries {} from host to host", phrases.disease(pathogen)));
    let crops = knowledge.green_bridges(pathogen);
    if crops.is_empty() {
        page.line(Line::at(1).text("no weed or cover of the tables is on record as its host"));
    }
    let mut table = Table {
        indent: 1,
        head: ["plant", "kind", "it is", "source"].map(String::from).to_vec(),
        right: vec![],
        rows: vec![],
    };
    for crop in crops {
        let standing = knowledge.standing(pathogen, crop);
        let Some(row) = standing.witness() else { continue };
        table.rows.push(vec![
            Span::new(Label::Name, phrases.crop(crop)),
            Span::new(Label::Plain, knowledge.crops[crop].role.word()),
            Span::new(Label::Plain, says_word(row.says)),
            phrases.cited(&row.citation),
        ]);
    }
    page.table(table);
    let raised = knowledge
        .bridges()
        .iter()
        .filter(|row| row.pathogen.is(pathogen) && row.effect == Turn::Raises);
    for row in raised {
        let cover = row.cover.written(&knowledge.crops).replace('_', " ");
        let mut line = Line::at(1).text(format!("{cover} raises it: {} ", row.finding));
        line.spans.push(phrases.cited(&row.citation));
        page.line(line);
    }
    page
}

/// How a disease seen on one crop bears on another.
#[must_use]
pub fn path_page(
    phrases: Phrases<'_>,
    from: CropId,
    pathogen: PathogenId,
    to: CropId,
    path: Option<&[Step]>,
) -> Page {
    let mut page = Page::default();
    page.heading(format!(
        "How {} on {} bears on {}",
        phrases.disease(pathogen),
        phrases.crop(from),
        phrases.crop(to)
    ));
    let Some(path) = path else {
        page.line(Line::at(1).text(
            "no row and no relative leads there; that is no proof that it does not bear on it",
        ));
        return page;
    };
    for pair in path.windows(2) {
        page.line(step(phrases, &pair[0].to, &pair[1]));
    }
    let standing = phrases.knowledge.standing(pathogen, to);
    page.line(Line::at(1).text(format!(
        "so {} counts as: {}",
        phrases.crop(to),
        status_word(standing.status)
    )));
    page
}

fn node(phrases: Phrases<'_>, node: &Node) -> String {
    match node {
        Node::Crop(crop) => phrases.crop(*crop).to_owned(),
        Node::Pathogen(pathogen) => phrases.disease(*pathogen).to_owned(),
        Node::Genus(name) | Node::Family(name) => name.to_string(),
    }
}

fn step(phrases: Phrases<'_>, from: &Node, step: &Step) -> Line {
    let names = format!("{} - {}: ", node(phrases, from), node(phrases, &step.to));
    let line = Line::at(1).and(Label::Name, names);
    match step.link {
        None => line,
        Some(Link::BelongsTo) => line.text("related; what follows is inferred"),
        Some(Link::MemberOf) => line.text("one of the group"),
        Some(Link::Says(says, place)) => {
            let row = &phrases.knowledge.hosts.rows()[place];
            let mut line = line.text(format!("{} ", says_word(says)));
            line.spans.push(phrases.cited(&row.citation));
            line
        }
    }
}

/// The chain between two crops, each step with its source.
pub(super) fn chain_words(phrases: Phrases<'_>, path: &[Node]) -> Vec<Line> {
    path.windows(2)
        .filter_map(|pair| {
            let (pathogen, crop) = match (&pair[0], &pair[1]) {
                (Node::Pathogen(pathogen), Node::Crop(crop))
                | (Node::Crop(crop), Node::Pathogen(pathogen)) => (*pathogen, *crop),
                _ => return None,
            };
            let standing = phrases.knowledge.standing(pathogen, crop);
            let row = standing.witness()?;
            Some(Line::at(3).hanging(5).text(format!(
                "{} and {}: {} [{}]",
                phrases.crop(crop),
                phrases.disease(pathogen),
                says_word(row.says),
                phrases.source(&row.citation)
            )))
        })
        .collect()
}
