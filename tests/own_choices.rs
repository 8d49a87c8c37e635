//! Own values laid over the choices of the project: they count, they are named under every answer,
//! what cannot stand is located, and none that is allowed breaks a judgment.
#![expect(clippy::disallowed_methods, reason = "the test writes choices and record files")]

mod support;

use std::path::Path;

use breakcrop::assess::{Proposal, assess};
use breakcrop::estimate::Estimate;
use breakcrop::import::read_folder;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::{OwnValue, Policy};
use breakcrop::records::Place;
use breakcrop::season::iso_day;
use breakcrop::state::BedState;
use support::{garden_folder, garden_of, run};

/// A garden with a bed of wilted tomatoes, and a folder with own choices.
fn garden(choices: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap_or(Path::new("."))).expect("a folder");
        std::fs::write(path, text).expect("writes");
    };
    write(
        "records/beds.csv",
        "bed,kind,length_m,width_m,records_from\nb1,ground,6,1.2,2024-01-01\n",
    );
    write(
        "records/plantings.csv",
        "bed,crop,planted,removed\nb1,snap bean,2025-05-01,2025-10-01\n",
    );
    write("advice/policy.csv", choices);
    let imported =
        run(folder.path(), &["-g", "g.breakcrop", "--today", "2026-04-01", "import", "records"]);
    assert_eq!(imported.code, 0, "{}", imported.stderr);
    folder
}

const HISTORY: &str = "choice,low,likely,high,reason\n\
    known_history_years,,1,,two years of notes are all there is here\n";

#[test]
fn an_own_choice_counts_and_is_named_under_the_answer() {
    let folder = garden(HISTORY);
    let ask = |more: &[&str]| {
        let mut arguments = vec!["-g", "g.breakcrop", "--today", "2026-04-01"];
        arguments.extend(more);
        arguments.extend(["assess", "b1", "lettuce", "--on", "2026-04-15"]);
        run(folder.path(), &arguments).stdout
    };
    let (ours, own) = (ask(&[]), ask(&["--tables", "advice"]));
    assert!(ours.contains("before 2024-01-01"), "two years are few by our choice: {ours}");
    assert!(!own.contains("before 2024-01-01"), "and enough by theirs: {own}");
    let note = "with your own choice of known_history_years [advice/policy.csv]";
    assert!(own.contains(note), "{own}");
    assert!(!ours.contains("your own choice"), "{ours}");
}

#[test]
fn the_choices_are_printed_with_own_ones_beside_ours() {
    let folder = garden(HISTORY);
    let asked = run(folder.path(), &["--tables", "advice", "--width", "200", "policy"]);
    let wanted = "known_history_years = 1, yours: two years of notes are all there is here \
        [advice/policy.csv:2]; ours = 4: Years of record";
    assert!(asked.stdout.contains(wanted), "{}", asked.stdout);
    let asked = run(folder.path(), &["--tables", "advice", "--json", "policy"]);
    let document: serde_json::Value = serde_json::from_str(&asked.stdout).expect("JSON");
    let choices = document["choices"].as_array().expect("a list");
    let own: Vec<_> = choices.iter().filter(|choice| !choice["own"].is_null()).collect();
    assert_eq!(own.len(), 1);
    assert_eq!(own[0]["choice"], "known_history_years");
    assert_eq!(own[0]["own"]["source"], "advice/policy.csv:2");
}

#[test]
fn choices_that_cannot_stand_are_located_and_nothing_is_answered() {
    let folder = garden(
        "choice,low,likely,high,reason\n\
         wait_los,,0.2,,a slip of the pen\n\
         wait_loss,,1.2,,more than all\n\
         care_loss,,-0.1,,less than nothing\n\
         overlap_days,,7.5,,half a day\n\
         extent_light,0.2,0.1,0.3,out of order\n\
         film_days,,25,,\n\
         gap_days,,300,,once\n\
         gap_days,,200,,twice\n",
    );
    let asked =
        run(folder.path(), &["-g", "g.breakcrop", "--tables", "advice", "assess", "b1", "leek"]);
    assert_eq!((asked.code, asked.stdout.as_str()), (3, ""));
    for wanted in [
        "unknown choice \"wait_los\"",
        "advice/policy.csv:2:1",
        "did you mean `wait_loss`?",
        "yours may be 1 at most",
        "advice/policy.csv:3:12",
        "ours is of another sign, or is not nothing",
        "this choice is a whole number",
        "in this order of size",
        "this must not be blank",
        "the same stands at line 8",
        "7 problems in your own choices; nothing was done",
    ] {
        assert!(asked.stderr.contains(wanted), "{wanted} is missing in:\n{}", asked.stderr);
    }
}

#[test]
fn no_choice_halved_or_doubled_breaks_a_judgment() {
    let knowledge = Knowledge::embedded();
    let files = read_folder(&garden_folder("gullcombe_terrace")).expect("reads").0;
    let garden = garden_of(
        &knowledge,
        files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice())),
        "the demo garden",
    );
    let on = iso_day("2026-10-12").expect("a day");
    let judged: Vec<(Place, Proposal)> = [("L1", "tomato"), ("L2", "strawberry"), ("L4", "kale")]
        .map(|(bed, crop)| {
            let crop = knowledge.crops.find(crop).expect("a crop");
            (Place::whole(bed), Proposal::of(crop, on))
        })
        .into();
    let ours = Policy::default();
    let mut laid = 0;
    // One of the three beds for each: three times as many judgments find no more.
    for (at, (choice, value, _)) in ours.entries().into_iter().enumerate() {
        let (place, proposal) = &judged[at % judged.len()];
        for factor in [0.5, 2.0] {
            let mut policy = ours.clone();
            if policy.lay(choice, times(value, factor)).is_err() {
                continue;
            }
            laid += 1;
            let state = BedState::at(&garden, &knowledge, &policy, place, on);
            let share = assess(&knowledge, &policy, &state, proposal).expected_yield;
            let holds = share.low >= 0.0 && share.low <= share.likely && share.likely <= share.high;
            assert!(holds && share.high < 3.0, "{choice} times {factor}: {share:?}");
        }
    }
    assert!(laid > 400, "only {laid} of {} were laid", 2 * ours.entries().len());
}

/// The choice times a factor, a part of something 1 at most.
fn times(ours: Estimate, factor: f64) -> OwnValue {
    let is_part = ours.low >= 0.0 && ours.high < 1.0;
    let scaled = |figure: f64| if is_part { (figure * factor).min(1.0) } else { figure * factor };
    let is_range = ours.low < ours.high;
    OwnValue {
        low: is_range.then(|| scaled(ours.low)),
        likely: scaled(ours.likely),
        high: is_range.then(|| scaled(ours.high)),
    }
}
