//! Notes that were not written our way: spreadsheets, other column names, other orders of days, and
//! whose garden file they go to.
#![expect(clippy::disallowed_methods, reason = "the test writes and reads files")]

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use pretty_assertions::assert_eq;
use support::run;

const COLUMNS: &str = "plantings:What=crop,Sown=planted,Gone=removed,Mood=note";

fn sheet(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/sheets").join(name)
}

#[cfg(feature = "spreadsheets")]
#[test]
fn both_kinds_of_spreadsheet_give_the_same_garden() {
    let mut exported = Vec::new();
    for name in ["notes.xlsx", "notes.ods"] {
        let folder = tempfile::tempdir().expect("a folder");
        let from = sheet(name).display().to_string();
        let import = ["import", &from, "--columns", COLUMNS, "--date-order", "dmy"];
        let ran = run(folder.path(), &import);
        assert_eq!(ran.code, 0, "{name}: {}", ran.stderr);
        assert!(
            ran.stdout.contains("imported 5 rows of 2 files into notes.breakcrop"),
            "{}",
            ran.stdout
        );
        assert!(ran.stdout.contains("passed over: scribbles"), "{}", ran.stdout);
        let again = run(folder.path(), &import);
        assert!(again.stdout.contains("0 new, 0 corrected, 5 already there"), "{}", again.stdout);
        assert_eq!(run(folder.path(), &["export", "out"]).code, 0);
        let plantings =
            fs::read_to_string(folder.path().join("out/plantings.csv")).expect("plantings");
        assert!(
            plantings.contains("long bed,courgette,2025-05-03,2025-10-01,\"hot, dry\""),
            "{plantings}"
        );
        assert!(plantings.contains("tub,basil,2025-06-04,,"), "{plantings}");
        exported.push(plantings);
    }
    assert_eq!(exported[0], exported[1]);
}

#[cfg(feature = "spreadsheets")]
#[test]
fn a_fault_of_a_sheet_is_told_by_its_row() {
    let folder = tempfile::tempdir().expect("a folder");
    let from = sheet("notes.ods").display().to_string();
    // Without the order of days told, the third row of the sheet cannot be read.
    let ran = run(folder.path(), &["import", &from, "--columns", COLUMNS]);
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("plantings.csv:3:"), "{}", ran.stderr);
    assert!(
        ran.stderr.contains("2025-06-04") && ran.stderr.contains("2025-04-06"),
        "{}",
        ran.stderr
    );
    assert!(!folder.path().join("notes.breakcrop").exists(), "an empty garden is left behind");
}

#[test]
fn what_cannot_be_imported_says_what_to_do() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("notes.pdf"), "%PDF").expect("a file");
    fs::write(folder.path().join("broken.xlsx"), "no archive").expect("a file");
    let own = folder.path().join("own");
    fs::create_dir(&own).expect("a folder");
    fs::write(own.join("beds.csv"), "bed,kind,length_m,width_m\na,ground,2,1\n").expect("beds");
    let cases: [(&[&str], &str); 7] = [
        (&["import", "nowhere"], "`breakcrop new FOLDER`"),
        (&["import", "notes.pdf"], ".xlsx or .ods"),
        (&["import", "broken.xlsx"], "save the sheets as CSV"),
        (&["import", "own", "--columns", "Bett"], "theirs=ours"),
        (&["import", "own", "--columns", "Bett=bed"], "record files are: "),
        (&["import", "own", "--columns", "bed=bett"], "columns of beds.csv: bed, kind"),
        (&["import", "own", "--columns", "sowings:bed=bed"], "record files are: "),
    ];
    for (command, hint) in cases {
        let ran = run(folder.path(), command);
        assert_eq!(ran.code, 3, "{command:?}: {}", ran.stderr);
        assert!(ran.stderr.contains(hint), "{command:?}: {}", ran.stderr);
    }
    assert_eq!(run(folder.path(), &["import", "own", "--date-order", "ydm"]).code, 2);
}

#[test]
fn a_newcomers_records_do_not_end_in_the_demo() {
    let folder = tempfile::tempdir().expect("a folder");
    assert_eq!(run(folder.path(), &["demo"]).code, 0);
    let before = fs::read(folder.path().join("demo.breakcrop")).expect("the demo");
    let mine = folder.path().join("mine");
    fs::create_dir(&mine).expect("a folder");
    fs::write(mine.join("beds.csv"), "bed,kind,length_m,width_m\na,ground,2,1\n").expect("beds");
    for named in [false, true] {
        if named {
            fs::write(mine.join("site.csv"), "name,latitude,longitude\nmine,50,4\n").expect("site");
        }
        let ran = run(folder.path(), &["import", "mine"]);
        assert_eq!(ran.code, 3, "{}", ran.stdout);
        assert!(ran.stderr.contains("is of Gullcombe Terrace"), "{}", ran.stderr);
        assert!(ran.stderr.contains("-g mine.breakcrop"), "{}", ran.stderr);
    }
    assert_eq!(fs::read(folder.path().join("demo.breakcrop")).expect("the demo"), before);
    let ran = run(folder.path(), &["-g", "mine.breakcrop", "import", "mine"]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(ran.stdout.contains("into mine.breakcrop"), "{}", ran.stdout);
}

/// A first try with the files as they lie there, then with what the program said to type.
#[test]
fn a_newcomers_files_are_read_with_the_command_that_the_first_try_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let notes = folder.path().join("notes");
    fs::create_dir(&notes).expect("a folder");
    let write = |name: &str, text: &str| fs::write(notes.join(name), text).expect("writes");
    write("beds.csv", "Bed,Kind,Lenght (ft),Width (ft),Notes\nFront,ground,12,4,by the gate\n");
    write(
        "plantings.csv",
        "Bed,Crop,Planted,Removed,Notes\nFront,Zucchini,5/1/2025,9/30/2025,\n\
         Front,garlic,10/20/2025,,\n",
    );
    write("site.csv", "name,latitude,longitude\nHome,45,-120\n");
    let ask = |more: &[&str]| {
        let mut words = vec!["-g", "g.breakcrop", "--today", "2026-03-01", "import", "notes"];
        words.extend(more);
        run(folder.path(), &words)
    };
    let first = ask(&[]);
    assert_eq!(first.code, 3);
    let said = first.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    let columns = "Lenght (ft)=length_ft,Notes=note";
    assert!(said.contains(&format!("--columns \"{columns}\"")), "{said}");
    assert!(!said.contains("unknown bed"), "the beds are at fault, not the plantings: {said}");
    let second = ask(&["--columns", columns]);
    assert_eq!(second.code, 3);
    assert!(second.stderr.contains("--date-order"), "{}", second.stderr);
    let third = ask(&["--columns", columns, "--date-order", "mdy"]);
    assert_eq!(third.code, 0, "{}", third.stderr);
}

/// A sheet saved where fields are parted by semicolons, with a title, line ends of another system and
/// days in words: it is read, goes out, and comes back the same.
#[test]
fn a_sheet_with_semicolons_titles_and_days_in_words_comes_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let notes = folder.path().join("notes");
    fs::create_dir(&notes).expect("a folder");
    let write = |name: &str, text: &str| {
        fs::write(notes.join(name), text.replace('\n', "\r\n")).expect("writes");
    };
    write("site.csv", "name;latitude;longitude\nHome;-41,5;174,9\n");
    write("beds.csv", "bed;kind;length_m;width_m\n1;raised bed;4,8;1,2\n");
    let rows = |removed: &str| {
        format!(
            "My plantings;;;\n;;;\nbed;crop;planted;removed\n\n1;courgette;20 Oct 2024;{removed}\n\
             1;pak choi + rocket;2 Nov 2024;\n"
        )
    };
    write("plantings.csv", &rows("mid April 2025"));
    let ask = |words: &[&str]| {
        let mut all = vec!["-g", "g.breakcrop", "--today", "2026-03-01"];
        all.extend(words);
        run(folder.path(), &all)
    };
    let first = ask(&["import", "notes"]);
    assert_eq!(first.code, 3);
    let said = first.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("plantings.csv:5:25"), "{said}");
    assert!(said.contains("from `2025-04-11` to `2025-04-20`"), "{said}");
    assert!(said.contains("plantings.csv:6:3"), "{said}");
    assert!(said.contains("2 crops: write a line for each"), "{said}");
    write("plantings.csv", &rows("15 April 2025").replace("pak choi + rocket", "pak choi"));
    let second = ask(&["import", "notes"]);
    assert_eq!(second.code, 0, "{}", second.stderr);
    let said = second.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("decimal point: beds.csv, plantings.csv, site.csv"), "{said}");
    assert!(said.contains("titles above the header passed over: plantings.csv"), "{said}");
    assert!(ask(&["import", "notes"]).stdout.contains("0 new, 0 corrected, 4 already there"));
    assert_eq!(ask(&["export", "out"]).code, 0);
    let again = ask(&["import", "out"]);
    assert!(again.stdout.contains("0 new, 0 corrected, 4 already there"), "{}", again.stdout);
    let plantings = fs::read_to_string(folder.path().join("out/plantings.csv")).expect("exported");
    assert!(plantings.contains("1,courgette,20 Oct 2024,15 April 2025"), "{plantings}");
}
