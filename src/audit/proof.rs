//! Clause by clause: what the records prove of published standards, what speaks against, what is
//! missing.
//!
//! A clause holds on a bed if records of every kind that its rules read are there and no rule found
//! anything; that is proof as far as bed records go, and no certificate. Clauses that records cannot
//! prove say why.

use std::collections::{BTreeMap, BTreeSet};

use super::rules::catalogue;
use super::{Audit, Finding, Severity};
use crate::assess::{Evidence, MissingNote};
use crate::knowledge::{Clause, Knowledge, Role};
use crate::origin::Origin;
use crate::records::{Amount, Garden, Place, Planting, RecordKind};
use crate::season::Date;

/// How a clause stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Records are there and nothing speaks against it.
    Holds,
    /// Something that speaks against it is let stand by an exception of the grower.
    LetStand,
    /// A remark speaks against it: whether that breaks it the inspector must judge.
    Doubtful,
    /// A rule found something that speaks against it.
    Against,
    /// Records that would show it are missing.
    NotShown,
    /// Bed records cannot prove it.
    NotProvable,
}

impl Standing {
    /// The words as printed.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Holds => "holds",
            Self::LetStand => "let stand",
            Self::Doubtful => "in doubt",
            Self::Against => "against",
            Self::NotShown => "not shown",
            Self::NotProvable => "not provable",
        }
    }
}

/// Lines of one file, as ranges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lines {
    /// The file.
    pub file: String,
    /// First and last line of each range.
    pub ranges: Vec<(u32, u32)>,
}

/// A clause on one bed.
#[derive(Clone, Debug)]
pub struct BedProof {
    /// The bed; `None` for the garden as a whole.
    pub bed: Option<Box<str>>,
    /// How it stands there.
    pub standing: Standing,
    /// The records that bear on it.
    pub records: Vec<Lines>,
    /// What speaks against it, by place in the list of cases.
    pub against: Vec<Case>,
    /// What is missing.
    pub missing: Vec<Missing>,
}

/// Something that speaks against a clause.
#[derive(Clone, Debug)]
pub struct Case {
    /// What was found; its `again` is empty.
    pub finding: Finding,
    /// The grower's reason for letting it stand.
    pub let_stand: Option<Box<str>>,
}

/// A record that would be needed.
#[derive(Clone, Debug, PartialEq)]
pub enum Missing {
    /// No record of a kind.
    Kind(RecordKind),
    /// A detail that these lines lack.
    Detail(&'static str, Vec<Lines>),
    /// What a finding misses.
    Note(MissingNote),
}

/// A clause over the whole garden.
#[derive(Clone, Debug)]
pub struct ClauseProof<'k> {
    /// The clause.
    pub clause: &'k Clause,
    /// The worst of its beds.
    pub standing: Standing,
    /// Bed by bed, the garden as a whole last if anything is to be said of it.
    pub beds: Vec<BedProof>,
}

/// Every clause held against a garden's records and an audit of them.
#[must_use]
pub fn proofs<'k>(
    knowledge: &'k Knowledge,
    garden: &Garden,
    audit: &Audit,
    today: Date,
) -> Vec<ClauseProof<'k>> {
    let book = Book::new(knowledge, garden, audit, today);
    knowledge.clauses().iter().map(|clause| book.clause(clause)).collect()
}

/// Where the records of a bed stand, by kind.
type Shelf = BTreeMap<RecordKind, BTreeSet<Origin>>;

/// Records and cases sorted once for all clauses.
struct Book {
    beds: Vec<Box<str>>,
    shelves: BTreeMap<Box<str>, Shelf>,
    /// Site and climate, which belong to every bed.
    common: Shelf,
    cases: BTreeMap<&'static str, Vec<Case>>,
    reads: BTreeMap<&'static str, Vec<RecordKind>>,
    details: BTreeMap<Box<str>, Vec<(&'static str, BTreeSet<Origin>)>>,
}

impl Book {
    fn new(knowledge: &Knowledge, garden: &Garden, audit: &Audit, today: Date) -> Self {
        let reads = catalogue()
            .iter()
            .map(|rule| {
                let kinds = rule.card().reads.iter().filter_map(|word| {
                    RecordKind::ALL.into_iter().find(|kind| kind.word() == *word)
                });
                (rule.card().id, kinds.collect())
            })
            .collect();
        let common = [
            (RecordKind::Site, garden.site.iter().map(|site| site.origin.clone()).collect()),
            (
                RecordKind::Climate,
                garden.climate.iter().map(|month| month.origin.clone()).collect(),
            ),
        ];
        Self {
            beds: garden.beds.iter().map(|bed| bed.name.clone()).collect(),
            shelves: shelves(garden, today),
            common: common.into_iter().collect(),
            cases: cases(audit),
            reads,
            details: details(knowledge, garden, today),
        }
    }

    fn clause<'k>(&self, clause: &'k Clause) -> ClauseProof<'k> {
        if clause.rules.is_empty() {
            return ClauseProof { clause, standing: Standing::NotProvable, beds: Vec::new() };
        }
        let mut beds: Vec<BedProof> =
            self.beds.iter().map(|bed| self.bed(clause, Some(bed))).collect();
        let whole = self.bed(clause, None);
        if !whole.against.is_empty() || self.beds.is_empty() {
            beds.push(whole);
        }
        let worst = |wanted: Standing| beds.iter().any(|bed| bed.standing == wanted);
        let standing = if worst(Standing::Against) {
            Standing::Against
        } else if worst(Standing::Doubtful) {
            Standing::Doubtful
        } else if beds.iter().all(|bed| bed.standing == Standing::NotShown) {
            Standing::NotShown
        } else if worst(Standing::LetStand) {
            Standing::LetStand
        } else {
            Standing::Holds
        };
        ClauseProof { clause, standing, beds }
    }

    fn bed(&self, clause: &Clause, bed: Option<&str>) -> BedProof {
        let of_bed = |place: Option<&Place>| place.map(|place| &*place.bed) == bed;
        let rules = || clause.rules.iter().map(|rule| &**rule);
        let against: Vec<Case> = rules()
            .filter_map(|rule| self.cases.get(rule))
            .flatten()
            .filter(|case| of_bed(case.finding.place.as_ref()))
            // A clause on one disease is not broken by another.
            .filter(|case| {
                let pathogen = case.finding.claim.pathogen();
                clause.pathogens.is_empty()
                    || pathogen.is_some_and(|pathogen| clause.pathogens.contains(&pathogen))
            })
            .cloned()
            .collect();
        let mut kinds: Vec<RecordKind> =
            rules().filter_map(|rule| self.reads.get(rule)).flatten().copied().collect();
        kinds.sort_unstable();
        kinds.dedup();
        let records = bed.and_then(|bed| self.shelves.get(bed));
        let mut missing = Vec::new();
        let mut origins = BTreeSet::new();
        for kind in kinds {
            let here = records.and_then(|shelf| shelf.get(&kind));
            match here.or_else(|| self.common.get(&kind)).filter(|here| !here.is_empty()) {
                Some(here) => origins.extend(here.iter().cloned()),
                None if bed.is_some() => missing.push(Missing::Kind(kind)),
                None => {}
            }
        }
        if rules().any(|rule| rule == "records_incomplete")
            && let Some(details) = bed.and_then(|bed| self.details.get(bed))
        {
            let lacking = details.iter().filter(|(_, lines)| !lines.is_empty());
            missing.extend(lacking.map(|(what, at)| Missing::Detail(what, lines(at))));
        }
        let notes = against.iter().flat_map(|case| &case.finding.evidence);
        for leaf in notes {
            if let Evidence::Missing(note) = leaf
                && !missing.contains(&Missing::Note(note.clone()))
            {
                missing.push(Missing::Note(note.clone()));
            }
        }
        // Nobody has to weigh, feed or treat; but a bed of which nothing is planted or seen shows
        // nothing.
        let silent = !origins
            .iter()
            .any(|origin| !origin.file.starts_with("site") && !origin.file.starts_with("climate"));
        let open = || against.iter().filter(|case| case.let_stand.is_none());
        let standing = if open().any(|case| case.finding.severity > Severity::Remark) {
            Standing::Against
        } else if open().next().is_some() {
            Standing::Doubtful
        } else if !against.is_empty() {
            Standing::LetStand
        } else if silent {
            Standing::NotShown
        } else {
            Standing::Holds
        };
        BedProof { bed: bed.map(Box::from), standing, records: lines(&origins), against, missing }
    }
}

/// Every finding and every other case of it, by rule; those let stand with their reason.
fn cases(audit: &Audit) -> BTreeMap<&'static str, Vec<Case>> {
    let mut cases: BTreeMap<&'static str, Vec<Case>> = BTreeMap::new();
    for finding in &audit.findings {
        let list = cases.entry(finding.rule).or_default();
        list.push(Case {
            finding: Finding { again: Vec::new(), ..finding.clone() },
            let_stand: None,
        });
        list.extend(finding.again.iter().map(|again| Case {
            finding: Finding {
                place: again.place.clone(),
                date: again.date,
                claim: again.claim.clone(),
                evidence: again.evidence.clone(),
                again: Vec::new(),
                ..*finding
            },
            let_stand: None,
        }));
    }
    for one in &audit.suppressed {
        cases
            .entry(one.finding.rule)
            .or_default()
            .push(Case { finding: one.finding.clone(), let_stand: Some(one.reason.clone()) });
    }
    for list in cases.values_mut() {
        list.sort_by(|a, b| {
            (&a.finding.place, a.finding.date).cmp(&(&b.finding.place, b.finding.date))
        });
    }
    cases
}

fn shelves(garden: &Garden, today: Date) -> BTreeMap<Box<str>, Shelf> {
    let mut shelves: BTreeMap<Box<str>, Shelf> = BTreeMap::new();
    let mut put = |bed: &str, kind, date: Option<Date>, origin: &Origin| {
        if date.is_none_or(|date| date <= today) {
            let shelf = shelves.entry(bed.into()).or_default();
            shelf.entry(kind).or_default().insert(origin.clone());
        }
    };
    for one in &garden.beds {
        put(&one.name, RecordKind::Beds, None, &one.origin);
    }
    for one in &garden.plantings {
        put(&one.place.bed, RecordKind::Plantings, Some(one.stood.start), &one.origin);
    }
    for one in &garden.observations {
        put(&one.place.bed, RecordKind::Observations, Some(one.date), &one.origin);
    }
    for one in &garden.harvests {
        put(&one.place.bed, RecordKind::Harvests, Some(one.date), &one.origin);
    }
    for one in &garden.amendments {
        put(&one.place.bed, RecordKind::Amendments, Some(one.date), &one.origin);
    }
    for one in &garden.soil_tests {
        put(&one.place.bed, RecordKind::SoilTests, Some(one.date), &one.origin);
    }
    for one in &garden.treatments {
        put(&one.place.bed, RecordKind::Treatments, Some(one.lasted.start), &one.origin);
    }
    shelves
}

/// Details that clauses on records ask for, with the lines that lack them, by bed.
fn details(
    knowledge: &Knowledge,
    garden: &Garden,
    today: Date,
) -> BTreeMap<Box<str>, Vec<(&'static str, BTreeSet<Origin>)>> {
    let mut details = BTreeMap::new();
    let needs_variety = |one: &Planting| {
        one.variety.is_empty()
            && !matches!(knowledge.crops[one.crop].role, Role::Cover | Role::Fungus)
    };
    for bed in &garden.beds {
        details.insert(
            bed.name.clone(),
            vec![
                ("variety", BTreeSet::new()),
                ("method", BTreeSet::new()),
                ("residue", BTreeSet::new()),
                ("amount", BTreeSet::new()),
            ],
        );
    }
    let made = |one: &&Planting| !one.is_volunteer() && one.stood.start <= today;
    for one in garden.plantings.iter().filter(made) {
        let Some(lists) = details.get_mut(&one.place.bed) else { continue };
        let lacks = [
            needs_variety(one),
            one.method.is_none(),
            one.residue.is_none() && one.stood.end.is_some_and(|end| end <= today),
        ];
        for (list, lacks) in lists.iter_mut().zip(lacks) {
            if lacks {
                list.1.insert(one.origin.clone());
            }
        }
    }
    for one in garden.amendments.iter().filter(|one| one.amount == Amount::Unknown) {
        if let Some(list) = details.get_mut(&one.place.bed).and_then(|lists| lists.get_mut(3)) {
            list.1.insert(one.origin.clone());
        }
    }
    details
}

/// Lines as ranges, file by file.
fn lines(origins: &BTreeSet<Origin>) -> Vec<Lines> {
    let mut files: Vec<Lines> = Vec::new();
    for origin in origins {
        match files.last_mut().filter(|lines| *lines.file == *origin.file) {
            Some(lines) => match lines.ranges.last_mut() {
                Some((_, last)) if *last + 1 == origin.line => *last = origin.line,
                _ => lines.ranges.push((origin.line, origin.line)),
            },
            None => files.push(Lines {
                file: origin.file.to_string(),
                ranges: vec![(origin.line, origin.line)],
            }),
        }
    }
    files
}

#[cfg(test)]
mod tests {
    use super::*;
    use pretty_assertions::assert_eq;

    #[test]
    fn lines_in_a_row_become_a_range() {
        let origins = [("a.csv", 2), ("a.csv", 3), ("a.csv", 5), ("b.csv", 6)]
            .into_iter()
            .map(|(file, line)| Origin::new(file, line))
            .collect();
        let told: Vec<(String, Vec<(u32, u32)>)> =
            lines(&origins).into_iter().map(|lines| (lines.file, lines.ranges)).collect();
        assert_eq!(
            told,
            [("a.csv".to_owned(), vec![(2, 3), (5, 5)]), ("b.csv".to_owned(), vec![(6, 6)]),]
        );
    }
}
