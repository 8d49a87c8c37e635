//! What the tables come to for a pathogen, a crop, or a pair of them, before any bed is looked at.

use std::fmt::Write;

use breakcrop::assess::{Spans, return_time, suffered};
use breakcrop::climate::Climate;
use breakcrop::knowledge::{CropId, PathogenId};
use breakcrop::policy::Policy;
use breakcrop::records::Residue;
use breakcrop::state::{
    NotLowered, SOIL_TREATMENTS, half_life, lowering, suppression, survey_odds, surveys, warmth,
};

use crate::season::site;
use crate::support::garden_of;
use crate::written::{figure, range, short};
use crate::{crop, day, knowledge};

fn pathogens() -> impl Iterator<Item = PathogenId> {
    knowledge().pathogens.iter().map(|(id, _)| id)
}

/// Those that are asked of most, and every eighth of all.
fn some_pathogens() -> impl Iterator<Item = PathogenId> {
    let often = [
        "verticillium_dahliae",
        "plasmodiophora_brassicae",
        "stromatinia_cepivora",
        "meloidogyne_incognita",
        "sclerotinia_minor",
        "fusarium_oxysporum_lactucae",
        "phytophthora_cactorum",
    ];
    let often = often.map(|key| knowledge().pathogens.find(key).expect("a pathogen"));
    often.into_iter().chain(pathogens().step_by(8).filter(move |id| !often.contains(id)))
}

/// Every third crop: each family and way of growing is among them.
fn some_crops() -> impl Iterator<Item = CropId> {
    knowledge().crops.iter().map(|(id, _)| id).step_by(3)
}

#[test]
fn how_pathogens_last() {
    let policy = Policy::default();
    let garden = site("coast");
    let climate = Climate::of(&garden).expect("twelve months");
    let mut text = String::new();
    for id in pathogens() {
        let row = &knowledge().pathogens[id];
        let warm =
            [("2025-03-10", "2025-05-20"), ("2025-06-10", "2025-08-20")].map(|(from, to)| {
                warmth(&policy, &climate, row, day(from), day(to)).map_or("-".to_owned(), range)
            });
        let _ = writeln!(
            text,
            "{}: {}; may do in spring {}, in summer {}",
            row.key,
            short(&half_life(row, &policy)),
            warm[0],
            warm[1],
        );
    }
    insta::assert_snapshot!(text);
}

#[test]
fn what_lowers_them() {
    let policy = Policy::default();
    let treatments: Vec<String> = SOIL_TREATMENTS
        .iter()
        .flat_map(|practice| {
            // Seven weeks of summer, three of spring, and seven of spring.
            [
                ("2025-06-25", "2025-08-13"),
                ("2025-04-01", "2025-04-22"),
                ("2025-03-15", "2025-05-03"),
            ]
            .map(|(start, end)| format!("b,{start},{end},{practice}\n"))
        })
        .chain(["b,2025-03-01,2025-03-01,lime\n".to_owned()])
        .collect();
    let treatments = treatments.concat();
    let beds = "bed,kind,length_m,width_m\nb,ground,4,1\n".to_owned();
    let files =
        [("beds.csv", beds), ("treatments.csv", format!("bed,start,end,practice\n{treatments}"))];
    let garden = garden_of(knowledge(), files, "treatments");
    let warm = site("coast");
    let climate = Climate::of(&warm).expect("twelve months");
    let mut text = String::new();
    for id in some_pathogens() {
        for treatment in &garden.treatments {
            let by = day("2025-12-01");
            let left = lowering(knowledge(), &policy, Some(&climate), id, treatment, by);
            let Some(left) = told(&left.map(|lowering| lowering.left)) else { continue };
            let (practice, start) = (&treatment.practice.0, treatment.lasted.start);
            let _ = writeln!(text, "{} {practice} from {start}: {left}", short(&id));
        }
        for (crop, _) in knowledge().crops.iter() {
            if !knowledge().may_suppress(crop, id) {
                continue;
            }
            let left = [None, Some(Residue::DugIn), Some(Residue::Removed)].map(|residue| {
                let left = suppression(knowledge(), &policy, id, crop, residue);
                told(&left.map(|lowering| lowering.left)).unwrap_or_default()
            });
            let _ = writeln!(
                text,
                "{} by {}: {}; dug in {}; carried off {}",
                short(&id),
                short(&crop),
                left[0],
                left[1],
                left[2],
            );
        }
    }
    insta::assert_snapshot!(text);
}

/// What is left, or why nothing was taken off; nothing of what is only not published.
fn told(left: &Result<breakcrop::estimate::Estimate, NotLowered>) -> Option<String> {
    match left {
        Ok(left) => Some(range(*left)),
        Err(NotLowered::NonePublished) => None,
        Err(why) => Some(short(why)),
    }
}

#[test]
fn pairs_of_crop_and_pathogen() {
    let policy = Policy::default();
    let mut text = String::new();
    for id in some_pathogens() {
        for key in
            ["tomato", "potato", "cabbage", "lettuce", "onion", "carrot", "pea", "cereal_rye"]
        {
            let spans = Spans::on(knowledge(), id, crop(key));
            if spans.rows.is_empty() {
                continue;
            }
            let years = |years: Option<f64>| years.map_or("-".to_owned(), figure);
            let suffered = suffered(knowledge(), &policy, id, crop(key));
            let _ = writeln!(
                text,
                "{} {key}: shortest {}, longest {}, too few {}, names it {}, never clears {}, first {}; suffers {} doubtful {}",
                short(&id),
                years(spans.shortest),
                years(spans.longest),
                years(spans.too_few),
                spans.names_crop,
                spans.never_clears,
                short(&spans.rows[0].crop),
                range(suffered.part),
                suffered.doubtful,
            );
        }
    }
    insta::assert_snapshot!(text);
}

#[test]
fn crops_by_themselves() {
    let policy = Policy::default();
    let mut text = String::new();
    for id in some_crops() {
        if let Some(again) = return_time(knowledge(), id) {
            let _ = writeln!(
                text,
                "{} returns after {} by {} rows, its own {}",
                short(&id),
                range(again.gap),
                again.rows.len(),
                again.of_crop,
            );
        }
    }
    for (id, _) in knowledge().crops.iter() {
        let odds = survey_odds(knowledge(), &policy, id);
        let told: Vec<String> = odds
            .iter()
            .map(|(cause, odds)| format!("{} {}", short(cause), figure(*odds)))
            .collect();
        if !told.is_empty() {
            let count = surveys(knowledge(), id).len();
            let _ = writeln!(text, "{} by {count} surveys: {}", short(&id), told.join(", "));
        }
    }
    insta::assert_snapshot!(text);
}
