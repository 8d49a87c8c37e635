//! The replay of the past: its score on the demo garden and on simulated gardens of known truth,
//! what counts as seen, and the proof that it does not peek.
//!
//! `FROM=121 GARDENS=60 cargo test --test replay -- --nocapture` plays more simulated gardens and
//! prints their calibration and their yields. The forecast was built on gardens 1 to 30; what
//! DEVELOPERS.md tells of it is of others.
#![expect(clippy::disallowed_methods, reason = "the test reads record files")]
#![expect(clippy::print_stdout, reason = "with --nocapture the tables are read")]

mod support;

use breakcrop::assess::Verdict;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::{Garden, Observation, Planting, Seen};
use breakcrop::replay::{Case, Forecast, Outcome, Past, Replay, Score, Unscored, replay};
use breakcrop::season::{Date, add_days, iso_day};
use std::fmt::Write as _;
use std::sync::OnceLock;

use proptest::prelude::*;
use support::simulated_garden::{Plan, simulate};
use support::{garden_folder, garden_of, run};

fn knowledge() -> &'static Knowledge {
    static TABLES: OnceLock<Knowledge> = OnceLock::new();
    TABLES.get_or_init(Knowledge::embedded)
}

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

fn fixture(knowledge: &Knowledge, name: &str) -> Garden {
    let files: Vec<(String, Vec<u8>)> = std::fs::read_dir(garden_folder(name))
        .expect("the folder")
        .map(|entry| entry.expect("an entry").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "csv"))
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            (name, std::fs::read(&path).expect("reads"))
        })
        .collect();
    garden_of(knowledge, files, name)
}

fn print(name: &str, score: &Score) {
    println!(
        "{name}: {} scored, {} came, {:.1} expected, Brier {:.4}, base rate {:.4}, hindsight {:.4}, \
         level by chance {:.3}, boldness by chance {:.3}, gain {}",
        score.cases,
        score.came,
        score.expected,
        score.brier,
        score.reference,
        score.hindsight,
        score.level_by_chance,
        score.boldness_by_chance,
        score.gain.map_or(String::new(), |gain| format!(
            "{:.4} ({:.4} to {:.4})",
            gain.likely, gain.low, gain.high
        )),
    );
    for class in &score.calibration {
        println!(
            "  {:.2} to {:.2}: {} with mean {:.3}, {} came: {:.3} to {:.3}",
            class.from,
            class.to,
            class.cases,
            class.mean_chance,
            class.came,
            class.share.low,
            class.share.high
        );
    }
}

#[test]
fn the_demo_garden_is_foretold_better_than_by_its_base_rate() {
    let knowledge = knowledge();
    let garden = fixture(knowledge, "gullcombe_terrace");
    let played = replay(knowledge, &Policy::default(), &garden, day("2026-10-12"));
    let score = played.score.as_ref().expect("scored");
    print("demo", score);
    assert!(score.skill.expect("a reference") > 0.0, "{score:?}");
    assert!(score.brier < score.hindsight, "{score:?}");
    // Calibrated within what so few plantings allow to say: one class in twenty may miss its interval
    // by chance.
    let missed = score.calibration.iter().filter(|class| !class.holds()).count();
    assert!(missed <= 1, "{score:?}");
    assert!(score.level_by_chance > 0.05 && score.boldness_by_chance > 0.05, "{score:?}");
    // What was planted against the advice to wait fell sick more often than what it let be planted
    // with care.
    let share = |at: usize| played.verdicts[at].sick as f64 / played.verdicts[at].scored as f64;
    assert!(share(2) > share(1), "{:?}", played.verdicts);
    // Every planting has its place: scored, or left open for a reason that is told.
    let open: usize = Unscored::ALL.into_iter().map(|why| played.left_open(why)).sum();
    assert_eq!(open + score.cases, played.plantings.len());
}

/// A case with the garden that it is of.
type OfGarden = (u64, Case);

/// Gardens of known truth: what was said, what somebody who knew the truth would have said, and the
/// harvests.
struct Simulated {
    ours: Vec<OfGarden>,
    seer: Vec<OfGarden>,
    /// Expected beside usual, picked beside usual, of every harvest with an earlier one.
    harvests: Vec<(f64, f64)>,
    /// How much nearer than the usual harvest the expected one came, of each garden the mean.
    gains: Vec<f64>,
    /// How often the picked harvest lay in the range expected.
    within: usize,
    /// Harvests that each part of the expected yield brought nearer, and led away from.
    parts: std::collections::BTreeMap<&'static str, (usize, usize)>,
}

fn simulated(seeds: std::ops::Range<u64>) -> Simulated {
    let knowledge = knowledge();
    let mut all = Simulated {
        ours: Vec::new(),
        seer: Vec::new(),
        harvests: Vec::new(),
        gains: Vec::new(),
        within: 0,
        parts: std::collections::BTreeMap::new(),
    };
    for seed in seeds {
        let plan = Plan { seed, beds: 12, years: 10, looks: 0.8 };
        let simulated = simulate(knowledge, &plan);
        let played = replay(knowledge, &Policy::default(), &simulated.garden, simulated.today);
        assert_eq!(played.plantings.len(), simulated.true_chances.len());
        for (one, truth) in played.plantings.iter().zip(&simulated.true_chances) {
            let Some(came) = one.outcome.came() else { continue };
            let reference = one.forecast.base_rate;
            all.ours.push((seed, Case { chance: one.forecast.chance, reference, came }));
            all.seer.push((seed, Case { chance: *truth, reference, came }));
        }
        let harvests = played.harvests.expect("harvests of ten years");
        all.harvests.extend(
            harvests
                .cases
                .iter()
                .map(|case| (case.expected.likely / case.usual, case.picked / case.usual)),
        );
        all.gains.extend(harvests.gain.map(|gain| gain.likely));
        all.within += harvests.within;
        for one in &harvests.parts {
            let part = all.parts.entry(one.part.word()).or_default();
            *part = (part.0 + one.nearer, part.1 + one.farther);
        }
    }
    all
}

fn score(cases: &[OfGarden]) -> Score {
    Score::of(&cases.iter().map(|(_, case)| *case).collect::<Vec<Case>>()).expect("scored")
}

/// How far a weighted sum of outcomes less chances is from nought, in its standard errors, gardens
/// being the sample: plantings of one garden share its diseases, its seasons and its grower, so that
/// counting each as a sample of its own would call chances wrong that are not.
fn off_by_garden(cases: &[OfGarden], weight: impl Fn(&Case) -> f64) -> f64 {
    let mut sums: std::collections::BTreeMap<u64, f64> = std::collections::BTreeMap::new();
    for (garden, case) in cases {
        let came = f64::from(u8::from(case.came));
        *sums.entry(*garden).or_default() += weight(case) * (came - case.chance);
    }
    let squares: f64 = sums.values().map(|sum| sum * sum).sum();
    if squares > 0.0 { sums.values().sum::<f64>() / squares.sqrt() } else { 0.0 }
}

fn in_class(case: &Case, from: f64, to: f64) -> f64 {
    f64::from(u8::from(from <= case.chance && case.chance < to))
}

/// Gardens from which each is a sample of its own.
const MANY: u64 = 30;

#[test]
fn gardens_of_known_truth_are_foretold_with_skill_and_calibrated() {
    let number = |name: &str, else_: u64| {
        std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(else_)
    };
    let (from, gardens) = (number("FROM", 0), number("GARDENS", 6));
    let all = simulated(from..from + gardens);
    let (ours, seer) = (score(&all.ours), score(&all.seer));
    print("ours", &ours);
    print("seer", &seer);
    // The dice are fair, and knowing the truth helps.
    assert!(seer.level_by_chance > 0.01 && seer.boldness_by_chance > 0.01, "{seer:?}");
    assert!(seer.brier < ours.brier);
    // Skill beyond luck.
    assert!(ours.gain.expect("many").low > 0.0, "{ours:?}");
    assert!(ours.skill_on_hindsight.expect("some came") > 0.1, "{ours:?}");
    // Calibrated within sampling error. Few gardens: the whole, the boldness, and each class of the
    // table, every planting a sample, where one class in twenty may miss its interval by chance. Many
    // gardens: the same three, gardens being the sample, so wide that all of them hold in 19 of 20
    // such samples (Bonferroni).
    if gardens < MANY {
        assert!(ours.level_by_chance > 0.01 && ours.boldness_by_chance > 0.01, "{ours:?}");
        let missed = ours.calibration.iter().filter(|class| !class.holds()).count();
        assert!(missed <= 1, "{ours:?}");
    }
    let mut asked = vec![
        ("level".to_owned(), off_by_garden(&all.ours, |_| 1.0)),
        ("boldness".to_owned(), off_by_garden(&all.ours, |case| 1.0 - 2.0 * case.chance)),
    ];
    for class in &ours.calibration {
        let to = if class.to < 1.0 { class.to } else { 1.01 };
        let off = off_by_garden(&all.ours, |case| in_class(case, class.from, to));
        asked.push((format!("{:.2} to {:.2}", class.from, class.to), off));
    }
    for (what, off) in &asked {
        println!("  off by garden, {what}: {off:+.2} standard errors");
    }
    let most = breakcrop::sample::normal_quantile(1.0 - 0.025 / asked.len() as f64);
    if gardens >= MANY {
        assert!(asked.iter().all(|(_, off)| off.abs() < most), "{asked:?} {ours:?}");
    }
    // The yields: what the program says of them without having seen one.
    let rank = breakcrop::sample::rank_correlation(&all.harvests).expect("many");
    let gain = breakcrop::sample::mean(&all.gains).expect("several gardens");
    println!(
        "harvests: {}, rank correlation {rank:+.3}, nearer than the usual harvest by {:+.1} % \
         ({:+.1} to {:+.1}), {} within the range expected",
        all.harvests.len(),
        (gain.likely.exp() - 1.0) * 100.0,
        (gain.low.exp() - 1.0) * 100.0,
        (gain.high.exp() - 1.0) * 100.0,
        all.within,
    );
    println!("  nearer and farther by part: {:?}", all.parts);
    assert!(rank > 0.1, "{rank}");
}

/// A bed with tomatoes and what is written of them.
fn tomatoes(observations: &str) -> Outcome<'static> {
    let knowledge = knowledge();
    let garden = garden_of(
        knowledge,
        [
            ("beds.csv", "bed,kind,length_m,width_m\na,ground,4,1.2\n".to_owned()),
            (
                "plantings.csv",
                "bed,crop,method,planted,removed\na,tomato,transplanted,2024-05-01,2024-10-01\n"
                    .to_owned(),
            ),
            ("observations.csv", format!("bed,date,crop,cause,extent,certainty\n{observations}")),
        ],
        "tomatoes",
    );
    // The test keeps one small garden for as long as it runs.
    let garden: &'static Garden = Box::leak(Box::new(garden));
    breakcrop::replay::outcome(
        garden,
        knowledge,
        &Policy::default(),
        &garden.plantings[0],
        day("2025-01-01"),
    )
}

/// What is said of the last of some plantings of one bed.
fn last_forecast(plantings: &str, observations: &str) -> Forecast {
    let knowledge = knowledge();
    let garden = garden_of(
        knowledge,
        [
            ("beds.csv", "bed,kind,length_m,width_m\na,ground,4,1.2\n".to_owned()),
            ("plantings.csv", format!("bed,crop,method,planted,removed,plants\n{plantings}")),
            (
                "observations.csv",
                format!("bed,date,crop,cause,symptom,extent,certainty\n{observations}"),
            ),
        ],
        "one bed",
    );
    let played = replay(knowledge, &Policy::default(), &garden, day("2026-01-01"));
    played.plantings.last().expect("a planting").forecast.clone()
}

#[test]
fn a_name_counts_by_its_certainty_and_a_wrong_one_leaves_a_risk() {
    let plantings = "a,tomato,transplanted,2024-05-01,2024-10-01,12\n\
                     a,eggplant,transplanted,2025-05-01,2025-10-01,12\n";
    let told = |certainty: &str| {
        let seen = format!("a,2024-09-01,tomato,verticillium_dahliae,,moderate,{certainty}\n");
        last_forecast(plantings, &seen)
    };
    let wilt = knowledge().pathogens.find("verticillium_dahliae").expect("a row");
    let (look, check, laboratory) = (told("suspected"), told("field_check"), told("laboratory"));
    let chance = |forecast: &Forecast| forecast.of(wilt).expect("on record");
    assert!(chance(&look) < chance(&check) && chance(&check) < chance(&laboratory));
    assert!(look.misnamed > check.misnamed && check.misnamed > 0.0);
    assert!(laboratory.misnamed.abs() < 1e-12);
    // Whatever it was, it may take the next nightshade as well.
    assert!(look.chance > 0.5 && look.chance < laboratory.chance, "{look:?}");
}

#[test]
fn healthy_hosts_speak_against_a_name_that_nothing_confirms() {
    let mut plantings = "a,tomato,transplanted,2019-05-01,2019-10-01,12\n".to_owned();
    for year in 2020..2023 {
        let _ = writeln!(plantings, "a,eggplant,transplanted,{year}-05-01,{year}-10-01,20");
    }
    plantings += "a,strawberry,transplanted,2023-05-01,2023-10-01,12\n";
    // The hosts are the same; what differs is how many of them, from the last back, were looked at.
    let seen = |looks: i32| {
        let mut text = "a,2019-09-01,tomato,verticillium_dahliae,,light,suspected\n".to_owned();
        for year in 2023 - looks..2023 {
            let _ = writeln!(text, "a,{year}-09-15,eggplant,healthy,,,");
        }
        text
    };
    let wilt = knowledge().pathogens.find("verticillium_dahliae").expect("a row");
    let chances: Vec<f64> = (0..4)
        .map(|looks| last_forecast(&plantings, &seen(looks)).of(wilt).expect("on record"))
        .collect();
    assert!(chances.windows(2).all(|pair| pair[1] < pair[0]), "{chances:?}");
    assert!(chances[3] < 0.5 * chances[0], "{chances:?}");
}

/// French marigold lowers root-knot; of a species nobody named it may lower nothing. What is sown
/// against a disease is not told to wait for it; what suffers is.
#[test]
fn what_is_sown_against_a_nematode_does_not_wait_for_it() {
    let told = |crop: &str, cause: &str| {
        let plantings = format!(
            "a,tomato,transplanted,2024-05-01,2024-10-01,12\n\
             a,{crop},sown,2025-05-01,2025-10-01,20\n"
        );
        let seen = format!("a,2024-09-01,tomato,{cause},,severe,laboratory\n");
        last_forecast(&plantings, &seen)
    };
    for cause in ["meloidogyne_incognita", "meloidogyne_spp"] {
        let (marigold, okra) = (told("french_marigold", cause), told("okra", cause));
        assert_ne!(marigold.assessment.verdict, Verdict::Wait, "{cause} {marigold:?}");
        assert_eq!(okra.assessment.verdict, Verdict::Wait, "{cause} {okra:?}");
        assert!(marigold.chance < 0.5 * okra.chance, "{cause}");
    }
}

#[test]
fn a_collapse_of_unknown_cause_does_not_darken_crops_that_nobody_lists() {
    let told = |crop: &str| {
        last_forecast(
            &format!(
                "a,tomato,transplanted,2024-05-01,2024-10-01,12\n\
                 a,{crop},sown,2025-05-01,2025-10-01,20\n"
            ),
            "a,2024-08-20,tomato,unknown,one-sided yellowing and brown streaks in the stem,severe,\n",
        )
    };
    let on_record =
        |forecast: &Forecast| -> f64 { forecast.diseases.iter().map(|one| one.chance).sum() };
    let (eggplant, asparagus) = (told("eggplant"), told("asparagus"));
    assert!(on_record(&eggplant) > 0.3, "{eggplant:?}");
    assert!(on_record(&asparagus) < 0.1, "{asparagus:?}");
}

#[test]
fn absence_of_a_record_is_not_health() {
    assert_eq!(tomatoes(""), Outcome::Open(Unscored::NotLookedAt));
    assert_eq!(
        tomatoes("a,2024-05-20,tomato,healthy,,\n"),
        Outcome::Open(Unscored::LookedTooEarly)
    );
    assert!(matches!(tomatoes("a,2024-08-20,tomato,healthy,,\n"), Outcome::Healthy(_)));
    assert_eq!(
        tomatoes("a,2024-08-20,tomato,unknown,light,\n"),
        Outcome::Open(Unscored::CauseUnknown)
    );
    assert_eq!(
        tomatoes("a,2024-08-20,tomato,blossom_end_rot,light,\n"),
        Outcome::Open(Unscored::SomethingElse)
    );
    assert_eq!(
        tomatoes("a,2024-08-20,tomato,plasmodiophora_brassicae,light,\n"),
        Outcome::Open(Unscored::NotItsDisease)
    );
}

#[test]
fn a_named_disease_of_the_bed_is_sickness_whatever_else_was_seen() {
    let told = tomatoes(
        "a,2024-06-20,tomato,healthy,,\na,2024-08-20,tomato,verticillium_dahliae,light,suspected\n\
         a,2024-09-20,tomato,healthy,,\n",
    );
    assert_eq!(told.came(), Some(true));
    assert!(told.is_suspected());
    let knowledge = knowledge();
    let other = knowledge.pathogens.find("meloidogyne_incognita").expect("a row");
    assert_eq!(told.came_of(other), None, "another disease on the crop says nothing of this one");
}

/// All that a forecast says, as text.
fn said(forecast: &Forecast) -> String {
    let Forecast { chance, diseases, on_record, misnamed, new_disease, base_rate, assessment } =
        forecast;
    format!(
        "{chance} {misnamed} {new_disease} {base_rate} {on_record:?} {diseases:?} {assessment:?}"
    )
}

/// What may happen to the records of later days.
#[derive(Clone, Debug)]
enum Later {
    Gone,
    Sick(usize, usize),
    Healthy(usize),
    Cleared(usize, i64),
    Planted(usize, i64),
}

fn later() -> impl Strategy<Value = Later> {
    prop_oneof![
        Just(Later::Gone),
        (0_usize..40, 0_usize..8).prop_map(|(at, cause)| Later::Sick(at, cause)),
        (0_usize..40).prop_map(Later::Healthy),
        (0_usize..40, 0_i64..200).prop_map(|(at, days)| Later::Cleared(at, days)),
        (0_usize..40, 0_i64..400).prop_map(|(at, days)| Later::Planted(at, days)),
    ]
}

/// The garden with something else in its later records, none of which is dated before the day.
fn with_later(garden: &Garden, knowledge: &Knowledge, from: Date, changes: &[Later]) -> Garden {
    let mut other = garden.clone();
    for change in changes {
        let planting = |at: usize| &garden.plantings[at % garden.plantings.len()];
        let seen = |planting: &Planting, seen: Seen| Observation {
            date: from.max(planting.planted()),
            seen,
            crop: Some(planting.crop),
            place: planting.place.clone(),
            ..garden.observations[0].clone()
        };
        match change {
            Later::Gone => {
                other.observations.retain(|seen| seen.date < from);
                other.plantings.retain(|planting| planting.planted() <= from);
                for planting in &mut other.plantings {
                    planting.stood.end = planting.stood.end.filter(|end| *end < from);
                }
            }
            Later::Sick(at, cause) => {
                let (pathogen, _) = knowledge.pathogens.iter().nth(cause * 7).expect("a pathogen");
                other.observations.push(seen(planting(*at), Seen::Pathogen(pathogen)));
            }
            Later::Healthy(at) => other.observations.push(seen(planting(*at), Seen::Healthy)),
            Later::Cleared(at, days) => {
                let count = other.plantings.len();
                let planting = &mut other.plantings[at % count];
                if planting.stood.end.is_none_or(|end| end >= from) {
                    planting.stood.end = Some(add_days(from.max(planting.planted()), *days as f64));
                    planting.residue = Some(breakcrop::records::Residue::DugIn);
                }
            }
            Later::Planted(at, days) => {
                let mut one = planting(*at).clone();
                one.stood.start = add_days(from, (*days + 1) as f64);
                one.stood.end = None;
                other.plantings.push(one);
            }
        }
    }
    other.sort();
    other
}

/// Forecasts of all plantings up to a day, by the record they stand in.
fn forecasts_to(played: &Replay<'_>, to: Date) -> Vec<(String, String)> {
    let mut told: Vec<(String, String)> = played
        .plantings
        .iter()
        .filter(|one| one.planting.planted() <= to)
        .map(|one| (one.planting.origin.to_string(), said(&one.forecast)))
        .collect();
    told.sort();
    told
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(16) })]

    /// No peeking: whatever is written on the day of a planting or later, of it or of others,
    /// changes no forecast made up to that day.
    #[test]
    fn later_records_change_no_earlier_forecast(
        seed in 0_u64..1000,
        sixteenths in 3_usize..15,
        changes in prop::collection::vec(later(), 1..8),
    ) {
        let knowledge = knowledge();
        let policy = Policy::default();
        let plan = Plan { seed, beds: 3, years: 6, looks: 0.9 };
        let simulated = simulate(knowledge, &plan);
        let garden = &simulated.garden;
        let at = garden.plantings.len() * sixteenths / 16;
        let from = garden.plantings[at].planted();
        let other = with_later(garden, knowledge, from, &changes);
        let told = forecasts_to(&replay(knowledge, &policy, garden, simulated.today), from);
        let again = forecasts_to(&replay(knowledge, &policy, &other, simulated.today), from);
        prop_assert!(told.len() > at / 2);
        prop_assert_eq!(told, again);
    }
}

#[test]
fn the_morning_knows_what_stands_but_not_when_it_goes() {
    let knowledge = knowledge();
    let garden = fixture(knowledge, "gullcombe_terrace");
    let mut past = Past::of(&garden);
    for morning in ["2022-01-01", "2023-07-15", "2024-09-14", "2025-07-01", "2026-10-12"] {
        let morning = day(morning);
        let known = past.on_morning(morning);
        let before = |date: Date| date < morning;
        let stood: Vec<&Planting> =
            garden.plantings.iter().filter(|one| before(one.planted())).collect();
        assert_eq!(known.plantings.len(), stood.len());
        for (known, whole) in known.plantings.iter().zip(stood) {
            assert_eq!(known.origin, whole.origin);
            assert_eq!(known.stood.end, whole.stood.end.filter(|end| before(*end)));
        }
        let count = |dates: Vec<Date>| dates.into_iter().filter(|date| before(*date)).count();
        assert_eq!(
            known.observations.len(),
            count(garden.observations.iter().map(|one| one.date).collect())
        );
        assert_eq!(
            known.harvests.len(),
            count(garden.harvests.iter().map(|one| one.date).collect())
        );
        assert_eq!(
            known.treatments.len(),
            count(garden.treatments.iter().map(|one| one.lasted.start).collect())
        );
        let film = known.treatments.iter().all(|one| one.lasted.end.is_none_or(before));
        assert!(film, "no treatment ends before it has ended");
    }
}

/// The question of somebody who has kept notes for five years: was the advice any good?
#[test]
fn the_advice_of_five_years_is_scored_on_one_page() {
    let folder = tempfile::tempdir().expect("a folder");
    let ask = |arguments: &[&str]| {
        let mut all = vec!["-g", "g.breakcrop", "--today", "2026-10-12"];
        all.extend(arguments);
        let ran = run(folder.path(), &all);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        ran.stdout
    };
    let _ = ask(&["import", &garden_folder("gullcombe_terrace").display().to_string()]);
    let text = ask(&["replay", "--worst", "5"]);
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "from the records before it only",
        "what nobody looked at is not taken for healthy",
        "Brier score 0.",
        "the base rate, from the same earlier records, gets 0.",
        "(19 samples in 20)",
        "Did chances mean what they say?",
        "The worst misses, and what they rested on",
        // A crop that fell sick where nothing was on record, and the record that says so.
        "L3 2022-10-22: garlic",
        "[plantings.csv:36]",
        "2023-05-06: Allium white rot on garlic, moderate, by field check [observations.csv:21]",
    ] {
        assert!(flat.contains(told), "{told}\n{text}");
    }
    let json: serde_json::Value =
        serde_json::from_str(&ask(&["--json", "replay", "--worst", "5"])).expect("JSON");
    let score = &json["score"];
    assert!(score["brier"].as_f64() < score["base_rate_brier"].as_f64(), "{score}");
    assert!(score["gain"]["low"].is_f64() && score["calibration"].is_array());
    let worst = json["worst"].as_array().expect("a list");
    assert_eq!(worst.len(), 5);
    for miss in worst {
        let seen = miss["seen"].as_array().expect("records");
        assert!(seen.iter().all(|leaf| leaf["file"] == "observations.csv"), "{miss}");
        assert!(!seen.is_empty() && miss["reasons"].is_array(), "{miss}");
    }
    let plantings = json["plantings"].as_array().expect("a list");
    let of = |outcome: &str| plantings.iter().filter(|one| one["outcome"] == outcome).count();
    let scored = usize::try_from(score["scored"].as_u64().expect("a count")).expect("few");
    assert_eq!(of("sick") + of("healthy"), scored);
    assert!(of("not_looked_at") > scored, "most plantings of a garden are never written of");
}
