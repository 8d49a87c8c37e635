//! Gardens as JSON lines: each answered in its place, in order, whatever its neighbours are.

mod support;

use std::io::Write;
use std::process::{Command, Stdio};

use pretty_assertions::assert_eq;
use serde_json::{Value, json};
use support::{garden_folder, run};

/// What the command answers to some lines.
fn answers(command: &[&str], lines: &[u8]) -> Vec<Value> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_breakcrop"))
        .args(["--today", "2026-10-12"])
        .args(command)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("starts");
    let mut input = child.stdin.take().expect("is piped");
    let lines = lines.to_vec();
    let writer = std::thread::spawn(move || input.write_all(&lines));
    let output = child.wait_with_output().expect("ends");
    writer.join().expect("no panic").expect("is taken");
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).expect("UTF-8");
    text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect()
}

/// A fixture garden as a line.
#[expect(clippy::disallowed_methods, reason = "the test reads a fixture")]
fn line_of(name: &str, bed: Option<&str>) -> String {
    let mut files = serde_json::Map::new();
    for entry in std::fs::read_dir(garden_folder(name)).expect("a garden") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|ending| ending == "csv") {
            let file = path.file_name().expect("a name").to_string_lossy().into_owned();
            files.insert(file, json!(std::fs::read_to_string(&path).expect("text")));
        }
    }
    json!({ "id": name, "files": files, "bed": bed }).to_string()
}

#[test]
fn every_line_is_answered_in_its_place() {
    let good = line_of("larchwater", None);
    let faulty = json!({ "id": 2, "files": {
        "beds.csv": "bed,kind,length_m,width_m\nA,ground,4,1\n",
        "plantings.csv": "bed,crop,planted\nA,tomatoe,2024-03-01\nB,kale,yesterday\n",
    }});
    let mut lines = Vec::new();
    for text in [
        good.as_str(),
        &faulty.to_string(),
        "not JSON at all",
        "",
        &json!({ "id": 5, "files": { "notes.txt": "x" } }).to_string(),
        &json!({ "id": 6, "files": {}, "today": "12.10.2026" }).to_string(),
        &json!({ "id": 7, "files": {} }).to_string(),
    ] {
        lines.extend(text.as_bytes());
        lines.push(b'\n');
    }
    lines.extend(b"{\"id\": \"\xff\"}\n");
    // The last line has no end.
    lines.extend(good.as_bytes());
    let answers = answers(&["audit", "--stream"], &lines);
    assert_eq!(answers.len(), 9);
    for (at, answer) in answers.iter().enumerate() {
        assert_eq!(answer["line"], at + 1);
    }
    assert_eq!(answers[1]["id"], 2);
    let problems = answers[1]["problems"].as_array().expect("a list");
    assert_eq!(problems.len(), 3, "{problems:?}");
    assert_eq!(problems[0]["hint"], "did you mean `tomato`?");
    for (at, word) in
        [(2, "not a garden"), (3, "not a garden"), (4, "notes.txt"), (5, "today"), (7, "UTF-8")]
    {
        let error = answers[at]["error"].as_str().expect("an error");
        assert!(error.contains(word), "{at}: {error}");
    }
    assert_eq!(answers[6]["audit"]["plantings"], 0);
    assert!(answers[0]["audit"]["plantings"].as_u64() > Some(50));
    assert_eq!(answers[0]["audit"], answers[8]["audit"]);
}

#[test]
fn a_stream_of_one_says_what_the_garden_file_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let garden = garden_folder("kestrel_hollow").display().to_string();
    let day = ["-g", "g.breakcrop", "--today", "2026-10-12"];
    assert_eq!(run(folder.path(), &[&day[..], &["import", &garden]].concat()).code, 0);
    let whole = run(folder.path(), &[&day[..], &["--json", "audit"]].concat()).stdout;
    let whole: Value = serde_json::from_str(&whole).expect("JSON");
    let line = line_of("kestrel_hollow", None);
    let streamed = answers(&["audit", "--stream", "--all", "--reasons"], line.as_bytes());
    assert_eq!(streamed[0]["audit"]["findings"], whole["findings"]);
    assert_eq!(streamed[0]["audit"]["plantings"], whole["plantings"]);
}

#[test]
fn a_ranking_of_the_bed_named_or_of_every_place() {
    let lines = [
        line_of("larchwater", Some("N2")),
        line_of("larchwater", Some("N99")),
        // No bed named: every place is answered.
        json!({ "files": { "beds.csv": "bed,kind,length_m,width_m\nA,ground,4,1\nB,ground,4,1\n" } })
            .to_string(),
    ]
    .join("\n");
    let answers = answers(&["follow", "--stream", "--most", "3"], lines.as_bytes());
    let first = &answers[0]["follows"];
    assert_eq!(first.as_array().expect("a list").len(), 1);
    assert_eq!(first[0]["bed"], "N2");
    assert_eq!(first[0]["ranked"].as_array().expect("a list").len(), 3);
    assert_eq!(answers[1]["error"], "there is no bed \"N99\"");
    let places: Vec<&Value> =
        answers[2]["follows"].as_array().expect("a list").iter().map(|one| &one["bed"]).collect();
    assert_eq!(places, ["A", "B"]);
}
