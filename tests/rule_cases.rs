//! Each rule of the audit on small gardens written for it: one where it fires, one where it has
//! nothing to say, one where what it would need is not on record.
//!
//! A case is a page under fixtures/rules/<rule>/: prose, record files in fenced blocks, the day of
//! the audit, and the rule's findings as expected. `UPDATE=1` writes what is found into the pages,
//! to be read before it is kept.
#![expect(clippy::disallowed_methods, reason = "the tests read and renew the cases")]

mod support;

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use breakcrop::assess::Evidence;
use breakcrop::audit::{Finding, audit, catalogue};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::RecordKind;
use breakcrop::season::{Date, iso_day};
use breakcrop::view::Phrases;
use pretty_assertions::assert_eq;
use support::{garden_folder, garden_of};

/// The three kinds of case.
const KINDS: [&str; 3] = ["fires", "silent", "unknown"];

fn rules_folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/rules")
}

/// A record file: its name and its text.
type File = (String, String);

/// A case as written.
struct Case {
    files: Vec<File>,
    today: Date,
    expected: String,
}

impl Case {
    /// Blocks fenced by three backticks; the words after the fence say what they are.
    fn read(text: &str, page: &str) -> Self {
        let (mut files, mut expected, mut today) = (Vec::new(), None, None);
        let mut lines = text.lines();
        while let Some(line) = lines.next() {
            if let Some(day) = line.strip_prefix("Audited on ") {
                today = iso_day(day.trim_end_matches([':', '.']));
            }
            let Some(fence) = line.strip_prefix("```") else { continue };
            let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            let block = block.iter().fold(String::new(), |text, line| text + line + "\n");
            match fence.split_once(' ') {
                Some(("csv", name)) => files.push((name.to_owned(), block)),
                _ if fence == "findings" => expected = Some(block),
                _ => panic!("{page}: a block of no known kind: {fence}"),
            }
        }
        Self {
            files,
            today: today.unwrap_or_else(|| panic!("{page}: `Audited on DAY` is missing")),
            expected: expected.unwrap_or_else(|| panic!("{page}: no block of findings")),
        }
    }
}

/// A finding in three lines: how bad and how sure, where and when; the claim; what it rests on.
fn told(phrases: Phrases<'_>, finding: &Finding) -> String {
    let place = finding.place.as_ref().map_or("the garden".to_owned(), ToString::to_string);
    let (mut records, mut sources, mut missing) = (Vec::new(), Vec::new(), 0);
    for leaf in &finding.evidence {
        match leaf {
            Evidence::Record(origin, _) => records.push(origin.to_string()),
            Evidence::Fact(_, citation) => sources.extend(citation.keys().map(str::to_owned)),
            Evidence::Missing(_) => missing += 1,
            Evidence::Figure(_) => {}
        }
    }
    sources.sort();
    sources.dedup();
    let mut text = format!(
        "{} {}, {} confidence, {place}\n  {}\n  records {}\n",
        finding.date,
        finding.severity.word(),
        finding.confidence.word(),
        phrases.finding(finding),
        records.join(", ")
    );
    if !sources.is_empty() {
        let _ = writeln!(text, "  sources {}", sources.join(", "));
    }
    if missing > 0 {
        let _ = writeln!(text, "  missing {missing}");
    }
    text
}

/// The page with its block of findings replaced.
fn renewed(text: &str, findings: &str) -> String {
    let (before, rest) = text.split_once("```findings\n").expect("a block of findings");
    let after = rest.split_once("```\n").map_or("", |(_, after)| after);
    format!("{before}```findings\n{findings}```\n{after}")
}

#[test]
fn every_rule_has_its_three_cases() {
    let mut folders: Vec<String> = fs::read_dir(rules_folder())
        .expect("the folder")
        .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
        .collect();
    folders.sort();
    let ids: Vec<&str> = catalogue().iter().map(|rule| rule.card().id).collect();
    assert_eq!(ids, folders);
    for id in ids {
        let mut pages: Vec<String> = fs::read_dir(rules_folder().join(id))
            .expect("the folder")
            .map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned())
            .collect();
        pages.sort();
        assert_eq!(pages, KINDS.map(|kind| format!("{kind}.md")), "{id}");
    }
}

#[test]
fn every_case_finds_what_it_says() {
    let knowledge = Knowledge::embedded();
    let phrases = Phrases::new(&knowledge);
    let mut amiss = String::new();
    for rule in catalogue() {
        let id = rule.card().id;
        for kind in KINDS {
            let page = format!("{id}/{kind}.md");
            let path = rules_folder().join(&page);
            let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{page}: {error}"));
            assert!(text.starts_with(&format!("# {id}: ")), "{page}: the head names the rule");
            let case = Case::read(&text, &page);
            let garden = garden_of(&knowledge, case.files, &page);
            let found = audit(&knowledge, &Policy::default(), &garden, case.today);
            let findings = found.findings.iter().filter(|finding| finding.rule == id);
            let findings: String = findings.map(|finding| told(phrases, finding)).collect();
            if std::env::var_os("UPDATE").is_some() {
                fs::write(&path, renewed(&text, &findings)).expect("writes");
            } else if case.expected != findings {
                let _ = writeln!(amiss, "{page} finds:\n{findings}instead of:\n{}", case.expected);
            }
            match kind {
                "fires" if findings.is_empty() => {
                    let _ = writeln!(amiss, "{page} finds nothing");
                }
                "silent" if !findings.is_empty() => {
                    let _ = writeln!(amiss, "{page} is not silent:\n{findings}");
                }
                _ => {}
            }
        }
    }
    assert!(amiss.is_empty(), "{amiss}");
}

/// A new rule that shouts, or an old one that falls silent, is seen at once.
#[test]
fn every_rule_over_every_garden() {
    let knowledge = Knowledge::embedded();
    let today = iso_day("2026-10-12").expect("a day");
    let gardens = ["gullcombe_terrace", "kestrel_hollow", "larchwater"];
    let audits = gardens.map(|name| {
        let mut files = Vec::new();
        for entry in fs::read_dir(garden_folder(name)).expect("the garden") {
            let path = entry.expect("a file").path();
            let file = path.file_name().expect("a name").to_string_lossy().into_owned();
            if RecordKind::of_file(&file).is_some() {
                files.push((file, fs::read_to_string(&path).expect("reads")));
            }
        }
        audit(&knowledge, &Policy::default(), &garden_of(&knowledge, files, name), today)
    });
    let mut rules: Vec<&str> = catalogue().iter().map(|rule| rule.card().id).collect();
    rules.extend(["exception_expired", "exception_unmatched"]);
    let mut table = format!("{:<24}", "rule");
    for name in gardens {
        let _ = write!(table, "{name:>20}");
    }
    table.push('\n');
    let mut counted = 0;
    for rule in rules {
        let _ = write!(table, "{rule:<24}");
        for audit in &audits {
            let open = audit.findings.iter().filter(|finding| finding.rule == rule).count();
            let stand = audit.suppressed.iter().filter(|one| one.finding.rule == rule).count();
            counted += open + stand;
            let cell =
                if stand == 0 { open.to_string() } else { format!("{open} + {stand} let stand") };
            let _ = write!(table, "{cell:>20}");
        }
        table.push('\n');
    }
    let all: usize = audits.iter().map(|audit| audit.findings.len() + audit.suppressed.len()).sum();
    assert_eq!(counted, all, "a finding of a rule that the table does not name");
    insta::assert_snapshot!("rules_over_gardens", table);
}
