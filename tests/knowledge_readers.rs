//! The tables that are read at the first question: every row arrives, figures as ranges.

use std::path::Path;

use breakcrop::knowledge::{ActsOn, Knowledge, Meant, MonthDay, Turn, UndersowingKind};
use pretty_assertions::assert_eq;

fn rows_of(file: &str) -> usize {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/knowledge/tables");
    csv::Reader::from_path(folder.join(file)).expect("the table opens").records().count()
}

#[test]
fn every_row_arrives() {
    let knowledge = Knowledge::embedded();
    for (file, read) in [
        ("modifiers.csv", knowledge.modifiers().len()),
        ("garden_disease_outcomes.csv", knowledge.outcomes().len()),
        ("rotation_yield.csv", knowledge.rotation_trials().len()),
        ("disease_curves.csv", knowledge.disease_curves().len()),
        ("n_credits.csv", knowledge.nitrogen_credits().len()),
        ("pan_model.csv", knowledge.availability_points().len()),
        ("cover_growth_curves.csv", knowledge.growth_points().len()),
        ("cover_mixes.csv", knowledge.cover_mixes().len()),
        ("cover_classes.csv", knowledge.cover_classes().len()),
        ("intersow.csv", knowledge.undersowings().len()),
        ("cover_disease_bridge.csv", knowledge.bridges().len()),
        ("timing.csv", knowledge.timing_rules().len()),
        ("climate_normals.csv", knowledge.climate_months().len()),
        ("frost_dates.csv", knowledge.frost_dates().len()),
        ("crop_thresholds.csv", knowledge.threshold_rows().len()),
        ("heat_sums.csv", knowledge.heat_sums().len()),
        ("standards.csv", knowledge.clauses().len()),
        ("windows.csv", knowledge.planting_windows().len()),
        ("yields_garden.csv", knowledge.garden_yields().len()),
        ("labour.csv", knowledge.labour_rows().len()),
    ] {
        assert_eq!((file, read), (file, rows_of(file)));
    }
}

/// One row of a table, found by what it is about, against what the table prints.
#[test]
fn figures_arrive_as_printed() {
    let knowledge = Knowledge::embedded();
    let crop = |key| knowledge.crops.find(key).expect("a crop");
    let pathogen = |key| knowledge.pathogens.find(key).expect("a pathogen");

    let bridge = knowledge
        .bridges()
        .iter()
        .find(|row| {
            row.cover.is(crop("alfalfa")) && row.pathogen.is(pathogen("heterodera_glycines"))
        })
        .expect("a row");
    assert_eq!(bridge.effect, Turn::Lowers);

    let kinds = |kind| knowledge.undersowings().iter().filter(|row| row.kind == kind).count();
    assert_eq!(kinds(UndersowingKind::WeedFreeFrom), 18);
    assert_eq!(kinds(UndersowingKind::WeedFreeUntil), 29);
    assert_eq!(kinds(UndersowingKind::NotAdvised), 5);

    let seed = knowledge.modifiers().iter().filter(|row| row.acts_on == ActsOn::Seed).count();
    assert_eq!(seed, 31);

    let brussels: Vec<f64> = knowledge
        .climate_months()
        .iter()
        .filter(|row| row.station.starts_with("Brussels"))
        .map(|row| row.high_c)
        .collect();
    assert_eq!(brussels.len(), 12);
    assert!((brussels[0] - 5.42).abs() < 1e-9, "January comes first");

    let frost = knowledge
        .frost_dates()
        .iter()
        .find(|row| row.place.starts_with("Brussels"))
        .expect("a row");
    assert_eq!(frost.last_spring, MonthDay::parse("04-11"));

    let night = knowledge.thresholds("tomato", "fruit_set_night_min_c").first().expect("a row");
    assert!((night.range.expect("a number").likely - 15.6).abs() < 1e-9);

    let general = knowledge
        .disease_curves()
        .iter()
        .filter(|row| row.pathogen == Some(Meant::Words("rotation_general".into())))
        .count();
    assert_eq!(general, 25);

    assert!(knowledge.cover_mixes().iter().all(|row| row.members.len() >= 2));
    assert!(
        knowledge
            .rotation_trials()
            .iter()
            .all(|row| row.relative_percent.is_some() || !row.absolute_effect.is_empty())
    );
}
