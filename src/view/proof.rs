//! What records prove of the clauses of standards: in words, as rows for a spreadsheet, and the list
//! of clauses with the rules that speak of them.

use super::phrase::Phrases;
use super::text::{Label, Line, Page};
use crate::audit::{BedProof, Case, ClauseProof, Lines, Missing, Standing};
use crate::knowledge::Clause;
use crate::records::RecordKind;

/// `plantings.csv:2-18, 40`.
#[must_use]
pub(super) fn lines_words(lines: &Lines) -> String {
    let ranges: Vec<String> = lines
        .ranges
        .iter()
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from}-{to}") })
        .collect();
    format!("{}:{}", lines.file, ranges.join(", "))
}

pub(super) fn all_lines(lines: &[Lines]) -> String {
    lines.iter().map(lines_words).collect::<Vec<_>>().join("; ")
}

impl Phrases<'_> {
    /// A case against a clause: what was found, with its record and rule.
    pub(super) fn case(self, case: &Case) -> String {
        let finding = &case.finding;
        let record = finding.evidence.first().map_or(String::new(), |leaf| self.evidence(leaf).1);
        let stand = case
            .let_stand
            .as_ref()
            .map_or(String::new(), |reason| format!("; let stand: {reason}"));
        let place = finding.place.as_ref().map_or(String::new(), |place| format!("{place} "));
        format!(
            "{place}{}: {} [{}, {record}]{stand}",
            finding.date,
            self.finding(finding),
            finding.rule
        )
    }

    /// A missing record in words.
    pub(super) fn missing_record(self, missing: &Missing) -> String {
        match missing {
            Missing::Kind(kind) => format!("no {} on record", kind_words(*kind)),
            Missing::Detail(what, lines) => format!("{what} blank in {}", all_lines(lines)),
            Missing::Note(note) => self.missing_note(note),
        }
    }
}

fn kind_words(kind: RecordKind) -> String {
    kind.word().replace('_', " ")
}

/// The columns of the table for a spreadsheet.
pub const PROOF_COLUMNS: [&str; 10] = [
    "id",
    "clause",
    "demands",
    "source",
    "bed",
    "standing",
    "records",
    "against",
    "missing",
    "not_provable",
];

/// One row a clause and bed; one row for a clause that records cannot prove.
#[must_use]
pub fn proof_rows(phrases: Phrases<'_>, proofs: &[ClauseProof<'_>]) -> Vec<[String; 10]> {
    let row = |clause: &Clause, bed: &str, standing: Standing, cells: [String; 3]| {
        let [records, against, missing] = cells;
        [
            clause.id.to_string(),
            clause.clause.to_string(),
            clause.demands.to_string(),
            phrases.source(&clause.citation),
            bed.to_owned(),
            standing.words().to_owned(),
            records,
            against,
            missing,
            clause.not_provable.to_string(),
        ]
    };
    let of_bed = |clause: &Clause, bed: &BedProof| {
        let against: Vec<String> = bed.against.iter().map(|case| phrases.case(case)).collect();
        let missing: Vec<String> =
            bed.missing.iter().map(|missing| phrases.missing_record(missing)).collect();
        let cells = [all_lines(&bed.records), against.join("; "), missing.join("; ")];
        row(clause, bed.bed.as_deref().unwrap_or("garden"), bed.standing, cells)
    };
    proofs
        .iter()
        .flat_map(|proof| {
            if proof.beds.is_empty() {
                vec![row(proof.clause, "", proof.standing, Default::default())]
            } else {
                proof.beds.iter().map(|bed| of_bed(proof.clause, bed)).collect()
            }
        })
        .collect()
}

/// The clauses, with the rules that speak of each or why records cannot prove it.
#[must_use]
pub fn clauses_page(phrases: Phrases<'_>, clauses: &[Clause]) -> Page {
    let mut page = Page::default();
    let provable = clauses.iter().filter(|clause| !clause.rules.is_empty()).count();
    page.heading(format!(
        "{} clauses: {provable} that rules of the audit speak of, {} that bed records cannot prove",
        clauses.len(),
        clauses.len() - provable
    ));
    for clause in clauses {
        page.line(
            Line { indent: 1, hang: 4, spans: Vec::new() }
                .and(Label::Name, &*clause.id)
                .text(format!(" {}: {} ", clause.clause, clause.demands))
                .and(Label::Source, format!("[{}]", phrases.source(&clause.citation))),
        );
        let line = Line { indent: 4, hang: 6, spans: Vec::new() };
        page.line(if clause.rules.is_empty() {
            line.and(Label::Unknown, "not provable").text(format!(": {}", clause.not_provable))
        } else {
            line.text(format!("rules: {}", clause.rules.join(", ")))
        });
    }
    page
}

/// How many clauses stand how, and where the files lie.
#[must_use]
pub fn proof_page(proofs: &[ClauseProof<'_>], files: &[String]) -> Page {
    let mut page = Page::default();
    let count =
        |standing: Standing| proofs.iter().filter(|proof| proof.standing == standing).count();
    page.heading(format!(
        "{} clauses: {} hold, {} in doubt, {} with findings against, {} let stand, {} not shown, {} not provable",
        proofs.len(),
        count(Standing::Holds),
        count(Standing::Doubtful),
        count(Standing::Against),
        count(Standing::LetStand),
        count(Standing::NotShown),
        count(Standing::NotProvable),
    ));
    for file in files {
        page.line(Line::at(1).text("written: ").and(Label::Command, file));
    }
    page
}
