//! The demo garden's planted faults are all found, each by the rule that its note names and on the
//! record it names; what must stay silent does; and a garden without faults gives no finding.
#![expect(clippy::disallowed_methods, reason = "the tests read the gardens")]

mod support;

use std::fs;

use breakcrop::assess::Evidence;
use breakcrop::audit::{Audit, audit, catalogue};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::RecordKind;
use breakcrop::season::iso_day;
use breakcrop::view::Phrases;
use support::{garden_folder, garden_of};

fn audited(name: &str, today: &str) -> Audit {
    let knowledge = Knowledge::embedded();
    let mut files = Vec::new();
    for entry in fs::read_dir(garden_folder(name)).expect("the garden") {
        let path = entry.expect("a file").path();
        let file = path.file_name().expect("a name").to_string_lossy().into_owned();
        if RecordKind::of_file(&file).is_some() {
            files.push((file, fs::read_to_string(&path).expect("reads")));
        }
    }
    let garden = garden_of(&knowledge, files, name);
    audit(&knowledge, &Policy::default(), &garden, iso_day(today).expect("a day"))
}

/// Every rule with a record that a finding of it names, those let stand included.
fn named(found: &Audit) -> Vec<(&'static str, String)> {
    let mut named = Vec::new();
    let mut take = |rule: &'static str, evidence: &[Evidence]| {
        for leaf in evidence {
            if let Evidence::Record(origin, _) = leaf {
                named.push((rule, origin.to_string()));
            }
        }
    };
    for finding in &found.findings {
        take(finding.rule, &finding.evidence);
        for case in &finding.again {
            take(finding.rule, &case.evidence);
        }
    }
    for one in &found.suppressed {
        take(one.finding.rule, &one.finding.evidence);
    }
    named
}

/// The rows of a table of the note: its cells.
fn table(note: &str, heading: &str) -> Vec<Vec<String>> {
    let (_, section) = note.split_once(heading).expect("the heading");
    section
        .lines()
        .skip_while(|line| !line.starts_with('|'))
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .map(|line| line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect())
        .collect()
}

fn parts(cell: &str) -> Vec<&str> {
    cell.split(',').map(str::trim).collect()
}

/// Faults whose rule names none of the places that the note names.
fn not_found(name: &str, found: &[(&str, String)]) -> Vec<String> {
    let note = fs::read_to_string(garden_folder(name).join("NOTE.md")).expect("the note");
    let mut amiss = Vec::new();
    for row in table(&note, "aults put there on purpose") {
        let [id, places, _, rules] = row.as_slice() else { panic!("{row:?}") };
        for rule in parts(rules).into_iter().filter(|rule| *rule != "-") {
            let hit = found
                .iter()
                .any(|(by, at)| *by == rule && parts(places).iter().any(|place| place == at));
            if !hit {
                amiss.push(format!("{name} {id}: {rule} does not name {places}"));
            }
        }
    }
    amiss
}

#[test]
fn every_planted_fault_is_found_and_the_rest_stays_silent() {
    let note =
        fs::read_to_string(garden_folder("gullcombe_terrace").join("NOTE.md")).expect("the note");
    let faults = table(&note, "aults put there on purpose");
    assert!(faults.len() >= 30, "{} faults", faults.len());
    let found = named(&audited("gullcombe_terrace", "2026-10-12"));
    let mut amiss = not_found("gullcombe_terrace", &found);
    for row in table(&note, "## What must stay silent") {
        let [places, _, rules] = row.as_slice() else { panic!("{row:?}") };
        for rule in parts(rules) {
            assert!(catalogue().iter().any(|one| one.card().id == rule), "no rule {rule}");
            for place in parts(places) {
                if found.iter().any(|(by, at)| *by == rule && at == place) {
                    amiss.push(format!("{rule} names {place}"));
                }
            }
        }
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

#[test]
fn the_faults_of_the_other_gardens_are_found() {
    let mut amiss = Vec::new();
    for name in ["kestrel_hollow", "larchwater"] {
        amiss.extend(not_found(name, &named(&audited(name, "2026-10-12"))));
    }
    assert!(amiss.is_empty(), "{}", amiss.join("\n"));
}

#[test]
fn a_clean_garden_gives_no_finding() {
    let knowledge = Knowledge::embedded();
    let found = audited("sorrel_court", "2026-10-12");
    assert!(found.plantings >= 30, "{} plantings", found.plantings);
    let told: Vec<String> = found
        .findings
        .iter()
        .map(|finding| {
            let place = finding.place.as_ref().map_or(String::new(), ToString::to_string);
            let text = Phrases::new(&knowledge).finding(finding);
            format!(
                "{place} {} {}: {text} ({} more)",
                finding.date,
                finding.rule,
                finding.again.len()
            )
        })
        .collect();
    assert!(told.is_empty(), "{}", told.join("\n"));
}
