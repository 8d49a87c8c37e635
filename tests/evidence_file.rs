//! The file for an inspector: well formed, whole, and every record it names is a line of the garden.
#![expect(clippy::disallowed_methods, reason = "the tests read what was written")]

#[path = "support/html.rs"]
mod html;
mod support;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

use breakcrop::audit::{audit, proofs};
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::season::iso_day;
use breakcrop::view::{Phrases, proof_html};
use html::tags;
use pretty_assertions::assert_eq;
use support::{garden_folder, garden_of, run};

#[test]
fn the_demo_gardens_evidence_names_lines_that_are_there() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(run(folder.path(), &["demo"]).code, 0);
    let asked = ["-g", "demo.breakcrop", "--today", "2026-10-12", "audit", "--evidence", "out"];
    let ran = run(folder.path(), &asked);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(ran.stdout.starts_with("95 clauses:"), "{}", ran.stdout);

    let page = fs::read_to_string(folder.path().join("out/evidence.html")).expect("a page");
    let elements = tags(&page);
    let sections: BTreeSet<&str> = elements
        .iter()
        .filter(|tag| tag.name == "section" && tag.within.iter().any(|name| name == "main"))
        .filter_map(|tag| tag.get("id"))
        .collect();
    assert_eq!(sections.len(), 95, "one section a clause");
    for tag in &elements {
        assert!(!["script", "link", "img", "iframe"].contains(&tag.name.as_str()), "{}", tag.name);
        assert!(tag.get("href").is_none() && tag.get("src").is_none(), "no network");
    }
    assert!(elements.iter().any(|tag| tag.name == "html" && tag.get("lang") == Some("en")));

    let mut lengths: BTreeMap<String, usize> = BTreeMap::new();
    for entry in fs::read_dir(garden_folder("gullcombe_terrace")).expect("the garden") {
        let path = entry.expect("a file").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        lengths.insert(name, fs::read_to_string(&path).expect("reads").lines().count());
    }
    let mut table = csv::Reader::from_path(folder.path().join("out/evidence.csv")).expect("opens");
    let mut ids = BTreeSet::new();
    let mut named = 0;
    for row in table.records() {
        let row = row.expect("a row");
        ids.insert(row[0].to_owned());
        let provable = row[5] != *"not provable";
        assert_eq!(provable, row[9].is_empty(), "{}: provable, or why not", &row[0]);
        for lines in row[6].split("; ").filter(|lines| !lines.is_empty()) {
            let (file, ranges) = lines.split_once(':').expect("file:lines");
            for range in ranges.split(", ") {
                let last = range.split('-').next_back().expect("a line");
                let last: usize = last.parse().expect("a number");
                assert!(last <= lengths[file], "{file}:{last}");
                named += 1;
            }
        }
        if row[5] == *"against" || row[5] == *"in doubt" {
            assert!(row[7].contains('['), "{} {}: says what speaks against it", &row[0], &row[4]);
        }
    }
    assert_eq!(ids.len(), 95);
    assert!(named > 500, "{named} ranges of lines");
}

#[test]
fn what_a_grower_writes_is_text_and_not_markup() {
    let knowledge = Knowledge::embedded();
    let files = [
        ("beds.csv", "bed,kind,length_m,width_m\n\"<b>&\"\"\",ground,4,1\n"),
        ("plantings.csv", "bed,crop,planted,removed\n\"<b>&\"\"\",potato,2024-04-01,2024-08-01\n"),
        (
            "exceptions.csv",
            "rule,bed,until,reason\nhistory_unknown,,2027-01-01,<script>alert(1)</script>\n",
        ),
    ];
    let garden = garden_of(&knowledge, files, "odd names");
    let today = iso_day("2024-12-01").expect("a day");
    let found = audit(&knowledge, &Policy::default(), &garden, today);
    let proofs = proofs(&knowledge, &garden, &found, today);
    let page = proof_html(Phrases::new(&knowledge), &proofs, "</title><script>", today);
    assert!(!page.contains("<script"), "a reason became markup");
    let elements = tags(&page);
    assert!(elements.iter().any(|tag| tag.name == "th" && tag.text == "<b>&\""));
    let title = elements.iter().find(|tag| tag.name == "title").expect("a title");
    assert!(title.text.contains("</title><script>"));
}
