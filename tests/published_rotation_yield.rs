//! Yields of rotation trials against the expected yield: the crop is assessed after the treatment
//! and after the reference, and the two are divided. The table and its sources:
//! `fixtures/published/rotation_yield.csv`.
//!
//! The direction is asked where the row holds that there is one. It holds none where the source
//! found no difference or no benefit, where it warns of chance, where its own range reaches over
//! 100, or where two comparisons of one study on the same treatment went opposite ways. Such a row
//! says that the effect was too small to be seen, not that it was within two percent, so only the
//! range is asked of it; how many of them the likely value agrees with is printed beside.

mod support;

#[path = "support/rotation_trial.rs"]
mod rotation_trial;

use breakcrop::assess::{Assessment, Claim, Proposal, RuleId, assess};
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::{CropId, Knowledge, PathogenId};
use breakcrop::origin::Origin;
use breakcrop::policy::Policy;
use breakcrop::records::{
    Bed, BedKind, Certainty, Extent, Garden, Observation, Place, Planting, Practice, Residue, Seen,
    Treatment,
};
use breakcrop::season::{Date, Interval, iso_day};
use breakcrop::state::BedState;
use breakcrop::units::Metres;
use rotation_trial::{Scene, Trial, trial};
use support::{Row, published};

/// The year in which the crop of a trial is planted, on 1 May.
const YEAR: i32 = 2026;

fn day(year: i32, month_day: &str) -> Date {
    iso_day(&format!("{year}-{month_day}")).expect("a day")
}

/// The scene as records of one bed.
fn garden(scene: &Scene, sick: Option<(PathogenId, Option<Extent>, i32)>) -> Garden {
    let place = Place::whole("bed");
    let origin = |line: usize| Origin::new("trial", u32::try_from(line).expect("few lines"));
    let mut garden = Garden::default();
    garden.beds.push(Bed {
        name: "bed".into(),
        kind: BedKind::Ground,
        length: Metres(10.0),
        width: Metres(1.2),
        x: None,
        y: None,
        soil_depth: None,
        records_from: Some(day(2000, "01-01")),
        note: Box::default(),
        origin: origin(1),
    });
    let mut stand = |crop: CropId, start: Date, end: Date, residue: Option<Residue>| {
        let line = garden.plantings.len() + 1;
        garden.plantings.push(Planting {
            place: place.clone(),
            crop,
            variety: Box::default(),
            rootstock: Box::default(),
            resistance: Box::default(),
            method: None,
            stood: Interval { start, end: Some(end) },
            plants: None,
            area: None,
            row_spacing: None,
            plant_spacing: None,
            residue,
            note: Box::default(),
            origin: origin(line),
        });
    };
    let fate = scene.dug_in.map(|dug_in| if dug_in { Residue::DugIn } else { Residue::Left });
    let last = scene.seasons.len();
    for (at, season) in scene.seasons.iter().enumerate() {
        let year = YEAR - i32::try_from(last - at).expect("few seasons");
        let residue = fate.filter(|_| at + 1 == last && scene.covers.is_empty());
        for crop in season {
            stand(*crop, day(year, "05-01"), day(year, "09-30"), residue);
        }
    }
    for cover in &scene.covers {
        let residue = fate.or(Some(Residue::DugIn));
        stand(*cover, day(YEAR - 1, "10-05"), day(YEAR, "03-15"), residue);
    }
    for (at, practice) in scene.treated.iter().enumerate() {
        garden.treatments.push(Treatment {
            place: place.clone(),
            lasted: Interval { start: day(YEAR, "04-01"), end: Some(day(YEAR, "04-05")) },
            practice: Practice((*practice).into()),
            note: Box::default(),
            origin: origin(at + 1),
        });
    }
    if let Some((pathogen, extent, year)) = sick {
        garden.observations.push(Observation {
            place,
            date: day(year, "04-30"),
            crop: None,
            seen: Seen::Pathogen(pathogen),
            symptom: Box::default(),
            extent: scene.extent.or(extent),
            certainty: Certainty::Laboratory,
            note: Box::default(),
            origin: origin(1),
        });
    }
    garden.sort();
    garden
}

fn assessed(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    scene: &Scene,
    sick: Option<(PathogenId, Option<Extent>, i32)>,
) -> Assessment {
    let garden = garden(scene, sick);
    let on = day(YEAR, "05-01");
    let state = BedState::at(&garden, knowledge, policy, &Place::whole("bed"), on);
    let proposal = Proposal {
        rootstock: scene.rootstock.clone(),
        resistance: scene.resistance.into(),
        ..Proposal::of(crop, on)
    };
    assess(knowledge, policy, &state, &proposal)
}

/// Treatment over reference. A cause that stands in both with the same range is the same bed and
/// cancels. For the return of the crop and for nutrients both sides turn on one unknown (how sick
/// the ground is after the crop, how lean the soil is), so like ends go together; for anything else
/// the ends are crossed, which is the widest range the two allow.
fn ratio(treatment: &Assessment, reference: &Assessment) -> Estimate {
    let crossed = |a: Estimate, b: Estimate| {
        Estimate::new(
            a.low / b.high.max(0.001),
            a.likely / b.likely.max(0.001),
            a.high / b.low.max(0.001),
        )
    };
    let alike = |a: Estimate, b: Estimate| {
        let ends = [a.low / b.low, a.likely / b.likely, a.high / b.high];
        let low = ends.into_iter().fold(f64::INFINITY, f64::min);
        Estimate::new(low, ends[1], ends.into_iter().fold(0.0, f64::max))
    };
    let mut left: Vec<_> = reference.reasons.iter().collect();
    let mut product = Estimate::ONE;
    for reason in &treatment.reasons {
        let same = |other: &&breakcrop::assess::Reason| match (&reason.claim, &other.claim) {
            (Claim::Disease { pathogen: a, .. }, Claim::Disease { pathogen: b, .. }) => a == b,
            _ => reason.rule == other.rule,
        };
        let Some(at) = left.iter().position(same) else {
            product = product * reason.yield_fraction;
            continue;
        };
        let (a, b) = (reason.yield_fraction, left.remove(at).yield_fraction);
        let factor = if a == b {
            Estimate::ONE
        } else if matches!(reason.claim, Claim::Return { .. })
            || reason.rule == RuleId::NutrientSupply
        {
            alike(a, b)
        } else {
            crossed(a, b)
        };
        product = product * factor;
    }
    left.iter()
        .fold(product, |product, reason| product * crossed(Estimate::ONE, reason.yield_fraction))
}

/// The mean over the crops and alternatives that a row speaks of, in percent.
fn modelled(knowledge: &Knowledge, policy: &Policy, trial: &Trial) -> Estimate {
    let mut all = Vec::new();
    for one in &trial.crops {
        let longest = one.treatment.iter().chain(&one.reference).map(|scene| scene.seasons.len());
        let outset = YEAR - i32::try_from(longest.max().unwrap_or(0)).expect("few seasons");
        let extent = trial.disease.as_ref().and_then(|(_, extent)| *extent);
        let sick = one.pathogen.map(|pathogen| (pathogen, extent, outset));
        let judge = |scene: &Scene| assessed(knowledge, policy, one.crop, scene, sick);
        let references: Vec<Assessment> = one.reference.iter().map(judge).collect();
        for treatment in one.treatment.iter().map(judge) {
            all.extend(references.iter().map(|reference| ratio(&treatment, reference)));
        }
    }
    let mean = |end: fn(&Estimate) -> f64| {
        100.0 * all.iter().map(end).sum::<f64>() / all.len().max(1) as f64
    };
    Estimate::new(mean(|one| one.low), mean(|one| one.likely), mean(|one| one.high))
}

/// Above, below, or equal within 2 percent.
fn direction(percent: f64) -> &'static str {
    if percent > 102.0 {
        "above"
    } else if percent < 98.0 {
        "below"
    } else {
        "equal"
    }
}

/// Words by which a row says that no effect could be seen, or none to be sure of.
const NO_DIRECTION: [&str; 10] = [
    "stated as no ",
    "stated as similar",
    "stated as statistically",
    "stated as not significant",
    "stated as equal",
    "stated as neutral",
    "stated as comparable",
    "stated as disappeared",
    "no difference",
    "warns of chance",
];

/// What is compared in a row, without what tells one comparison of it from another.
fn compared(row: &Row) -> [String; 4] {
    let plain = |column: &str| {
        let text = row.get(column).to_lowercase();
        text.split('(').next().unwrap_or_default().trim().to_owned()
    };
    [
        plain("study"),
        plain("crop"),
        plain("previous_crop_or_break_years"),
        plain("reference_treatment"),
    ]
}

/// Why a row holds no direction, if it holds none.
fn no_direction(row: &Row, all: &[Row]) -> Option<&'static str> {
    let said = format!("{} | {}", row.get("comparison"), row.get("derivation")).to_lowercase();
    if NO_DIRECTION.iter().any(|words| said.contains(words)) {
        return Some("no effect to be sure of");
    }
    let (low, high) = (row.number("low_percent"), row.number("high_percent"));
    if low.zip(high).is_some_and(|(low, high)| low < 100.0 && high > 100.0) {
        return Some("its range reaches over 100");
    }
    let way = |row: &Row| row.number("relative_yield_percent").map(direction);
    let contradicted = all.iter().any(|other| {
        compared(other) == compared(row)
            && matches!(
                (way(row), way(other)),
                (Some("above"), Some("below")) | (Some("below"), Some("above"))
            )
    });
    contradicted.then_some("comparisons of the study went opposite ways")
}

#[test]
fn published_rotation_yield() {
    let (rows, is_own) = published("rotation_yield.csv");
    let (knowledge, policy) = (Knowledge::embedded(), Policy::default());
    let (mut expressible, mut inside, mut width) = (0_u32, 0_u32, 0.0);
    let (mut asked, mut right, mut alike) = (0_u32, 0_u32, 0_u32);
    let model = |rows: &[Row]| -> Vec<_> {
        let of_row = |row| {
            let trial = trial(&knowledge, row)?;
            Ok((trial.printed, modelled(&knowledge, &policy, &trial)))
        };
        rows.iter().map(of_row).collect()
    };
    let (first, others) = rows.split_at(rows.len() / 2);
    let answers = std::thread::scope(|scope| {
        let others = scope.spawn(|| model(others));
        let mut answers: Vec<Result<_, String>> = model(first);
        answers.extend(others.join().expect("all rows are modelled"));
        answers
    });
    for (row, answer) in rows.iter().zip(answers) {
        let name = format!(
            "{} | {} | {} | against {}",
            row.get("study"),
            row.get("crop"),
            row.get("previous_crop_or_break_years"),
            row.get("reference_treatment"),
        );
        let (printed, range) = match answer {
            Ok(answer) => answer,
            Err(why) => {
                println!("not expressed ({why}): {name}");
                continue;
            }
        };
        let is_right = direction(range.likely) == direction(printed);
        // Figures are printed to half a percent at best.
        let is_inside = range.low - 0.5 <= printed && printed <= range.high + 0.5;
        expressible += 1;
        let undirected = no_direction(row, &rows);
        if undirected.is_none() {
            asked += 1;
            right += u32::from(is_right);
        } else {
            alike += u32::from(is_right);
        }
        inside += u32::from(is_inside);
        width += range.high - range.low;
        println!(
            "printed={printed} modelled={:.0} ({:.0}-{:.0}) direction={} inside={}: {name}",
            range.likely,
            range.low,
            range.high,
            match undirected {
                Some(why) => format!("not asked, {why}"),
                None if is_right => "yes".to_owned(),
                None => "NO".to_owned(),
            },
            if is_inside { "yes" } else { "NO" },
        );
    }
    let mean_width = width / f64::from(expressible.max(1));
    println!("mean width of the modelled ranges: {mean_width:.0} percent");
    println!(
        "rotation_yield: direction {right}/{asked} of the rows that hold one, and {alike}/{} of the \
         others within 2 percent as printed; inside {inside}/{expressible}; expressible {expressible} \
         of {}",
        expressible - asked,
        rows.len(),
    );
    if is_own {
        assert!(f64::from(right) >= 0.85 * f64::from(asked), "direction: {right} of {asked}");
        assert!(f64::from(inside) >= 0.60 * f64::from(expressible), "inside: {inside}");
    }
}

/// The yield fraction of a crop after seasons of crops, by their keys; an empty key is fallow.
/// Nitrogen is left out: under bare ground it washes away, whatever the rotation.
fn after(knowledge: &Knowledge, crop: &str, seasons: &[&str]) -> Estimate {
    let find = |key: &str| knowledge.crops.find(key).expect("a crop of the tables");
    let seasons =
        seasons.iter().map(|key| if key.is_empty() { Vec::new() } else { vec![find(key)] });
    let scene = Scene { seasons: seasons.collect(), ..Scene::default() };
    let assessment = assessed(knowledge, &Policy::default(), find(crop), &scene, None);
    assessment
        .reasons
        .iter()
        .filter(|reason| reason.rule != RuleId::NutrientSupply)
        .fold(Estimate::ONE, |product, reason| product * reason.yield_fraction)
}

#[test]
fn a_longer_run_never_yields_more_and_a_longer_break_never_less() {
    let knowledge = Knowledge::embedded();
    for crop in ["field_corn", "cabbage", "potato", "strawberry", "wheat", "soybean", "onion"] {
        let mut before = Estimate::exact(2.0);
        for years in 1..8 {
            let now = after(&knowledge, crop, &vec![crop; years]);
            assert!(now.likely <= before.likely + 1e-9, "{crop} after {years} years of itself");
            before = now;
        }
        let mut before = Estimate::ZERO;
        for free in 0..8 {
            let mut seasons = vec![crop];
            seasons.extend(vec![""; free]);
            let now = after(&knowledge, crop, &seasons);
            assert!(now.likely >= before.likely - 1e-9, "{crop} after {free} free years");
            before = now;
        }
    }
}

#[test]
fn a_crop_after_itself_loses_a_twentieth_to_a_fifth_and_then_levels_off() {
    let knowledge = Knowledge::embedded();
    let loss =
        |years: usize| 1.0 - after(&knowledge, "field_corn", &vec!["field_corn"; years]).likely;
    assert!((0.05..=0.20).contains(&loss(1)), "{}", loss(1));
    assert!((0.05..=0.20).contains(&loss(4)), "{}", loss(4));
    assert!(loss(4) > loss(1));
    assert!((loss(7) - loss(4)).abs() < 0.02, "{} {}", loss(4), loss(7));
}
