//! The report in a real browser: nothing on the console, nothing fetched, no sideways scrolling,
//! every link leads somewhere, every picture has a name. Prints what it counted; pictures are kept
//! under the build folder, to be looked at.
//!
//! Without a browser on the machine it says so and is passed over; with `BREAKCROP_NEEDS_BROWSER` in
//! the environment, as in `.ci/run`, that is a failure.
#![expect(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "the test reads files and the environment, and says what it counted or passed over"
)]

#[path = "support/browser.rs"]
mod browser;
#[path = "support/odd_garden.rs"]
mod odd_garden;
mod support;

use std::fs;
use std::path::{Path, PathBuf};

use browser::Browser;
use odd_garden::odd_garden;
use serde_json::Value;
use support::run;

/// Widths looked at: a narrow phone, a tablet, a desk.
const WIDTHS: [u32; 3] = [320, 768, 1280];

fn pictures() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("report");
    fs::create_dir_all(&folder).expect("a folder for pictures");
    folder
}

/// The demo garden's report.
fn demo_report(folder: &Path) -> PathBuf {
    assert_eq!(run(folder, &["demo"]).code, 0);
    let written = run(
        folder,
        &["-g", "demo.breakcrop", "--today", "2026-10-12", "report", "--file", "demo.html"],
    );
    assert_eq!(written.code, 0, "{}", written.stderr);
    folder.join("demo.html")
}

/// What the page said or fetched by itself.
fn noise(browser: &Browser) -> Vec<String> {
    browser
        .events
        .iter()
        .filter_map(|event| {
            let parameters = &event["params"];
            match event["method"].as_str()? {
                "Log.entryAdded" => Some(parameters["entry"]["text"].to_string()),
                "Runtime.consoleAPICalled" | "Runtime.exceptionThrown" => {
                    Some(parameters.to_string())
                }
                "Network.requestWillBeSent" if parameters["type"] != "Document" => {
                    Some(parameters["request"]["url"].to_string())
                }
                _ => None,
            }
        })
        .collect()
}

/// Elements that stick out of the page and lie in no box of their own that scrolls.
const STICKS_OUT: &str = "[...document.querySelectorAll('body *')].filter(e => { \
    const b = e.getBoundingClientRect(); \
    return b.width > 0 && b.right > document.documentElement.clientWidth + 0.5 \
      && !e.closest('.scroll') && !e.closest('.skip') && !e.closest('defs'); \
  }).slice(0, 5).map(e => e.tagName + '.' + e.className.baseVal + '|' + e.className + ' ' + e.textContent.slice(0, 40))";
const PAGE_WIDTH: &str = "document.documentElement.scrollWidth";
const LOST_LINKS: &str = "[...document.querySelectorAll('a[href^=\"#\"]')] \
  .map(a => a.getAttribute('href').slice(1)).filter(id => !document.getElementById(id))";
const LINKS: &str = "document.querySelectorAll('a[href^=\"#\"]').length";
const TWICE: &str = "(() => { const ids = [...document.querySelectorAll('[id]')].map(e => e.id); \
  return ids.filter((id, at) => ids.indexOf(id) !== at); })()";

/// Nodes of the accessibility tree that need a name, with those that have none.
fn names(browser: &mut Browser) -> (usize, Vec<String>) {
    const NEED: [&str; 8] =
        ["image", "img", "region", "link", "heading", "table", "navigation", "group"];
    let tree = browser.ask("Accessibility.getFullAXTree", &serde_json::json!({}));
    let nodes = tree["nodes"].as_array().expect("nodes");
    let asked: Vec<&Value> = nodes
        .iter()
        .filter(|node| node["ignored"] != true)
        .filter(|node| node["role"]["value"].as_str().is_some_and(|role| NEED.contains(&role)))
        .collect();
    let bare = asked
        .iter()
        .filter(|node| node["name"]["value"].as_str().unwrap_or_default().trim().is_empty())
        .filter(|node| node["role"]["value"] != "group")
        .map(|node| node["role"]["value"].to_string())
        .collect();
    (asked.len(), bare)
}

/// The browser, unless there is none and none is needed.
fn started() -> Option<(String, Browser)> {
    let Some(name) = browser::find() else {
        let needed = std::env::var_os("BREAKCROP_NEEDS_BROWSER").is_some();
        assert!(!needed, "no Chromium on this machine, and it is needed here");
        println!("PASSED OVER: no Chromium on this machine; the report was not looked at");
        return None;
    };
    let browser = Browser::start(&name);
    Some((name, browser))
}

/// Holds an opened page against what must be true at any width, folded and unfolded.
fn holds(browser: &mut Browser, width: u32) {
    for state in ["as it opens", "with all opened"] {
        let wide = browser.value(PAGE_WIDTH).as_u64().expect("a width");
        let out = browser.value(STICKS_OUT);
        assert!(wide <= u64::from(width), "{wide} wide at {width}, {state}: {out}");
        assert_eq!(out, serde_json::json!([]), "sticks out at {width}, {state}");
        browser.value("document.querySelectorAll('details').forEach(d => d.open = true)");
    }
    browser.value("document.querySelectorAll('details').forEach(d => d.open = false)");
    let noise = noise(browser);
    assert!(noise.is_empty(), "{noise:#?}");
}

/// Keeps a picture from a height of the page on.
fn keep(browser: &mut Browser, name: &str, width: u32, top: f64) {
    let picture = browser.picture(width, top, 2600.0);
    fs::write(pictures().join(name), picture).expect("a picture");
}

#[test]
fn the_report_holds_in_a_browser() {
    let Some((name, mut browser)) = started() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    let report = demo_report(folder.path());
    for width in WIDTHS {
        browser.open(&report, width);
        holds(&mut browser, width);
        keep(&mut browser, &format!("{width}.png"), width, 0.0);
        let bed = browser.value("document.getElementById('bed-2').offsetTop");
        keep(&mut browser, &format!("{width}-bed.png"), width, bed.as_f64().expect("a height"));
    }
    assert_eq!(browser.value(LOST_LINKS), serde_json::json!([]), "links that lead nowhere");
    assert_eq!(browser.value(TWICE), serde_json::json!([]), "ids given twice");
    let links = browser.value(LINKS).as_u64().expect("a number");
    let (named, bare) = names(&mut browser);
    assert!(bare.is_empty(), "without a name: {bare:?}");
    println!(
        "{name}: {} widths, {links} links, {named} named nodes, pictures in {}",
        WIDTHS.len(),
        pictures().display()
    );
}

#[test]
fn odd_names_break_no_layout() {
    let Some((_, mut browser)) = started() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    odd_garden(folder.path());
    let ran = run(folder.path(), &["-g", "odd.breakcrop", "--today", "2026-06-01", "report"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let report = folder.path().join("report.html");
    for width in WIDTHS {
        browser.open(&report, width);
        holds(&mut browser, width);
        keep(&mut browser, &format!("{width}-odd.png"), width, 0.0);
    }
    assert_eq!(browser.value("document.querySelectorAll('[onload], script').length"), 0);
    let (named, bare) = names(&mut browser);
    assert!(bare.is_empty(), "without a name: {bare:?}");
    println!("odd names: {} widths, {named} named nodes", WIDTHS.len());
    fs::write(pictures().join("printed.pdf"), browser.printed()).expect("a document");
}
