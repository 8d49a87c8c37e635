//! The garden file under what happens to files: a run ended in the middle, a second writer, a full
//! disk, a read-only medium, damage, strangers. Each time the file holds the old state or the new
//! one, or the program says what is wrong and leaves it as it is.
#![expect(clippy::disallowed_methods, reason = "the tests make, damage and compare files")]

mod support;

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use breakcrop::import::{Options, import_folder};
use breakcrop::knowledge::Knowledge;
use breakcrop::records::{Check, CheckResult, Checkup, Place};
use breakcrop::season::iso_day;
use breakcrop::store::{Store, StoreError, examine};
use rusqlite::Connection;
use support::{garden_folder, run};

const CHILD: &str = "BREAKCROP_FAULTS_CHILD";

fn options() -> Options {
    Options { today: iso_day("2026-10-12").expect("a day"), dry_run: false, withdraw: false }
}

fn old_file() -> PathBuf {
    file_of_format(1)
}

/// A garden file that an earlier version wrote.
fn file_of_format(format: i64) -> PathBuf {
    let name = format!("fixtures/databases/format_{format}.breakcrop");
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

/// The newest format; those before it have a file each.
const NEWEST: i64 = 3;

/// A sound garden file of the newest format in a folder of its own.
fn sound() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("g.breakcrop");
    let mut store = Store::create(&path).expect("a store");
    import_folder(&mut store, &Knowledge::embedded(), &garden_folder("larchwater"), options())
        .expect("imports");
    (folder, path)
}

fn examined(path: &Path) -> Checkup {
    examine(path).expect("is ours")
}

fn failed(checkup: &Checkup) -> Vec<Check> {
    let failed =
        checkup.checks.iter().filter(|(_, result)| matches!(result, CheckResult::Failed(_)));
    failed.map(|(check, _)| *check).collect()
}

/// What a garden file holds, as text; the knowledge is read once for all.
fn held(knowledge: &Knowledge, path: &Path) -> String {
    format!("{:?}", Store::open(path).expect("opens").garden(knowledge).expect("reads"))
}

/// Not a test of its own: what the child of the kill tests does. It says when it begins, so that
/// the kill falls into the writing and not into the reading of tables.
#[test]
fn child() {
    let Ok(task) = std::env::var(CHILD) else { return };
    let (verb, path) = task.split_once(' ').expect("a verb and a path");
    let begin = || {
        println!("\nbegin");
        std::io::stdout().flush().expect("flushes");
    };
    match verb {
        "import" => {
            let mut store = Store::create(Path::new(path)).expect("opens");
            let more = Path::new(path).with_file_name("more");
            let knowledge = Knowledge::embedded();
            begin();
            import_folder(&mut store, &knowledge, &more, options()).expect("imports");
        }
        "migrate" => {
            begin();
            drop(Store::open(Path::new(path)).expect("opens"));
        }
        _ => panic!("{verb}"),
    }
}

fn spawn(verb: &str, path: &Path) -> Child {
    let mut child = Command::new(std::env::current_exe().expect("this test"))
        .args(["--exact", "child", "--nocapture"])
        .env(CHILD, format!("{verb} {}", path.display()))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("starts");
    let mut lines = BufReader::new(child.stdout.as_mut().expect("is piped")).lines();
    while lines.next().expect("a line").expect("text") != "begin" {}
    child
}

/// How often a kill left the old state, the new one, and a journal.
#[derive(Debug, Default)]
struct Kills {
    old: u32,
    new: u32,
    journals: u32,
}

/// Ends a child at instants spread over its work, half of them over its last fifth, where the file
/// itself is written. `prepare` lays the old state; the file must then hold one of two states.
fn kill_at_instants(
    verb: &str,
    instants: u32,
    prepare: impl Fn(&Path) -> PathBuf,
    state: impl Fn(&Path) -> String,
) -> Kills {
    let folder = tempfile::tempdir().expect("a folder");
    let path = prepare(folder.path());
    let (bytes, old) = (fs::read(&path).expect("reads"), state(&path));
    let lay = || {
        for entry in fs::read_dir(folder.path()).expect("lists") {
            let entry = entry.expect("an entry").path();
            if entry.is_file() {
                fs::remove_file(entry).expect("goes");
            }
        }
        fs::write(&path, &bytes).expect("writes");
    };
    // The longest of three runs that nobody ends.
    let mut whole = Duration::ZERO;
    for _ in 0..3 {
        lay();
        let mut child = spawn(verb, &path);
        let begun = Instant::now();
        assert!(child.wait().expect("ends").success());
        whole = whole.max(begun.elapsed());
    }
    let new = state(&path);
    assert_ne!(old, new, "the work changes the file");
    let mut kills = Kills::default();
    for instant in 0..instants {
        lay();
        let mut child = spawn(verb, &path);
        let half = instants / 2;
        let share = if instant < half {
            f64::from(instant) / f64::from(half) * 0.8
        } else {
            0.8 + f64::from(instant - half) / f64::from(half) * 0.25
        };
        std::thread::sleep(whole.mul_f64(share));
        child.kill().expect("is ended");
        child.wait().expect("is gone");
        let mut journal = path.clone().into_os_string();
        journal.push("-journal");
        kills.journals += u32::from(Path::new(&journal).exists());
        let checkup = examined(&path);
        assert!(checkup.is_sound(), "kill {instant}: {checkup:?}");
        let now = state(&path);
        assert!(now == old || now == new, "kill {instant} left something between");
        *(if now == old { &mut kills.old } else { &mut kills.new }) += 1;
    }
    kills
}

/// So many days of weather.
fn weather(days: usize) -> String {
    let first = iso_day("1990-01-01").expect("a day");
    let rows = first.iter_days().take(days).map(|day| format!("{day},4,11,2.5\n"));
    std::iter::once("date,tmin_c,tmax_c,rain_mm\n".to_owned()).chain(rows).collect()
}

/// How many kills; more for a figure: `BREAKCROP_KILLS=1000`.
fn instants() -> u32 {
    std::env::var("BREAKCROP_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(100)
}

#[test]
fn a_killed_import_leaves_the_old_records_or_all_the_new_ones() {
    let prepare = |folder: &Path| {
        let path = folder.join("g.breakcrop");
        drop(Store::create(&path).expect("a store"));
        let more = folder.join("more");
        fs::create_dir(&more).expect("a folder");
        fs::write(more.join("beds.csv"), "bed,kind,length_m,width_m\nA,ground,4,1\n")
            .expect("writes");
        fs::write(more.join("weather.csv"), weather(700)).expect("writes");
        path
    };
    let rows = |path: &Path| {
        let connection = Connection::open(path).expect("opens");
        let count = |table: &str| -> i64 {
            let sql = format!("SELECT count(*) FROM {table}");
            connection.query_row(&sql, [], |row| row.get(0)).expect("counts")
        };
        format!("{} {} {}", count("imports"), count("beds"), count("weather"))
    };
    let kills = kill_at_instants("import", instants(), prepare, rows);
    println!("import ended {} times: {kills:?}", kills.old + kills.new);
}

#[test]
fn a_killed_change_of_format_leaves_the_old_format_or_the_new_one() {
    let prepare = |folder: &Path| {
        let path = folder.join("g.breakcrop");
        fs::copy(old_file(), &path).expect("copies");
        path
    };
    let state = |path: &Path| {
        let connection = Connection::open(path).expect("opens");
        let format: i64 = connection
            .pragma_query_value(None, "user_version", |row| row.get(0))
            .expect("a format");
        let mut statement =
            connection.prepare("SELECT as_written FROM plantings ORDER BY id").expect("a table");
        let rows = statement.query_map([], |row| row.get::<_, String>(0)).expect("rows");
        let rows: Vec<String> = rows.map(|row| row.expect("a row")).collect();
        // A copy that has its name is whole.
        for copy in fs::read_dir(path.parent().expect("a folder")).expect("lists") {
            let copy = copy.expect("an entry").path();
            if copy.extension().is_some_and(|ending| ending == "backup") {
                assert!(examined(&copy).is_sound(), "{}", copy.display());
                assert_eq!(examined(&copy).format, 1);
            }
        }
        format!("{format} {rows:?}")
    };
    let kills = kill_at_instants("migrate", instants(), prepare, state);
    println!("change of format ended {} times: {kills:?}", kills.old + kills.new);
}

#[test]
fn an_older_format_is_copied_then_brought_up_and_holds_the_same() {
    let knowledge = Knowledge::embedded();
    let (_new_folder, new) = sound();
    let wanted = held(&knowledge, &new);
    for format in 1..NEWEST {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("g.breakcrop");
        fs::copy(file_of_format(format), &path).expect("copies");
        let before = examined(&path);
        assert!(before.is_sound(), "{before:?}");
        assert_eq!((before.format, before.newest_format), (format, NEWEST));
        assert_eq!(held(&knowledge, &path), wanted);
        let after = examined(&path);
        assert!(after.is_sound(), "{after:?}");
        assert_eq!(after.format, NEWEST);
        let [copy] = after.backups.as_slice() else { panic!("{:?}", after.backups) };
        let name = format!("g.breakcrop.format-{format}.backup");
        assert_eq!(copy.file_name().expect("a name"), name.as_str());
        assert_eq!(examined(copy).format, format);
        // The same old file again: the copy that is there will do.
        fs::copy(file_of_format(format), &path).expect("copies");
        drop(Store::open(&path).expect("opens"));
        assert_eq!(examined(&path).backups, after.backups);
        // The copy itself opens as well, and an import goes on from it.
        let mut store = Store::create(&path).expect("opens");
        let again = import_folder(&mut store, &knowledge, &garden_folder("larchwater"), options());
        assert!(again.expect("imports").tally.changes_nothing());
    }
}

#[test]
fn a_file_brought_up_has_the_tables_and_indexes_of_a_fresh_one() {
    let (_fresh_folder, fresh) = sound();
    let laid_out = |path: &Path| -> Vec<String> {
        let connection = Connection::open(path).expect("opens");
        let mut statement = connection
            .prepare(
                "SELECT t.name || ' ' || c.name || ' ' || c.type || ' ' || c.\"notnull\" \
                 FROM sqlite_schema AS t JOIN pragma_table_info(t.name) AS c \
                 WHERE t.type = 'table' \
                 UNION ALL SELECT type || ' ' || name FROM sqlite_schema WHERE type = 'trigger' \
                   OR name GLOB '*_by_identity' OR name GLOB '*_by_bed' \
                 ORDER BY 1",
            )
            .expect("a query");
        let rows = statement.query_map([], |row| row.get(0)).expect("rows");
        rows.map(|row| row.expect("a row")).collect()
    };
    let wanted = laid_out(&fresh);
    for format in 1..NEWEST {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("g.breakcrop");
        fs::copy(file_of_format(format), &path).expect("copies");
        drop(Store::open(&path).expect("opens"));
        pretty_assertions::assert_eq!(laid_out(&path), wanted);
    }
}

#[test]
fn an_older_format_in_a_folder_where_no_copy_can_be_made_is_left_as_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("g.breakcrop");
    fs::copy(old_file(), &path).expect("copies");
    // A folder stands where the copy is to be built.
    fs::create_dir(folder.path().join("g.breakcrop.format-1.part")).expect("a folder");
    let error = Store::open(&path).expect_err("no copy, no change");
    assert!(matches!(error, StoreError::Backup { .. }), "{error}");
    assert_eq!(fs::read(&path).expect("reads"), fs::read(old_file()).expect("reads"));
}

#[test]
fn a_newer_file_a_stranger_and_a_text_are_refused_untouched() {
    let (folder, path) = sound();
    let set = |name: &str, pragma: &str, value: i64| {
        let other = folder.path().join(name);
        fs::copy(&path, &other).expect("copies");
        Connection::open(&other)
            .and_then(|connection| connection.pragma_update(None, pragma, value))
            .expect("is set");
        other
    };
    let newer = set("newer", "user_version", 9999);
    let stranger = set("stranger", "application_id", 7);
    let text = folder.path().join("text");
    fs::write(&text, "onions in bed 3, and a good many other words about them").expect("writes");
    let empty = folder.path().join("empty");
    fs::write(&empty, "").expect("writes");
    for (file, word) in
        [(newer, "format 9999"), (stranger, "is not"), (text, "is not"), (empty, "is not")]
    {
        let before = fs::read(&file).expect("reads");
        let name = file.display().to_string();
        for command in [&["beds"][..], &["doctor"], &["audit"], &["export", "out"]] {
            let ran = run(folder.path(), &[&["-g", name.as_str()], command].concat());
            assert_eq!(ran.code, 4, "{command:?} {name}: {}", ran.stderr);
            assert!(ran.stderr.contains(word), "{command:?} {name}: {}", ran.stderr);
        }
        assert_eq!(fs::read(&file).expect("reads"), before, "{name} was changed");
    }
    let ran = run(folder.path(), &["-g", ".", "beds"]);
    assert_eq!(ran.code, 4, "a folder is no garden file: {}", ran.stderr);
    let ran = run(folder.path(), &["-g", "no/such/folder/g", "import", &garden_path()]);
    assert_eq!(ran.code, 4, "{}", ran.stderr);
    assert!(ran.stderr.contains("can be made"), "{}", ran.stderr);
}

fn garden_path() -> String {
    garden_folder("larchwater").display().to_string()
}

#[test]
fn a_second_writer_waits_and_is_told_while_a_reader_sees_the_old_state() {
    let (_folder, path) = sound();
    let knowledge = Knowledge::embedded();
    let before = held(&knowledge, &path);
    let mut first = Store::create(&path).expect("opens");
    let importing = first.begin_import(options().today, "first").expect("begins");
    assert_eq!(held(&knowledge, &path), before);
    let mut second = Store::create(&path).expect("opens");
    let begun = Instant::now();
    let error = second.begin_import(options().today, "second").err().expect("is refused");
    assert!(matches!(error, StoreError::Busy { .. }), "{error}");
    assert!(begun.elapsed() > Duration::from_millis(500), "it waits before it gives up");
    drop(importing);
    assert!(second.begin_import(options().today, "second").is_ok(), "the first one is gone");
}

#[test]
fn a_journal_left_behind_is_rolled_back_and_told() {
    // A crash leaves the file half written beside its journal; the copy is taken in that state.
    let (folder, path) = sound();
    let before = held(&Knowledge::embedded(), &path);
    let connection = Connection::open(&path).expect("opens");
    connection.pragma_update(None, "cache_size", 2).expect("is set");
    connection.execute_batch("BEGIN IMMEDIATE").expect("begins");
    for word in 0..5000 {
        connection
            .execute("INSERT INTO terms (key) VALUES (?1)", [format!("term number {word}")])
            .expect("inserts");
    }
    let crashed = folder.path().join("crashed.breakcrop");
    fs::copy(&path, &crashed).expect("copies");
    fs::copy(
        folder.path().join("g.breakcrop-journal"),
        folder.path().join("crashed.breakcrop-journal"),
    )
    .expect("there is a journal");
    let linked = folder.path().join("link.breakcrop");
    #[cfg(unix)]
    std::os::unix::fs::symlink(&crashed, &linked).expect("links");
    #[cfg(not(unix))]
    fs::copy(&crashed, &linked).expect("copies");
    let ran = run(folder.path(), &["-g", "link.breakcrop", "doctor"]);
    assert_eq!(ran.code, 0, "{}{}", ran.stdout, ran.stderr);
    assert!(ran.stdout.contains("-journal"), "{}", ran.stdout);
    assert!(!folder.path().join("crashed.breakcrop-journal").exists());
    assert_eq!(held(&Knowledge::embedded(), &crashed), before);
}

#[test]
fn a_path_that_looks_like_an_address_is_a_file_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let name = "file:g.breakcrop?mode=memory";
    let ran = run(folder.path(), &["-g", name, "import", &garden_path()]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(folder.path().join(name).exists(), "the records are on the disk");
    assert_eq!(run(folder.path(), &["-g", name, "beds"]).code, 0);
}

#[cfg(unix)]
#[test]
fn links_are_followed_to_the_garden_and_never_written_through() {
    let (folder, path) = sound();
    let link = folder.path().join("link.breakcrop");
    std::os::unix::fs::symlink(&path, &link).expect("links");
    let ran = run(folder.path(), &["-g", "link.breakcrop", "import", &garden_path()]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    assert!(link.symlink_metadata().expect("is there").is_symlink());
    // An output that is a link to the garden file replaces the link or is refused, not the garden.
    let before = fs::read(&path).expect("reads");
    let out = folder.path().join("out");
    fs::create_dir(&out).expect("a folder");
    std::os::unix::fs::symlink(&path, out.join("beds.csv")).expect("links");
    let ran = run(folder.path(), &["-g", "link.breakcrop", "export", "out", "--force"]);
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert!(ran.stderr.contains("the garden file"), "{}", ran.stderr);
    assert_eq!(fs::read(&path).expect("reads"), before);
    let nowhere = folder.path().join("nowhere.breakcrop");
    std::os::unix::fs::symlink(folder.path().join("gone"), &nowhere).expect("links");
    assert_eq!(run(folder.path(), &["-g", "nowhere.breakcrop", "beds"]).code, 4);
}

#[test]
fn an_export_never_writes_over_the_garden_file() {
    let (folder, path) = sound();
    let disguised = folder.path().join("beds.csv");
    fs::copy(&path, &disguised).expect("copies");
    let ran = run(folder.path(), &["-g", "beds.csv", "export", ".", "--force"]);
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    assert_eq!(fs::read(&path).expect("reads"), fs::read(&disguised).expect("reads"));
}

#[test]
fn no_output_is_written_over_the_garden_file_or_over_records() {
    let folder = tempfile::tempdir().expect("a folder");
    let day = ["-g", "g.breakcrop", "--today", "2026-10-12"];
    let demo = garden_folder("gullcombe_terrace").display().to_string();
    let ask = |question: &[&str]| run(folder.path(), &[&day, question].concat());
    assert_eq!(ask(&["import", &demo]).code, 0);
    let path = folder.path().join("g.breakcrop");
    let before = fs::read(&path).expect("reads");
    for question in [
        &["report", "--file", "g.breakcrop"][..],
        &["plan", "--months", "3", "--write", "g.breakcrop"],
        &["calendar", "--months", "3", "--ics", "g.breakcrop"],
        &["intersow", "M2", "--svg", "g.breakcrop"],
    ] {
        let ran = ask(question);
        assert_eq!(ran.code, 3, "{question:?}: {}", ran.stdout);
        assert!(ran.stderr.contains("is the garden file itself"), "{question:?}: {}", ran.stderr);
        assert!(fs::read(&path).expect("reads") == before, "{question:?} changed the garden file");
    }
    fs::write(folder.path().join("plantings.csv"), "my notes").expect("writes");
    let ran = ask(&["plan", "--months", "3", "--write", "plantings.csv"]);
    assert_eq!(ran.code, 3, "{}", ran.stdout);
    let kept = fs::read_to_string(folder.path().join("plantings.csv")).expect("reads");
    assert_eq!(kept, "my notes");
}

/// A small generator of numbers, the same at every run.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, most: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("fits") % most
    }
}

#[test]
fn a_file_cut_short_or_with_a_blank_page_is_named_damaged() {
    let (folder, path) = sound();
    let whole = fs::read(&path).expect("reads");
    let damaged = folder.path().join("damaged.breakcrop");
    for cut in [1, 512, 4096, whole.len() / 2] {
        fs::write(&damaged, &whole[..whole.len() - cut]).expect("writes");
        let error = Store::open(&damaged).expect_err("is refused");
        assert!(matches!(error, StoreError::Damaged { .. }), "{cut}: {error}");
        assert_eq!(failed(&examined(&damaged)), [Check::Size]);
    }
    let pages = whole.len() / 4096;
    let mut told = 0;
    for page in 1..pages {
        let mut bytes = whole.clone();
        bytes[page * 4096..(page + 1) * 4096].fill(0);
        fs::write(&damaged, &bytes).expect("writes");
        match examine(&damaged) {
            Ok(checkup) => {
                assert!(!checkup.is_sound(), "page {page} of {pages} is blank");
                told += 1;
                let error = Store::create(&damaged)
                    .and_then(|mut store| store.begin_import(options().today, "x").map(|_| ()))
                    .expect_err("nothing is written on top");
                assert!(matches!(error, StoreError::Damaged { .. }), "{error}");
            }
            Err(error) => assert!(matches!(error, StoreError::Damaged { .. }), "{error}"),
        }
        assert_eq!(fs::read(&damaged).expect("reads"), bytes, "damage is left as it is");
    }
    println!("{told} of {} blank pages found", pages - 1);
    assert!(told > pages / 2);
}

/// Flips single bits of the content pages. Whatever it hits that changes what the file holds must
/// be found; a bit in unused space changes nothing.
#[test]
fn flipped_bits_that_change_what_the_file_holds_are_found() {
    let (folder, path) = sound();
    let knowledge = Knowledge::embedded();
    let whole = fs::read(&path).expect("reads");
    let before = held(&knowledge, &path);
    let exported = |path: &Path| Store::open(path).and_then(|store| store.export()).ok();
    let written = exported(&path);
    let damaged = folder.path().join("damaged.breakcrop");
    let mut numbers = Numbers(20_261_128);
    let (mut found, mut harmless, mut by_digest) = (0, 0, 0);
    for flip in 0..200 {
        let bit = 4096 * 8 + numbers.below((whole.len() - 4096) * 8);
        let mut bytes = whole.clone();
        bytes[bit / 8] ^= 1 << (bit % 8);
        fs::write(&damaged, &bytes).expect("writes");
        let checkup = examine(&damaged);
        let told = checkup.as_ref().map_or(true, |checkup| !checkup.is_sound());
        let now = Store::open(&damaged).and_then(|store| store.garden(&knowledge));
        let same = now.is_ok_and(|garden| format!("{garden:?}") == before)
            && exported(&damaged) == written;
        assert!(told || same, "flip {flip} at bit {bit} changed the records and was not told");
        found += u32::from(told);
        harmless += u32::from(!told);
        by_digest += u32::from(checkup.is_ok_and(|checkup| {
            failed(&checkup).iter().all(|check| matches!(check, Check::Seals | Check::Records))
                && !checkup.is_sound()
        }));
        assert_eq!(fs::read(&damaged).expect("reads"), bytes, "damage is left as it is");
    }
    println!(
        "200 flips: {found} told, {by_digest} of them by digests alone, {harmless} in space that holds nothing"
    );
    assert!(by_digest > 0, "SQLite alone would have done");
}

#[test]
fn a_changed_value_is_told_by_its_line() {
    let (folder, path) = sound();
    {
        let connection = Connection::open(&path).expect("opens");
        connection
            .execute_batch("DROP TRIGGER plantings_no_update; UPDATE plantings SET planted = planted - 365 WHERE line = 5")
            .expect("another program can");
    }
    let ran = run(folder.path(), &["-g", "g.breakcrop", "doctor"]);
    assert_eq!(ran.code, 4);
    assert!(ran.stdout.contains("plantings.csv:5"), "{}", ran.stdout);
    let json = run(folder.path(), &["-g", "g.breakcrop", "--json", "doctor"]);
    let document: serde_json::Value = serde_json::from_str(&json.stdout).expect("JSON");
    assert_eq!(document["sound"], false);
    assert_eq!(document["checks"][4]["result"], "damaged");
}

#[test]
fn rows_of_another_program_are_told() {
    let (_folder, path) = sound();
    Connection::open(&path)
        .and_then(|connection| {
            connection.execute_batch("INSERT INTO bed_names (name) VALUES ('ghost')")
        })
        .expect("inserts");
    assert_eq!(failed(&examined(&path)), [Check::Seals]);
}

/// Files of any bytes are opened and read without panic and stay as they are.
#[test]
fn any_bytes_in_place_of_the_file_do_no_harm() {
    let (folder, path) = sound();
    let knowledge = Knowledge::embedded();
    let whole = fs::read(&path).expect("reads");
    let damaged = folder.path().join("damaged.breakcrop");
    let mut numbers = Numbers(7);
    for _ in 0..60 {
        let mut bytes = whole.clone();
        for _ in 0..=numbers.below(40) {
            let at = numbers.below(bytes.len());
            bytes[at] = u8::try_from(numbers.below(256)).expect("a byte");
        }
        fs::write(&damaged, &bytes).expect("writes");
        if let Ok(store) = Store::open(&damaged) {
            if let Ok(garden) = store.garden(&knowledge) {
                let _ = garden.places("N1").contains(&Place::whole("N1"));
            }
            let _ = store.export();
        }
        let _ = examine(&damaged);
        assert_eq!(fs::read(&damaged).expect("reads"), bytes);
    }
}

/// A disk that is really full. Needs the right to mount: `cargo test --test faults -- --ignored`.
#[cfg(target_os = "linux")]
#[test]
#[ignore = "mounts a small file system, for which one must be root"]
fn a_full_disk_and_a_read_only_one_leave_the_old_state() {
    let folder = tempfile::tempdir().expect("a folder");
    let disk = folder.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let on_disk = |arguments: &[&str]| {
        let ran = Command::new(arguments[0]).args(&arguments[1..]).arg(&disk).status();
        assert!(ran.expect("runs").success(), "{arguments:?}");
    };
    on_disk(&["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs"]);
    let path = disk.join("g.breakcrop");
    let name = path.display().to_string();
    let outcome = std::panic::catch_unwind(|| {
        assert_eq!(run(folder.path(), &["-g", &name, "import", &garden_path()]).code, 0);
        let before = held(&Knowledge::embedded(), &path);
        let more = folder.path().join("more");
        fs::create_dir(&more).expect("a folder");
        fs::write(more.join("weather.csv"), weather(12_000)).expect("writes");
        let ran = run(folder.path(), &["-g", &name, "import", &more.display().to_string()]);
        assert_eq!(ran.code, 4);
        assert!(ran.stderr.contains("no room left"), "{}", ran.stderr);
        assert!(examined(&path).is_sound());
        assert_eq!(held(&Knowledge::embedded(), &path), before);
        on_disk(&["mount", "-o", "remount,ro"]);
        assert_eq!(run(folder.path(), &["-g", &name, "beds"]).code, 0);
        let ran = run(folder.path(), &["-g", &name, "import", &more.display().to_string()]);
        assert_eq!(ran.code, 4);
        assert!(ran.stderr.contains("may only be read"), "{}", ran.stderr);
    });
    on_disk(&["umount"]);
    outcome.expect("held");
}
