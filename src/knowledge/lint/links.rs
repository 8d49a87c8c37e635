//! Every key that a row names exists, in columns that may also hold words for several things.
//! Columns that name one thing only are checked by their readers.

use std::collections::BTreeSet;

use super::book::{Book, near, parts};
use super::{Fault, LintRule};
use crate::tabular::Problem;

/// What a column may name.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Target {
    Crop,
    Group,
    Mix,
    Family,
    Pathogen,
    Cause,
}

use Target::{Cause, Crop, Family, Group, Mix, Pathogen};

/// File, column, what it names, further words, and what the message calls it.
type LinkOf =
    (&'static str, &'static str, &'static [Target], &'static [&'static str], &'static str);

const LINKS: &[LinkOf] = &[
    ("modifiers.csv", "pathogen", &[Pathogen], &["all", "nematodes"], "pathogen"),
    ("modifiers.csv", "by", &[Crop], &[], "crop"),
    ("garden_disease_outcomes.csv", "crop", &[Crop], &["any"], "crop"),
    ("disease_curves.csv", "pathogen", &[Pathogen], &["rotation_general"], "pathogen"),
    ("disease_curves.csv", "crop", &[Crop, Group], &["all", "general", "none"], "crop"),
    ("n_credits.csv", "crop", &[Crop, Group, Mix], &["cereal_legume_mix"], "crop"),
    ("cover_growth_curves.csv", "cover", &[Crop, Mix], &["cover_mix"], "cover"),
    ("cover_classes.csv", "group", &[Group], &[], "group"),
    ("intersow.csv", "main_crop", &[Crop, Group], &["any"], "crop"),
    ("intersow.csv", "cover", &[Crop, Group], &["any"], "cover"),
    ("cover_disease_bridge.csv", "cover", &[Crop, Group], &[], "cover"),
    (
        "cover_disease_bridge.csv",
        "pathogen",
        &[Pathogen],
        &["fusarium_spp", "rhizoctonia_spp"],
        "pathogen",
    ),
    ("timing.csv", "applies_to", &[Crop, Group, Mix], &[], "crop"),
    (
        "crop_thresholds.csv",
        "crop",
        &[Crop, Group],
        &[
            "any_leafy",
            "any_outdoor",
            "biennial_any",
            "onion_intermediate",
            "onion_long_day",
            "onion_short_day",
            "soil",
            "tomato_cherry",
            "tomato_dwarf",
        ],
        "crop",
    ),
    ("labour.csv", "crop", &[Crop], &["any", "cover_crop"], "crop"),
    ("yields_garden.csv", "crop", &[Crop], &["mixed_garden"], "crop"),
    (
        "sequence_rules.csv",
        "previous",
        &[Crop, Group, Mix, Family],
        &["any", "cereal_legume_mix", "fallow", "raw_manure", "walnut_roots"],
        "crop",
    ),
    ("sequence_rules.csv", "next", &[Crop, Group, Family], &["any", "same_family"], "crop"),
    ("symptoms.csv", "cause", &[Pathogen, Cause], &[], "cause"),
    ("disease_names.csv", "crop", &[Crop], &[], "crop"),
    ("disease_names.csv", "pathogen", &[Pathogen], &[], "pathogen"),
    ("rootstocks.csv", "susceptible", &[Pathogen], &[], "pathogen"),
    ("intervals.csv", "avoid_families", &[Family], &[], "family"),
    ("pathogens.csv", "host_range_families", &[Family], &[], "family"),
    ("thermal_germination.csv", "crop", &[Crop], &[], "crop"),
    ("emergence_days.csv", "crop", &[Crop], &[], "crop"),
    ("heat_sums.csv", "crop", &[Crop], &[], "crop"),
];

fn keys(book: &Book, target: Target) -> BTreeSet<&str> {
    match target {
        Crop => book.values("crops.csv", "key"),
        Group => book.values("crop_groups.csv", "group"),
        Mix => book.values("cover_mixes.csv", "mix"),
        Family => book.values("crops.csv", "family"),
        Pathogen => book.values("pathogens.csv", "key"),
        Cause => book.values("causes.csv", "key"),
    }
}

pub(super) fn check(book: &Book) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, column, targets, words, of) in LINKS {
        let known: BTreeSet<&str> = targets
            .iter()
            .flat_map(|target| keys(book, *target))
            .chain(words.iter().copied())
            .collect();
        let sheet = book.sheet(file);
        for row in &sheet.rows {
            for part in parts(sheet.cell(row, column)) {
                // `tomato (cherry)` and `fusarium:1` name the part before.
                let name = part.split([':', '(']).next().unwrap_or(part).trim();
                if !known.contains(name) {
                    faults.push(sheet.fault(
                        LintRule::KeyExists,
                        row,
                        column,
                        Problem::UnknownName { of },
                        near(name, known.iter().copied()),
                    ));
                }
            }
        }
    }
    let sheet = book.sheet("family_return.csv");
    let families = keys(book, Family);
    for row in sheet.rows.iter().filter(|row| sheet.cell(row, "subject_kind") == "family") {
        let family = sheet.cell(row, "subject");
        if !families.contains(family) {
            faults.push(sheet.fault(
                LintRule::KeyExists,
                row,
                "subject",
                Problem::UnknownName { of: "family" },
                near(family, families.iter().copied()),
            ));
        }
    }
    faults
}
