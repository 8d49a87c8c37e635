//! `plan`, `calendar`, `walk` and `record` end to end, and a checker of calendar files that reads
//! them octet by octet.
#![expect(clippy::disallowed_methods, reason = "the test writes and reads files")]

mod support;

use std::collections::BTreeSet;
use std::path::Path;

use support::run;

const SITE: &str = "name,latitude,longitude\nMüllers Garten; hinten,34.0,-118.3\n";
const BEDS: &str = "bed,kind,length_m,width_m,records_from\n\
    \"wall, long\",ground,3,1.2,2021-01-01\nB,raised,3,1.2,2021-01-01\n";
const PLANTINGS: &str = "bed,crop,method,planted,removed\n\
    B,tomato,transplanted,2026-04-12,\n\
    \"wall, long\",carrot,sown,2026-03-10,2026-07-01\n";
const WISHES: &str = "crop,mass_kg,month\ngarlic,2,summer\npea,2,spring\nlettuce,3,4\n";

fn garden(folder: &Path) {
    let records = folder.join("records");
    std::fs::create_dir(&records).expect("a folder");
    let climate = support::garden_folder("gullcombe_terrace").join("climate.csv");
    std::fs::copy(climate, records.join("climate.csv")).expect("the climate");
    for (name, text) in [
        ("site.csv", SITE),
        ("beds.csv", BEDS),
        ("plantings.csv", PLANTINGS),
        ("wishes.csv", WISHES),
    ] {
        std::fs::write(records.join(name), text).expect("a record file");
    }
    let ran =
        run(folder, &["--garden", "g.breakcrop", "--today", "2026-10-12", "import", "records"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
}

fn ask(folder: &Path, words: &[&str]) -> support::Ran {
    let mut all = vec!["--garden", "g.breakcrop", "--today", "2026-10-12"];
    all.extend(words);
    run(folder, &all)
}

/// What RFC 5545 asks of a file of all-day events; the events' names, days and summaries.
fn checked(octets: &[u8]) -> Result<Vec<(String, String, String)>, String> {
    let text = std::str::from_utf8(octets).map_err(|error| error.to_string())?;
    if text.replace("\r\n", "").contains(['\r', '\n']) {
        return Err("a line that does not end in CRLF".to_owned());
    }
    let Some(text) = text.strip_suffix("\r\n") else {
        return Err("no CRLF at the end".to_owned());
    };
    let mut lines: Vec<String> = Vec::new();
    for raw in text.split("\r\n") {
        if raw.len() > 75 {
            return Err(format!("{} octets in a line", raw.len()));
        }
        match (raw.strip_prefix([' ', '\t']), lines.last_mut()) {
            (Some(rest), Some(last)) => last.push_str(rest),
            (Some(_), None) => return Err("a folded line at the beginning".to_owned()),
            (None, _) => lines.push(raw.to_owned()),
        }
    }
    if lines.first().map(String::as_str) != Some("BEGIN:VCALENDAR")
        || lines.last().map(String::as_str) != Some("END:VCALENDAR")
    {
        return Err("no calendar around it".to_owned());
    }
    for once in ["VERSION:2.0", "PRODID:"] {
        if lines.iter().filter(|line| line.starts_with(once)).count() != 1 {
            return Err(format!("{once} not once"));
        }
    }
    let mut events = Vec::new();
    let mut names = BTreeSet::new();
    for event in lines.split(|line| line == "BEGIN:VEVENT").skip(1) {
        let value = |name: &str| -> Result<String, String> {
            let mut found = event.iter().filter_map(|line| line.strip_prefix(name));
            match (found.next(), found.next()) {
                (Some(value), None) => Ok(value.to_owned()),
                _ => Err(format!("{name} not once in an event")),
            }
        };
        let uid = value("UID:")?;
        if !names.insert(uid.clone()) {
            return Err(format!("{uid} twice"));
        }
        let stamp = value("DTSTAMP:")?;
        if stamp.len() != 16 || !stamp.ends_with('Z') || stamp.as_bytes()[8] != b'T' {
            return Err(format!("DTSTAMP {stamp}"));
        }
        let (start, end) = (value("DTSTART;VALUE=DATE:")?, value("DTEND;VALUE=DATE:")?);
        let is_day = |day: &str| day.len() == 8 && day.bytes().all(|octet| octet.is_ascii_digit());
        if !is_day(&start) || !is_day(&end) || end <= start {
            return Err(format!("{start} to {end}"));
        }
        let summary = value("SUMMARY:")?;
        let mut characters = summary.chars();
        while let Some(character) = characters.next() {
            match character {
                '\\' if !matches!(characters.next(), Some('\\' | ',' | ';' | 'n' | 'N')) => {
                    return Err(format!("escape in {summary}"));
                }
                ',' | ';' => return Err(format!("{character} not escaped in {summary}")),
                _ => {}
            }
        }
        if !event.iter().any(|line| line == "END:VEVENT") {
            return Err("an event without an end".to_owned());
        }
        events.push((uid, start, summary));
    }
    if events.is_empty() {
        return Err("no event".to_owned());
    }
    Ok(events)
}

#[test]
fn the_checker_finds_what_is_wrong() {
    let good = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:x\r\nBEGIN:VEVENT\r\nUID:a@b\r\n\
        DTSTAMP:20261012T000000Z\r\nDTSTART;VALUE=DATE:20261231\r\nDTEND;VALUE=DATE:20270101\r\n\
        SUMMARY:sow\\, then\r\n  wait\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    assert_eq!(checked(good.as_bytes()).expect("it is good")[0].2, "sow\\, then wait");
    for (from, to) in [
        ("\r\nVERSION", "\nVERSION"),
        ("PRODID:x\r\n", ""),
        ("UID:a@b\r\n", ""),
        ("0000Z", "0000"),
        ("20270101", "20261231"),
        ("sow\\,", "sow,"),
        ("\\,", "\\q"),
        ("SUMMARY:sow", &format!("SUMMARY:{}", "w".repeat(80))),
        ("END:VCALENDAR\r\n", ""),
    ] {
        let bad = good.replacen(from, to, 1);
        assert_ne!(bad, good);
        assert!(checked(bad.as_bytes()).is_err(), "{from} -> {to}");
    }
}

#[test]
fn from_wishes_to_a_calendar_and_a_walk_and_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    garden(folder);
    let plan = ask(folder, &["plan", "--months", "11", "--write", "plan.csv"]);
    assert_eq!(plan.code, 0, "{}", plan.stderr);
    assert!(plan.stdout.contains("no plan is worth more than"), "{}", plan.stdout);
    assert!(plan.stdout.lines().all(|line| line.chars().count() <= 80), "{}", plan.stdout);
    // The plan beside itself differs in nothing.
    let beside = ask(folder, &["plan", "--months", "11", "--against", "plan.csv"]);
    assert!(beside.stdout.contains("only in this plan: 0 plantings"), "{}", beside.stdout);

    let calendar = ask(folder, &["calendar", "--plan", "plan.csv", "--ics", "one.ics", "--csv"]);
    assert_eq!(calendar.code, 0, "{}", calendar.stderr);
    let octets = std::fs::read(folder.join("one.ics")).expect("the calendar");
    let events = checked(&octets).expect("a sound calendar");
    assert_eq!(events.len(), calendar.stdout.lines().count() - 1);
    assert!(events.iter().any(|(_, _, summary)| summary.starts_with("wall\\, long: ")));
    // Garlic is planted as cloves, in every form of the calendar, and its plan says so too.
    assert!(events.iter().any(|(_, _, summary)| summary.ends_with(": plant garlic (cloves)")));
    assert!(calendar.stdout.contains(",plant,") && calendar.stdout.contains(",garlic,plant-"));
    let plan = std::fs::read_to_string(folder.join("plan.csv")).expect("the plan");
    assert!(plan.contains(",garlic,transplanted,") && !plan.contains(",garlic,sown,"), "{plan}");
    // A later run of the same plan: the same names.
    let later = run(
        folder,
        &[
            "--garden",
            "g.breakcrop",
            "--today",
            "2026-10-14",
            "calendar",
            "--plan",
            "plan.csv",
            "--ics",
            "two.ics",
        ],
    );
    assert_eq!(later.code, 0, "{}", later.stderr);
    assert!(later.stdout.contains("Week of "), "{}", later.stdout);
    let again = std::fs::read(folder.join("two.ics")).expect("the calendar");
    assert_eq!(checked(&again).expect("a sound calendar"), events);
    assert_ne!(octets, again, "the day of revision and the number of it differ");

    let walk = ask(folder, &["walk", "--plan", "plan.csv", "--days", "60"]);
    assert!(walk.stdout.contains("[ ] "), "{}", walk.stdout);
    assert!(walk.stdout.lines().all(|line| line.chars().count() <= 80), "{}", walk.stdout);

    let wrong = ask(folder, &["record", "B, tomatoe, healthy"]);
    assert_eq!(wrong.code, 3, "{}", wrong.stdout);
    assert!(wrong.stderr.contains("observations-walk.csv:2"), "{}", wrong.stderr);
    assert!(wrong.stderr.contains("did you mean"), "{}", wrong.stderr);
    assert!(!folder.join("observations-walk.csv").exists());
    for line in ["B, tomato, verticillium wilt, light, one side, wilts by noon", "B,tomato,healthy"]
    {
        let noted = ask(folder, &["record", line]);
        assert_eq!(noted.code, 0, "{}", noted.stderr);
    }
    let file = std::fs::read_to_string(folder.join("observations-walk.csv")).expect("the file");
    assert_eq!(
        file.lines().nth(1),
        Some("B,,2026-10-12,tomato,verticillium wilt,light,suspected,\"one side, wilts by noon\"")
    );
    let bed = ask(folder, &["bed", "B"]);
    assert!(bed.stdout.contains("Verticillium wilt"), "{}", bed.stdout);
    assert!(bed.stdout.contains("observations-walk.csv:2"), "{}", bed.stdout);
}

#[test]
fn a_plan_file_with_faults_is_told_by_line_and_a_lost_bed_by_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    garden(folder);
    let rows = "bed,section,crop,method,planted,removed\nB,,pe,sown,2027-01-16,2027-05-01\n";
    std::fs::write(folder.join("mine.csv"), rows).expect("a file");
    let ran = ask(folder, &["plan", "--keep", "mine.csv"]);
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert!(ran.stderr.contains("mine.csv:2:4"), "{}", ran.stderr);
    let ran = ask(folder, &["plan", "--lost", "B=wilting"]);
    assert!(ran.stderr.contains("unknown disease"), "{}", ran.stderr);
}
