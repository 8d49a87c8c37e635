//! Whole rotations that experts call good, and bad ones whose fault they name, written as a bed's
//! records and audited: a good one brings no severe finding on rotation, a bad one brings its fault.
//!
//! Where a year names several crops (`cabbage;cucumber`) each is a way to grow the rotation: every
//! way is a bed of its own. A rotation that comes round (`cyclic`) is grown twice through.

mod support;

use std::collections::BTreeMap;
use std::fmt::Write as _;

use breakcrop::audit::{Audit, FindingClaim, Severity, audit};
use breakcrop::knowledge::{CropId, Knowledge, Role};
use breakcrop::policy::Policy;
use breakcrop::season::{add_days, iso_day};
use support::{Row, garden_of, published};

/// Rules on rotation: what followed what, and what lived on it.
const ROTATION: [&str; 10] = [
    "bad_predecessor",
    "family_interval",
    "green_bridge",
    "host_after_confirmed",
    "host_after_suspected",
    "nematode_buildup",
    "residue_not_ready",
    "run_without_break",
    "shared_host_cover",
    "spacing_on_clean_land",
];
/// Least that agree of the table that the rules were written beside.
const AGREE: usize = 42;
/// Rotations of `model_rotations_more.csv`, written down before the program was asked, that it does
/// not answer as their source does, and why. The first 70 (up to MG36 and MB34) were answered 64 times
/// before anything was changed for them, the other 12 ten times after that.
const DIFFERS: [(&str, &str); 3] = [
    (
        "MB13",
        "a list of waits where white mold is; good published plans set beans straight after cabbage, \
         potato and lettuce (MG35, G08), so on a bed without the disease nothing is said",
    ),
    (
        "MB25",
        "the yields were the lowest of the trial, but its authors found them no lower than after \
         potato itself, and others found corn and sorghum-sudangrass good before potato",
    ),
    (
        "MB32",
        "family years are not asked of covers; three-year plans with red clover are recommended as well (MG10, MG12)",
    ),
];

/// The same of `model_rotations_third.csv`, another 34 written down before the program was asked,
/// which answered 26 of them as their source does.
const DIFFERS_THIRD: [(&str, &str); 2] = [
    ("TB10", "of three crops of spinach in a row; one before lettuce is common and not told"),
    ("TB16", "mustard is grown as a cover, whose diseases are told where they were seen"),
];

/// One growing season of a rotation: the ways to fill it.
struct Season {
    year: i32,
    from: &'static str,
    to: &'static str,
    /// Whether it ends in the year after.
    overwinters: bool,
    crops: Vec<String>,
}

struct Rotation {
    id: String,
    cyclic: bool,
    good: bool,
    fault: String,
    seasons: Vec<Season>,
}

/// When a main crop is sown that has the season to itself.
const MAIN: &str = "04-15";

/// The days of a season by its word. Crops counted through (`crop 3`) take half a year each.
fn season(row: &Row, at: usize, in_year: usize) -> Season {
    let label = row.get("bed_or_year");
    let number = label.split(' ').nth(1).and_then(|number| number.parse::<i32>().ok());
    let number = number.unwrap_or_else(|| i32::try_from(at).expect("few rows") + 1);
    let halves = label.starts_with("crop");
    let year = 2001 + if halves { (number - 1) / 2 } else { number - 1 };
    let second = if halves { number % 2 == 0 } else { in_year > 0 };
    let crops = row.get("crops").split(';').map(str::to_owned).collect();
    let (from, to, overwinters) = match row.get("season") {
        "winter" => ("10-01", "04-01", true),
        "first crop" => ("03-15", "06-30", false),
        _ if second => ("07-15", "10-30", false),
        _ if halves => ("03-15", "06-30", false),
        _ => (MAIN, "09-15", false),
    };
    Season { year, from, to, overwinters, crops }
}

fn rotations(rows: &[Row]) -> Vec<Rotation> {
    let mut found: BTreeMap<String, Vec<&Row>> = BTreeMap::new();
    for row in rows {
        found.entry(row.get("rotation_id").to_owned()).or_default().push(row);
    }
    found
        .into_iter()
        .map(|(id, rows)| {
            let mut seasons: Vec<Season> = Vec::new();
            for (at, row) in rows.iter().enumerate() {
                let label = row.get("bed_or_year");
                let before = rows[..at].iter().filter(|one| one.get("bed_or_year") == label);
                seasons.push(season(row, at, before.count()));
            }
            let last = seasons.iter().map(|season| season.year).max().expect("a season");
            let length = last - 2000;
            if rows[0].get("cyclic") == "yes" && seasons.iter().all(|one| one.year < 2001 + length)
            {
                let again: Vec<Season> = seasons
                    .iter()
                    .map(|one| Season { year: one.year + length, crops: one.crops.clone(), ..*one })
                    .collect();
                seasons.extend(again);
            }
            Rotation {
                cyclic: rows[0].get("cyclic") == "yes",
                good: rows[0].get("kind") == "good",
                fault: rows[0].get("fault").to_owned(),
                id,
                seasons,
            }
        })
        .collect()
}

/// A crop by its key or name; words that stand for several are taken by one of them.
fn crop(knowledge: &Knowledge, written: &str) -> CropId {
    let word = match written {
        "grass" => "perennial_ryegrass",
        "any other crop" => "wheat",
        word => word,
    };
    knowledge
        .crops
        .find(word)
        .or_else(|| knowledge.names.crop(&knowledge.crops, word).ok())
        .unwrap_or_else(|| panic!("no crop {written}"))
}

/// One way to grow a rotation, as the rows of plantings.csv. A cover that lives for years stands on
/// from one season into the next. Grain that fills a main season (wheat, rapeseed, flax) is carried
/// off; what is only grown for the soil is dug in.
fn plantings(knowledge: &Knowledge, rotation: &Rotation, way: usize) -> String {
    let mut stands: Vec<(CropId, String, String, bool)> = Vec::new();
    for season in &rotation.seasons {
        let id = crop(knowledge, &season.crops[way % season.crops.len()]);
        let from = format!("{}-{}", season.year, season.from);
        let to = format!("{}-{}", season.year + i32::from(season.overwinters), season.to);
        let row = &knowledge.crops[id];
        match stands.last_mut() {
            Some(last)
                if last.0 == id && row.role == Role::Cover && &*row.life_cycle == "perennial" =>
            {
                last.2 = to;
            }
            _ => {
                let main = !season.overwinters && season.from == MAIN;
                stands.push((id, from, to, main && &*row.edible_part == "seed"));
            }
        }
    }
    let mut text = "bed,crop,method,planted,removed,residue\n".to_owned();
    for (id, from, to, grain) in stands {
        let cover = knowledge.crops[id].role == Role::Cover;
        let residue = if cover && !grain { "dug_in" } else { "composted" };
        let key = &knowledge.crops[id].key;
        let _ = writeln!(text, "b,{key},sown,{from},{to},{residue}");
    }
    text
}

fn audited(knowledge: &Knowledge, rotation: &Rotation, way: usize) -> Audit {
    let last = rotation.seasons.iter().map(|season| season.year).max().expect("a season");
    let today = iso_day(&format!("{}-12-01", last + 1)).expect("a day");
    let files = [
        (
            "beds.csv",
            "bed,kind,length_m,width_m,records_from\nb,ground,10,1,2000-01-01\n".to_owned(),
        ),
        ("plantings.csv", plantings(knowledge, rotation, way)),
    ];
    let garden = garden_of(knowledge, files, &rotation.id);
    audit(knowledge, &Policy::default(), &garden, add_days(today, 0.0))
}

/// What rotation findings the audit of one way has, each told by its rule.
fn rotation_findings(found: &Audit) -> Vec<(&'static str, Severity, FindingClaim)> {
    let all = found.findings.iter().flat_map(|finding| {
        let own = (finding.rule, finding.severity, finding.claim.clone());
        let again = finding.again.iter();
        std::iter::once(own)
            .chain(again.map(|case| (finding.rule, finding.severity, case.claim.clone())))
    });
    all.filter(|(rule, ..)| ROTATION.contains(rule)).collect()
}

/// The crops that a fault is named for: the last of the rotation, any of one that comes round. Where
/// the fault is named for several ("second and third vegetable crop"), those; the trial behind it
/// (Russo 1997) found no cause, so nothing but the legume after the legume can be shown.
fn named_for(knowledge: &Knowledge, rotation: &Rotation, way: usize) -> Option<Vec<CropId>> {
    let last = if rotation.fault.contains("second and third") { 2 } else { 1 };
    (!rotation.cyclic).then(|| {
        let seasons = rotation.seasons.iter().rev().take(last);
        seasons.map(|season| crop(knowledge, &season.crops[way % season.crops.len()])).collect()
    })
}

/// Whether a finding is on a crop that the fault is named for.
fn speaks_of(claim: &FindingClaim, named_for: Option<&[CropId]>) -> bool {
    match claim {
        FindingClaim::FamilyInterval { crop, .. }
        | FindingClaim::RunWithoutBreak { crop, .. }
        | FindingClaim::BadPredecessor { crop, .. }
        | FindingClaim::SpacingOnCleanLand { crop, .. }
        | FindingClaim::ResidueNotReady { crop, .. } => {
            named_for.is_none_or(|crops| crops.contains(crop))
        }
        _ => false,
    }
}

/// Which rules may tell a fault, by the words in which the table names it.
fn rules_of(fault: &str) -> &'static [&'static str] {
    let says = |words: &[&str]| words.iter().any(|word| fault.contains(word));
    if says(&[
        "same family",
        "after legume",
        "build",
        "consecutive",
        "carry-over",
        "not sustainable",
    ]) {
        &["family_interval", "run_without_break"]
    } else if says(&["poor", "before bean", "shared", "surplus", "forked", "low yields"]) {
        &[
            "bad_predecessor",
            "family_interval",
            "run_without_break",
            "residue_not_ready",
            "spacing_on_clean_land",
        ]
    } else {
        // A disease that a source names for the pair is told by the spacing it asks for.
        &["bad_predecessor", "family_interval", "run_without_break", "spacing_on_clean_land"]
    }
}

/// What a table of rotations came to.
struct Score {
    agree: usize,
    severe_in_good: usize,
    differ: Vec<String>,
    rotations: usize,
    own: bool,
}

#[test]
fn published_model_rotations() {
    let score = scored("model_rotations.csv");
    if score.own {
        assert_eq!(score.severe_in_good, 0, "a good rotation brings a severe finding");
        assert!(score.agree >= AGREE, "{} of {} agree", score.agree, score.rotations);
    }
}

#[test]
fn model_rotations_written_down_first() {
    argued("model_rotations_more.csv", &DIFFERS);
}

#[test]
fn third_model_rotations_written_down_first() {
    argued("model_rotations_third.csv", &DIFFERS_THIRD);
}

/// Holds those of a table that are answered otherwise against the list of reasons.
#[expect(clippy::print_stdout, reason = "a published check prints a line a row")]
fn argued(name: &str, differs: &[(&str, &str)]) {
    let score = scored(name);
    if score.own {
        for (id, why) in differs {
            println!("{id} differs: {why}");
        }
        let known: Vec<&str> = differs.iter().map(|(id, _)| *id).collect();
        assert_eq!(score.differ, known, "those that differ are not those with a reason");
    }
}

/// Audits the rotations of a table and tells each.
#[expect(clippy::print_stdout, reason = "a published check prints a line a row")]
fn scored(name: &str) -> Score {
    let knowledge = Knowledge::embedded();
    let (rows, own) = published(name);
    let rotations = rotations(&rows);
    let (mut agree, mut severe_in_good, mut differ) = (0, 0, Vec::new());
    for rotation in &rotations {
        let ways = rotation.seasons.iter().map(|season| season.crops.len()).max().expect("a way");
        let mut told: BTreeMap<String, usize> = BTreeMap::new();
        let (mut severe, mut with_fault) = (0, 0);
        for way in 0..ways {
            let findings = rotation_findings(&audited(&knowledge, rotation, way));
            let named_for = named_for(&knowledge, rotation, way);
            severe += findings.iter().filter(|one| one.1 == Severity::Severe).count();
            with_fault += usize::from(findings.iter().any(|(rule, _, claim)| {
                rules_of(&rotation.fault).contains(rule) && speaks_of(claim, named_for.as_deref())
            }));
            for (rule, severity, _) in findings {
                *told.entry(format!("{rule}:{}", severity.word())).or_default() += 1;
            }
        }
        let agrees = if rotation.good { severe == 0 } else { with_fault > 0 };
        agree += usize::from(agrees);
        if !agrees {
            differ.push(rotation.id.clone());
        }
        severe_in_good += if rotation.good { severe } else { 0 };
        let told: Vec<String> =
            told.iter().map(|(what, count)| format!("{count} {what}")).collect();
        println!(
            "{} expected={} got={} ({}; {with_fault} of {ways} ways bring the fault) {}",
            rotation.id,
            if rotation.good { "nothing_severe" } else { "fault" },
            match (rotation.good, agrees) {
                (true, true) => "nothing_severe",
                (true, false) => "severe",
                (false, true) => "fault",
                (false, false) => "silence",
            },
            if told.is_empty() { "nothing".to_owned() } else { told.join(", ") },
            rotation.fault,
        );
    }
    println!("{}: {agree}/{}", name.trim_end_matches(".csv"), rotations.len());
    Score { agree, severe_in_good, differ, rotations: rotations.len(), own }
}
