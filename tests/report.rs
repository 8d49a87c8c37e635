//! The report as text: well formed, nothing that runs or is fetched, words and a table beside every
//! picture, the five questions answered, names that try to break out kept as names.
#![expect(clippy::disallowed_methods, reason = "the test reads and writes files")]

#[path = "support/html.rs"]
mod html;
#[path = "support/odd_garden.rs"]
mod odd_garden;
mod support;

use std::collections::BTreeSet;
use std::fs;

use html::{Tag, tags};
use odd_garden::{names, odd_garden};
use sha2::{Digest, Sha256};
use support::{garden_folder, run};

/// A report of a fixture garden.
fn report_of(garden: &str, today: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let records = garden_folder(garden).display().to_string();
    let global = ["-g", "g.breakcrop", "--today", today];
    for command in [&["import", &records][..], &["report"][..]] {
        let ran = run(folder.path(), &[&global, command].concat());
        assert_eq!(ran.code, 0, "{command:?}: {}", ran.stderr);
    }
    fs::read_to_string(folder.path().join("report.html")).expect("the report")
}

fn of<'t>(all: &'t [Tag], name: &'t str) -> impl Iterator<Item = &'t Tag> {
    all.iter().filter(move |tag| tag.name == name)
}

/// What must hold for any garden.
fn check(text: &str) -> Vec<Tag> {
    let all = tags(text);
    assert_eq!(of(&all, "html").next().and_then(|tag| tag.get("lang")), Some("en"));
    assert_eq!(of(&all, "title").filter(|tag| tag.within == ["html", "head"]).count(), 1);
    assert_eq!(
        of(&all, "script").count() + of(&all, "iframe").count() + of(&all, "img").count(),
        0
    );
    for tag in &all {
        for (name, value) in &tag.attributes {
            assert!(!name.starts_with("on"), "{name} on {}", tag.name);
            assert_ne!(name, "style", "the policy would refuse it");
            assert!(!matches!(name.as_str(), "src" | "srcset" | "xlink:href"), "{name}={value}");
        }
    }
    let policy = of(&all, "meta")
        .find(|tag| tag.get("http-equiv") == Some("Content-Security-Policy"))
        .and_then(|tag| tag.get("content"))
        .expect("a policy");
    assert!(policy.starts_with("default-src 'none'; style-src 'sha256-"), "{policy}");
    let ids: Vec<&str> = all.iter().filter_map(|tag| tag.get("id")).collect();
    let known: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), known.len(), "an id is given twice");
    for tag in &all {
        if let Some(target) = tag.get("href").and_then(|href| href.strip_prefix('#')) {
            assert!(known.contains(target), "#{target} leads nowhere");
        }
        for target in tag.get("aria-labelledby").unwrap_or_default().split_whitespace() {
            assert!(known.contains(target), "aria-labelledby={target}");
        }
        if let Some(fill) = tag.get("fill").and_then(|fill| fill.strip_prefix("url(#")) {
            assert!(known.contains(fill.trim_end_matches(')')), "fill {fill}");
        }
    }
    for picture in of(&all, "svg") {
        let named = ["aria-labelledby", "aria-label", "aria-hidden"];
        assert!(named.iter().any(|name| picture.get(name).is_some()), "{picture:?}");
    }
    let mut level = 0;
    for tag in &all {
        let Some(next) = tag.name.strip_prefix('h').and_then(|rest| rest.parse::<u32>().ok())
        else {
            continue;
        };
        assert!(next <= level + 1, "a heading of level {next} under one of level {level}");
        assert!(!tag.text.trim().is_empty(), "an empty heading");
        level = next;
    }
    let tables = of(&all, "table").count();
    assert_eq!(of(&all, "caption").count(), tables, "every table has a caption");
    all
}

#[test]
fn the_demo_report_is_small_and_answers_the_five_questions_of_every_place() {
    let text = report_of("gullcombe_terrace", "2026-10-12");
    assert!(text.len() < 1_500_000, "{} bytes", text.len());
    let all = check(&text);
    let sheets = of(&all, "section").filter(|tag| tag.get("class") == Some("sheet")).count();
    assert_eq!(sheets, 22);
    let asked = ["What stands?", "What ails?", "What can follow?", "To do this month", "Why?"];
    for question in asked {
        let answers = of(&all, "dt").filter(|tag| tag.text == question).count();
        assert_eq!(answers, sheets, "{question}");
        assert_eq!(of(&all, "h3").filter(|tag| tag.text == question).count(), 1, "{question}");
    }
    // The answers come before the pictures of their section.
    for sheet in text.split("<section class=\"sheet\"").skip(1) {
        let (five, figure) = (sheet.find("<dl class=\"five\">"), sheet.find("<figure"));
        assert!(five.expect("answers") < figure.expect("pictures"));
    }
    // A picture of what stood, of each dose and of the books has its table in the same sheet.
    let figures = of(&all, "figure").filter(|tag| tag.get("class") == Some("log")).count();
    assert!(figures >= 2 * sheets, "{figures} logs");
    let summaries = |words: &str| of(&all, "summary").filter(|tag| tag.text == words).count();
    assert_eq!(summaries("The core as a table"), sheets);
    assert_eq!(summaries("The books of nutrients by month"), sheets);
    println!(
        "{} kB, {sheets} sheets, {figures} logs, {} tables, {} links, {} sources",
        text.len() / 1000,
        of(&all, "table").count(),
        of(&all, "a").count(),
        of(&all, "div").filter(|tag| tag.within.last().is_some_and(|last| last == "dl")).count(),
    );
}

#[test]
fn the_answers_of_the_demo_name_what_a_grower_would_look_for() {
    let text = report_of("gullcombe_terrace", "2026-10-12");
    let sheet = |name: &str| {
        let head = format!("<span class=\"stake\"><bdi>{name}</bdi></span></h2>");
        let from = text.find(&head).unwrap_or_else(|| panic!("no sheet {name}"));
        text[from..].split("<div class=\"logs\">").next().expect("answers").to_owned()
    };
    for (name, words) in [
        ("L1", vec!["tomato", "may be Verticillium wilt", "Look"]),
        ("L2/east", vec!["Verticillium wilt", "WAIT until 2030-09-07</span> strawberry"]),
        ("L3", vec!["Allium white rot", "garlic"]),
        ("M3", vec!["nothing since 2026-10-03", "Start"]),
        ("U2/patch", vec!["self-sown", "Pull", "Phytophthora blight"]),
    ] {
        let answers = sheet(name);
        for word in words {
            assert!(answers.contains(word), "{name}: {word} in {answers}");
        }
    }
}

#[test]
fn gardens_without_wishes_plan_or_climate_have_a_report_too() {
    for (garden, today) in [("kestrel_hollow", "2026-06-01"), ("larchwater", "2026-06-01")] {
        check(&report_of(garden, today));
    }
    let folder = tempfile::tempdir().expect("a folder");
    let records = folder.path().join("bare");
    fs::create_dir(&records).expect("a folder");
    fs::write(records.join("beds.csv"), "bed,kind,length_m,width_m\na,ground,2,1\n").expect("beds");
    assert_eq!(run(folder.path(), &["import", "bare"]).code, 0);
    let ran = run(folder.path(), &["--today", "2026-06-01", "report"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let text = fs::read_to_string(folder.path().join("report.html")).expect("the report");
    check(&text);
    assert!(text.contains("No wishes are written"));
}

#[test]
fn a_plan_becomes_a_chapter_and_its_calendar_another() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(run(folder.path(), &["demo"]).code, 0);
    let plan = "bed,crop,planted,removed\nM3,fava bean,2026-10-16,2027-03-01\n";
    fs::write(folder.path().join("plan.csv"), plan).expect("a plan");
    let global = ["-g", "demo.breakcrop", "--today", "2026-10-12"];
    let ran = run(folder.path(), &[&global[..], &["report", "--plan", "plan.csv"]].concat());
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let text = fs::read_to_string(folder.path().join("report.html")).expect("the report");
    check(&text);
    let chapter = text.split("id=\"plan-of-seasons\"").nth(1).expect("the chapter");
    let chapter = chapter.split("</section>").next().expect("its end");
    assert!(chapter.contains("fava bean") && chapter.contains("2026-10-16"), "{chapter}");
    let weeks = text.split("id=\"calendar\"").nth(1).expect("the calendar");
    let weeks = weeks.split("</section>").next().expect("its end");
    assert!(weeks.contains("Week of 12 Oct 2026") && weeks.contains("fava bean"), "{weeks}");
    let none = run(folder.path(), &[&global[..], &["report", "--plan", "none.csv"]].concat());
    assert_eq!(none.code, 3);
}

#[test]
fn odd_names_stay_names() {
    let folder = tempfile::tempdir().expect("a folder");
    odd_garden(folder.path());
    let ran = run(folder.path(), &["-g", "odd.breakcrop", "--today", "2026-06-01", "report"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let text = fs::read_to_string(folder.path().join("report.html")).expect("the report");
    let all = check(&text);
    assert!(!text.contains("<svg onload"), "a name broke out");
    assert_eq!(of(&all, "b").count(), 0, "the garden's name broke out of the title");
    for name in names() {
        let heads = of(&all, "bdi").filter(|tag| tag.text.starts_with(&name));
        assert!(heads.count() >= 1, "{name:?} is not told whole");
    }
}

#[test]
fn odd_names_break_no_line_of_the_terminal() {
    let folder = tempfile::tempdir().expect("a folder");
    odd_garden(folder.path());
    let global = ["-g", "odd.breakcrop", "--today", "2026-06-01", "--width", "80"];
    let first = names()[0].clone();
    let long = names()[3].clone();
    for question in [
        vec!["beds"],
        vec!["bed", &first],
        vec!["bed", &long],
        vec!["follow", &long],
        vec!["assess", &first, "strawberry"],
        vec!["soil", &long],
        vec!["audit", "--all"],
        vec!["diagnose", &long],
    ] {
        let ran = run(folder.path(), &[&global[..], &question[..]].concat());
        assert!(ran.code <= 1, "{question:?}: {}", ran.stderr);
        for line in ran.stdout.lines() {
            let wide = unicode_width::UnicodeWidthStr::width(line);
            assert!(wide <= 80, "{wide} columns: {line:?}");
            let turned = line
                .chars()
                .any(|one| matches!(one, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'));
            assert!(!turned, "a mark that turns the line: {line:?}");
        }
    }
}

#[test]
fn the_policy_names_the_style_sheet_by_its_digest() {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let digest = Sha256::digest(breakcrop::render::STYLE.as_bytes());
    let mut text = String::from("sha256-");
    for three in digest.chunks(3) {
        let mut word = [0_u8; 3];
        word[..three.len()].copy_from_slice(three);
        let bits = u32::from_be_bytes([0, word[0], word[1], word[2]]);
        for at in 0..4 {
            let digit = DIGITS[(bits >> (18 - 6 * at) & 63) as usize];
            text.push(if at <= three.len() { char::from(digit) } else { '=' });
        }
    }
    assert_eq!(
        breakcrop::render::STYLE_DIGEST,
        text,
        "write this digest into render/html/style.rs"
    );
}
