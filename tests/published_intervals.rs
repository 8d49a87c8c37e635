//! Published years without a host against the day on which the program's wait ends.
//!
//! For each crop and pathogen with published years, all rows of the pair taken together: a
//! moderate, laboratory-named disease on the crop, the crop cleared, and the question from which
//! day the crop may stand there again. The table and its sources: fixtures/published/intervals.csv.
//!
//! A second pass asks the same with the pair's own rows taken out of the program's table: what it
//! would say of a pair that nobody has printed yet, from the other hosts of the pathogen and from
//! its survival. That is told, not asserted.

mod support;

use std::collections::BTreeMap;

use breakcrop::assess::{Proposal, assess};
use breakcrop::knowledge::{CropId, Knowledge, PathogenId};
use breakcrop::origin::Origin;
use breakcrop::policy::Policy;
use breakcrop::records::{
    Bed, BedKind, Certainty, Extent, Garden, Observation, Place, Planting, Seen,
};
use breakcrop::season::{Date, Interval, add_days, iso_day, years_between};
use breakcrop::state::BedState;
use breakcrop::units::Metres;
use support::published;

/// Half a month either way: years are printed whole, days are counted.
const TOLERANCE: f64 = 0.04;

struct Range {
    low: f64,
    high: f64,
    rows: usize,
}

fn day(text: &str) -> Date {
    iso_day(text).expect("a day")
}

/// A bed whose crop fell moderately ill and was cleared on a day.
fn garden(crop: CropId, pathogen: PathogenId, cleared: Date) -> Garden {
    let origin = |file| Origin::new(file, 2);
    let place = Place::whole("bed");
    Garden {
        beds: vec![Bed {
            name: "bed".into(),
            kind: BedKind::Ground,
            length: Metres(6.0),
            width: Metres(1.2),
            x: None,
            y: None,
            soil_depth: None,
            records_from: Some(day("2000-01-01")),
            note: "".into(),
            origin: origin("beds.csv"),
        }]
        .into(),
        plantings: vec![Planting {
            place: place.clone(),
            crop,
            variety: "".into(),
            rootstock: "".into(),
            resistance: "".into(),
            method: None,
            stood: Interval { start: add_days(cleared, -120.0), end: Some(cleared) },
            plants: None,
            area: None,
            row_spacing: None,
            plant_spacing: None,
            residue: None,
            note: "".into(),
            origin: origin("plantings.csv"),
        }]
        .into(),
        observations: vec![Observation {
            place,
            date: add_days(cleared, -20.0),
            crop: Some(crop),
            seen: Seen::Pathogen(pathogen),
            symptom: "".into(),
            extent: Some(Extent::Moderate),
            certainty: Certainty::Laboratory,
            note: "".into(),
            origin: origin("observations.csv"),
        }]
        .into(),
        ..Garden::default()
    }
}

/// Years from clearing to the end of the wait; `None` if waiting does not clear it.
fn wait_ends(
    knowledge: &Knowledge,
    policy: &Policy,
    crop: CropId,
    pathogen: PathogenId,
) -> Option<f64> {
    let cleared = day("2015-09-01");
    let garden = garden(crop, pathogen, cleared);
    let on = add_days(cleared, 7.0);
    let state = BedState::at(&garden, knowledge, policy, &Place::whole("bed"), on);
    let assessment = assess(knowledge, policy, &state, &Proposal::of(crop, on));
    assessment.earliest.map(
        |earliest| {
            if earliest == on { 0.0 } else { years_between(cleared, earliest) }
        },
    )
}

#[test]
fn published_intervals() {
    let (rows, is_own) = published("intervals.csv");
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let mut pairs: BTreeMap<(CropId, PathogenId), Range> = BTreeMap::new();
    let mut left_out = 0;
    for row in &rows {
        let crop = knowledge.names.crop(&knowledge.crops, row.get("crop")).ok();
        let key = crop.map(|crop| knowledge.crops[crop].key.to_string());
        let pathogen = knowledge
            .names
            .pathogen(&knowledge.pathogens, key.as_deref(), row.get("pathogen"))
            .ok();
        let (Some(crop), Some(pathogen), Some(low)) = (crop, pathogen, row.number("years_min"))
        else {
            println!(
                "{} / {} [{}] left out: no crop, pathogen or years",
                row.get("crop"),
                row.get("disease"),
                row.get("pathogen")
            );
            left_out += 1;
            continue;
        };
        let high = row.number("years_max").unwrap_or(low);
        let range = pairs.entry((crop, pathogen)).or_insert(Range { low, high, rows: 0 });
        range.low = range.low.min(low);
        range.high = range.high.max(high);
        range.rows += 1;
    }
    let mut agree = 0;
    for ((crop, pathogen), range) in &pairs {
        let got = wait_ends(&knowledge, &policy, *crop, *pathogen);
        let inside = got
            .is_some_and(|years| range.low - TOLERANCE <= years && years <= range.high + TOLERANCE);
        agree += usize::from(inside);
        println!(
            "{} x {} ({} rows) expected={}..{} got={}{}",
            knowledge.crops[*crop].key,
            knowledge.pathogens[*pathogen].key,
            range.rows,
            range.low,
            range.high,
            got.map_or("never".to_owned(), |years| format!("{years:.2}")),
            if inside { "" } else { "   <-- differs" }
        );
    }
    let full = Knowledge::embedded().intervals;
    let mut knowledge = knowledge;
    let (mut unseen, mut near) = (0, 0);
    for ((crop, pathogen), range) in &pairs {
        knowledge.intervals = full.without(&knowledge.pathogens, |row| {
            row.crop == Some(*crop) && row.pathogen == Some(*pathogen)
        });
        let got = wait_ends(&knowledge, &policy, *crop, *pathogen);
        let off = got.map(|years| (range.low - years).max(years - range.high).max(0.0));
        unseen += usize::from(off.is_some_and(|off| off <= TOLERANCE));
        near += usize::from(off.is_some_and(|off| off <= 1.0 + TOLERANCE));
        println!(
            "own rows left out: {} x {} expected={}..{} got={}",
            knowledge.crops[*crop].key,
            knowledge.pathogens[*pathogen].key,
            range.low,
            range.high,
            got.map_or("never".to_owned(), |years| format!("{years:.2}")),
        );
    }
    println!("own rows left out: inside {unseen}/{0}, within a year {near}/{0}", pairs.len());
    println!("{left_out} rows without crop, pathogen or years left out");
    println!("intervals: {agree}/{}", pairs.len());
    if is_own {
        assert!(agree * 100 >= pairs.len() * 95, "{agree} of {}", pairs.len());
    }
}
