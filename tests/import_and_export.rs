//! Importing says exactly what it could not read, writes all or nothing, repeats safely, and gives
//! back what came in.
#![expect(clippy::disallowed_methods, reason = "the tests write and compare record files")]

mod support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use breakcrop::audit::Beds;
use breakcrop::import::{ImportError, Options, import, read_folder};
use breakcrop::knowledge::Knowledge;
use breakcrop::records::{Garden, Tally};
use breakcrop::season::iso_day;
use breakcrop::store::Store;
use breakcrop::view::problem_text;
use pretty_assertions::assert_eq;
use support::{garden_folder, run};

const GARDENS: [&str; 3] = ["gullcombe_terrace", "kestrel_hollow", "larchwater"];

fn options() -> Options {
    Options { today: iso_day("2026-10-12").expect("a day"), dry_run: false, withdraw: false }
}

fn import_folder(
    store: &mut Store,
    knowledge: &Knowledge,
    folder: &Path,
) -> Result<Tally, ImportError> {
    let (files, _) = read_folder(folder)?;
    Ok(import(store, knowledge, &files, "folder", options())?.tally)
}

fn garden(store: &Store, knowledge: &Knowledge) -> Garden {
    store.garden(knowledge).expect("the garden reads")
}

fn write(folder: &Path, name: &str, text: &str) {
    fs::write(folder.join(name), text).expect("writes");
}

#[test]
fn twenty_faults_give_twenty_located_messages_and_change_nothing() {
    let knowledge = Knowledge::embedded();
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, &garden_folder("larchwater")).expect("imports");
    let before = format!("{:?}", garden(&store, &knowledge));
    let faults = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/errors/twenty_faults");
    let error = import_folder(&mut store, &knowledge, &faults).expect_err("is refused");
    let ImportError::Problems(problems) = error else { panic!("{error}") };
    let messages: Vec<String> = problems
        .iter()
        .map(|problem| {
            format!(
                "{}:{}:{} {}{}",
                problem.file,
                problem.line,
                problem.column,
                problem_text(problem),
                problem.hint.as_ref().map_or(String::new(), |hint| format!(" -> {hint}"))
            )
        })
        .collect();
    assert_eq!(messages.len(), 20, "{messages:#?}");
    insta::assert_snapshot!("twenty_faults", messages.join("\n"));
    assert_eq!(format!("{:?}", garden(&store, &knowledge)), before);
}

#[test]
fn a_garden_file_is_untouched_by_an_import_that_fails() {
    let folder = tempfile::tempdir().expect("a folder");
    let ran = run(folder.path(), &["-g", "g.breakcrop", "import", &path("larchwater")]);
    assert_eq!(ran.code, 0, "{}", ran.stderr);
    let before = fs::read(folder.path().join("g.breakcrop")).expect("reads");
    let faults = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/errors/twenty_faults");
    let ran = run(folder.path(), &["-g", "g.breakcrop", "import", &faults.display().to_string()]);
    assert_eq!(ran.code, 3);
    assert!(ran.stderr.contains("20 problems; nothing was imported"), "{}", ran.stderr);
    assert_eq!(fs::read(folder.path().join("g.breakcrop")).expect("reads"), before);
}

fn path(garden: &str) -> String {
    garden_folder(garden).display().to_string()
}

#[test]
fn importing_twice_changes_nothing_and_export_gives_back_what_came_in() {
    let knowledge = Knowledge::embedded();
    for name in GARDENS {
        let mut store = Store::in_memory().expect("a store");
        let first = import_folder(&mut store, &knowledge, &garden_folder(name)).expect("imports");
        assert_eq!(first.added, garden(&store, &knowledge).count(), "{name}");
        let again = import_folder(&mut store, &knowledge, &garden_folder(name)).expect("imports");
        assert!(again.changes_nothing(), "{name}: {again:?}");
        assert_eq!(again.unchanged, first.added, "{name}");
        for file in store.export().expect("exports") {
            let written = fs::read_to_string(garden_folder(name).join(&file.name)).expect("reads");
            let rows: Vec<&str> =
                written.lines().filter(|line| !line.starts_with('#') && !line.is_empty()).collect();
            assert_eq!(file.text.lines().collect::<Vec<_>>(), rows, "{name}/{}", file.name);
        }
    }
}

#[test]
fn an_export_imports_to_the_same_garden() {
    let knowledge = Knowledge::embedded();
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, &garden_folder("kestrel_hollow")).expect("imports");
    let folder = tempfile::tempdir().expect("a folder");
    for file in store.export().expect("exports") {
        write(folder.path(), &file.name, &file.text);
    }
    let mut copy = Store::in_memory().expect("a store");
    import_folder(&mut copy, &knowledge, folder.path()).expect("imports");
    assert_eq!(
        format!("{:?}", garden(&copy, &knowledge)),
        format!("{:?}", garden(&store, &knowledge))
    );
}

const BEDS: &str = "bed,kind,length_m,width_m\nA,ground,2,1\n";

#[test]
fn a_changed_row_supersedes_and_a_missing_one_is_kept_until_withdrawn() {
    let knowledge = Knowledge::embedded();
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "beds.csv", BEDS);
    write(
        folder.path(),
        "plantings.csv",
        "bed,crop,planted,removed\nA,kale,2024-03-01,\nA,leek,2025-04-01,\n",
    );
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    // Kale was cleared; the leek line is gone.
    write(
        folder.path(),
        "plantings.csv",
        "bed,crop,planted,removed\nA,kale,2024-03-01,2024-11-01\n",
    );
    let tally = import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    assert_eq!((tally.added, tally.corrected, tally.missing.len()), (0, 1, 1));
    let now = garden(&store, &knowledge);
    assert_eq!(now.plantings.len(), 2, "the missing one is kept");
    assert!(now.plantings[0].stood.end.is_some(), "the correction counts");
    let (files, _) = read_folder(folder.path()).expect("reads");
    let withdraw = Options { withdraw: true, ..options() };
    import(&mut store, &knowledge, &files, "folder", withdraw).expect("imports");
    assert_eq!(garden(&store, &knowledge).plantings.len(), 1);
}

#[test]
fn a_line_inserted_above_moves_the_origin_and_nothing_else() {
    let knowledge = Knowledge::embedded();
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "beds.csv", BEDS);
    let row = "A,kale,2024-03-01,2024-11-01\n";
    write(folder.path(), "plantings.csv", &format!("bed,crop,planted,removed\n{row}"));
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    write(
        folder.path(),
        "plantings.csv",
        &format!("bed,crop,planted,removed\nA,beet,2023-03-01,2023-08-01\n{row}"),
    );
    let tally = import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    assert_eq!((tally.added, tally.corrected, tally.unchanged), (1, 0, 2));
    assert_eq!(garden(&store, &knowledge).plantings[1].origin.to_string(), "plantings.csv:3");
}

#[test]
fn other_units_and_names_in_other_languages_are_understood() {
    let knowledge = Knowledge::embedded();
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "beds.csv", "bed,kind,length_ft,width_ft\nA,raised,8,4\n");
    write(
        folder.path(),
        "harvests.csv",
        "bed,date,crop,mass_lb\nA,2025-07-01,courgettes,2.2\nA,2025-07-02,Berenjena,1\n",
    );
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    let garden = garden(&store, &knowledge);
    assert!((garden.beds[0].area().0 - 2.972_897_28).abs() < 1e-9);
    let crops: Vec<&str> =
        garden.harvests.iter().map(|harvest| &*knowledge.crops[harvest.crop].key).collect();
    assert_eq!(crops, ["summer_squash", "eggplant"]);
    assert!((garden.harvests[0].mass.0 - 0.997_903).abs() < 1e-5);
}

fn problems_of(name: &str, bytes: &[u8]) -> Vec<String> {
    let knowledge = Knowledge::embedded();
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "beds.csv", BEDS);
    fs::write(folder.path().join(name), bytes).expect("writes");
    let mut store = Store::in_memory().expect("a store");
    match import_folder(&mut store, &knowledge, folder.path()) {
        Ok(_) => Vec::new(),
        Err(ImportError::Problems(list)) => list
            .iter()
            .map(|problem| format!("{}:{} {}", problem.line, problem.column, problem_text(problem)))
            .collect(),
        Err(error) => panic!("{error}"),
    }
}

#[test]
fn spreadsheets_habits_are_named() {
    let cases: [(&str, &[u8], &str); 9] = [
        (
            "plantings.csv",
            b"bed;crop;planted\nA;kale;2024-03-01\n",
            "1:1 the fields are separated by semicolons, not by commas",
        ),
        ("plantings.csv", b"bed,crop,planted\nA,k\xe5l,2024-03-01\n", "2:4 the text is not UTF-8"),
        ("plantings.csv", b"\xff\xfeb\x00e\x00d\x00", "1:1 the text is not UTF-8"),
        ("plantings.csv", b"", "1:0 the file is empty: it has no header"),
        (
            "plantings.csv",
            b"bed,crop,crop,planted\nA,kale,kale,2024-03-01\n",
            "1:10 the column \"crop\" stands twice",
        ),
        ("plantings.csv", b"bed,crop\nA,kale\n", "1:0 the column `planted` is missing"),
        ("plantings.csv", b"bed,crop,planted\nA,kale\n", "2:0 the row has 2 fields, the header 3"),
        (
            "plantings.csv",
            b"bed,crop,planted,note\nA,kale,2024-03-01,\"left open\n",
            "2:0 a quote is opened here and never closed",
        ),
        (
            "plantings.csv",
            b"bed,crop,planted,note\nA,kale,2024-03-01,a\x07b\n",
            "2:19 there is an invisible control character",
        ),
    ];
    for (name, bytes, wanted) in cases {
        assert_eq!(
            problems_of(name, bytes),
            [wanted.to_owned()],
            "{}",
            String::from_utf8_lossy(bytes)
        );
    }
}

#[test]
fn bom_crlf_and_comments_do_no_harm() {
    let text = b"\xef\xbb\xbf# my beds \"in 2024\r\nbed,crop,planted\r\n\r\n# spring\r\nA,kale,2024-03-01\r\n";
    assert_eq!(problems_of("plantings.csv", text), Vec::<String>::new());
    let faulty = b"# one\nbed,crop,planted\n\n# two\nA,kail,2024-03-01\n";
    assert_eq!(problems_of("plantings.csv", faulty), ["5:3 unknown crop \"kail\"".to_owned()]);
}

/// What an import has just written is sound, whatever kinds of records it holds.
#[test]
fn a_fresh_import_is_sound() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["gullcombe_terrace", "kestrel_hollow", "larchwater"] {
        let (file, records) = (format!("{name}.breakcrop"), path(name));
        let imported = run(folder.path(), &["-g", &file, "import", &records]);
        assert_eq!(imported.code, 0, "{}", imported.stderr);
        let doctor = run(folder.path(), &["-g", &file, "doctor"]);
        assert!(!doctor.stdout.contains("DAMAGED"), "{}", doctor.stdout);
        assert!(doctor.stdout.starts_with(&format!("{file}: sound")), "{}", doctor.stdout);
    }
}

/// A grower's own words for how plants came to stand are read as ours.
#[test]
fn other_words_for_a_start_are_understood() {
    let folder = tempfile::tempdir().expect("a folder");
    write(folder.path(), "beds.csv", "bed,kind,length_m,width_m\nB,ground,3,1\n");
    let rows = "bed,crop,method,planted\nB,garlic,cloves,2025-10-20\nB,kale,Planted out,2025-07-01\n\
        B,carrot,direct sown,2025-04-01\nB,potato,self-sown,2025-05-01\n";
    write(folder.path(), "plantings.csv", rows);
    let knowledge = Knowledge::embedded();
    let mut store = Store::in_memory().expect("a store");
    import_folder(&mut store, &knowledge, folder.path()).expect("imports");
    let mut words: Vec<&str> = garden(&store, &knowledge)
        .plantings
        .iter()
        .filter_map(|planting| Some(planting.method?.word()))
        .collect();
    words.sort_unstable();
    assert_eq!(words, ["sown", "transplanted", "transplanted", "volunteer"]);
}

/// The audit reads a few beds at a time by statements of its own: after moves, corrections and
/// withdrawals they give the records that the whole garden has, bed by bed.
#[test]
fn beds_read_a_few_at_a_time_are_those_of_the_garden() {
    let knowledge = Knowledge::embedded();
    for name in GARDENS {
        let place = tempfile::tempdir().expect("a folder");
        let path = place.path().join("g.breakcrop");
        let mut store = Store::create(&path).expect("a store");
        let folder = garden_folder(name);
        import_folder(&mut store, &knowledge, &folder).expect("imports");
        let changed = tempfile::tempdir().expect("a folder");
        for entry in fs::read_dir(&folder).expect("reads") {
            let from = entry.expect("reads").path();
            if from.extension().is_some_and(|end| end == "csv") {
                let to = changed.path().join(from.file_name().expect("a name"));
                fs::copy(&from, to).expect("copies");
            }
        }
        let plantings = fs::read_to_string(folder.join("plantings.csv")).expect("reads");
        let mut lines: Vec<&str> = plantings.lines().collect();
        // The last row now stands first and so moves all others, one is corrected, one is gone.
        let last = lines.pop().expect("rows");
        lines.insert(1, last);
        let corrected = lines[4]
            .strip_suffix('"')
            .map_or_else(|| format!("{} wet", lines[4]), |note| format!("{note} wet\""));
        lines.remove(7);
        lines[4] = &corrected;
        write(changed.path(), "plantings.csv", &(lines.join("\n") + "\n"));
        let (files, _) = read_folder(changed.path()).expect("reads");
        let withdraw = Options { withdraw: true, ..options() };
        let tally = import(&mut store, &knowledge, &files, "folder", withdraw).expect("imports");
        assert_eq!((tally.tally.corrected, tally.tally.missing.len()), (1, 1), "{name}");
        let whole = garden(&store, &knowledge);
        // What stands now is what the changed files say, as if they had been the first.
        let mut fresh = Store::in_memory().expect("a store");
        import_folder(&mut fresh, &knowledge, changed.path()).expect("imports");
        assert_eq!(format!("{whole:?}"), format!("{:?}", garden(&fresh, &knowledge)), "{name}");
        one_bed_has_what_the_garden_has_of_it(&path, &knowledge, &whole);
        let (shared, beds) = store.into_beds(&knowledge).expect("reads");
        let mut parts = vec![shared; 5];
        let mut seen = 0;
        loop {
            let taken = beds.next(&mut parts).expect("reads");
            if taken.is_empty() {
                break;
            }
            for (at, part) in taken.zip(&parts) {
                let bed = &*beds.name(at);
                assert_eq!(part.beds.len(), 1, "{name} {bed}");
                macro_rules! same {
                    ($($kind:ident)*) => { $(
                        let of_bed = whole.$kind.iter().filter(|one| &*one.place.bed == bed);
                        let of_bed: Vec<_> = of_bed.cloned().collect();
                        assert_eq!(*part.$kind, of_bed, "{name} {bed}");
                        seen += of_bed.len();
                    )* };
                }
                same! { plantings observations harvests amendments soil_tests treatments }
            }
        }
        let all = whole.plantings.len()
            + whole.observations.len()
            + whole.harvests.len()
            + whole.amendments.len()
            + whole.soil_tests.len()
            + whole.treatments.len();
        assert_eq!(seen, all, "{name}");
    }
}

/// A bed read alone comes with its own records, what all beds share and the crops of the garden.
fn one_bed_has_what_the_garden_has_of_it(path: &Path, knowledge: &Knowledge, whole: &Garden) {
    for bed in &whole.beds {
        let names = ["no such bed", &*bed.name.to_uppercase(), "L1"];
        let store = Store::open(path).expect("opens");
        let one = store.into_one_bed(knowledge, &names).expect("reads").expect("there is one");
        let mut expected = whole.clone();
        expected.beds.retain(|other| other.name == bed.name);
        macro_rules! keep_own {
            ($($kind:ident)*) => { $( expected.$kind.retain(|one| one.place.bed == bed.name); )* };
        }
        keep_own! { plantings observations harvests amendments soil_tests treatments }
        assert_eq!(format!("{:?}", one.garden), format!("{expected:?}"), "{}", bed.name);
        let grown = whole.plantings.iter().filter(|planting| !planting.is_volunteer());
        assert!(grown.map(|planting| planting.crop).collect::<BTreeSet<_>>() == one.grown);
    }
    let store = Store::open(path).expect("opens");
    assert!(store.into_one_bed(knowledge, &["no such bed"]).expect("reads").is_none());
}
