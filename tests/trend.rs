//! What the years show: on small gardens worked out by hand, and the grafted plants of the demo
//! garden beside those on their own roots.

mod support;

use std::path::Path;
use std::sync::OnceLock;

use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::Garden;
use breakcrop::season::iso_day;
use breakcrop::state::nutrients::Nutrient;
use breakcrop::trend::{Sides, Trend, trend};
use pretty_assertions::assert_eq;
use support::{garden_folder, garden_of, run};

fn knowledge() -> &'static Knowledge {
    static TABLES: OnceLock<Knowledge> = OnceLock::new();
    TABLES.get_or_init(Knowledge::embedded)
}

fn garden(files: &[(&str, &str)]) -> Garden {
    garden_of(knowledge(), files.iter().copied(), "trend")
}

fn years<'g>(garden: &'g Garden, today: &str) -> Trend<'g> {
    trend(knowledge(), &Policy::default(), garden, iso_day(today).expect("a day"))
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found}, not {expected}");
}

const BED: (&str, &str) = ("beds.csv", "bed,kind,length_m,width_m\na,ground,4,1\n");

#[test]
fn bare_days_are_those_without_plants_mulch_residue_or_film() {
    // 2024 has 366 days. Under plants: 1 Jan to 31 Mar (90 nights to 31 March), 1 Jun to 31 Aug
    // (91). Residue left lies from 31 March to 1 June. Straw lies from 1 November to the end.
    let garden = garden(&[
        BED,
        (
            "plantings.csv",
            "bed,crop,planted,removed,residue\n\
             a,crimson_clover,2024-01-01,2024-03-31,left\n\
             a,tomato,2024-06-01,2024-08-31,composted\n",
        ),
        ("amendments.csv", "bed,date,material\na,2024-11-01,straw\n"),
    ]);
    let told = years(&garden, "2025-01-01");
    let year = &told.beds[0].years[0];
    assert_eq!(year.year, 2024);
    near(year.days, 366.0);
    near(year.planted, 90.0 + 91.0);
    near(year.legumes, 90.0);
    // From 31 August to 31 October: 1 + 30 + 31 days.
    near(year.bare, 62.0);
    assert!((told.years[0].legumes.expect("planted") - 90.0 / 181.0).abs() < 1e-12);
}

#[test]
fn a_section_counts_for_its_part() {
    let garden = garden(&[
        BED,
        (
            "plantings.csv",
            "bed,section,crop,planted,removed\n\
             a,east,pea,2023-01-01,2024-01-01\n\
             a,west,tomato,2023-01-01,2023-07-02\n",
        ),
    ]);
    let told = years(&garden, "2024-01-01");
    let year = &told.beds[0].years[0];
    near(year.legumes, 365.0 / 2.0);
    near(year.bare, 183.0 / 2.0);
}

#[test]
fn a_family_comes_back_after_the_years_free_of_it() {
    let garden = garden(&[
        BED,
        (
            "plantings.csv",
            "bed,section,crop,method,planted,removed\n\
             a,,tomato,transplanted,2020-04-01,2020-10-01\n\
             a,,pepper,transplanted,2022-10-01,2023-07-01\n\
             a,,potato,volunteer,2023-09-01,2023-10-01\n\
             a,east,potato,transplanted,2024-03-01,2024-06-01\n\
             a,west,tomato,transplanted,2024-04-01,2024-09-01\n",
        ),
    ]);
    let told = years(&garden, "2025-01-01");
    assert_eq!(told.families.len(), 1);
    let family = &told.families[0];
    assert_eq!(&*family.family, "Solanaceae");
    // Two years before the pepper; eight and nine months before the two beside each other; a
    // potato that came by itself is no growing.
    let free: Vec<f64> =
        family.returns.iter().map(|one| (one.free_years * 100.0).round() / 100.0).collect();
    assert_eq!(free, [0.67, 0.75, 2.0]);
    assert_eq!(family.too_soon, 2, "less than a year is less than any source prints");
}

#[test]
fn what_is_put_on_comes_and_what_is_picked_leaves() {
    let garden = garden(&[
        BED,
        (
            "plantings.csv",
            "bed,crop,method,planted,removed,residue\n\
             a,tomato,transplanted,2024-04-01,2024-10-01,dug_in\n",
        ),
        ("harvests.csv", "bed,date,crop,mass_kg\na,2024-08-01,tomato,20\n"),
        (
            "amendments.csv",
            "bed,date,material,mass_kg,n_percent,p_percent,k_percent\n\
             a,2024-04-01,feather_meal,1,12,1,0\n",
        ),
    ]);
    let told = years(&garden, "2025-01-01");
    let (_, balance) = told.beds[0].balances[0];
    // 1 kg with 12 % N and 1 % P on 4 m2.
    let came = |nutrient| balance.came(nutrient).likely;
    assert!((came(Nutrient::Nitrogen) - 30.0).abs() < 0.01, "{balance:?}");
    assert!((came(Nutrient::Phosphorus) - 2.5).abs() < 0.01, "{balance:?}");
    assert!(balance.left(Nutrient::Potassium).likely > 5.0, "20 kg of tomatoes hold potassium");
    for nutrient in Nutrient::ALL {
        let net = balance.came(nutrient).likely - balance.left(nutrient).likely;
        assert!((balance.net(nutrient).likely - net).abs() < 1e-9);
    }
}

/// Three seasons of two varieties, and one of grafted plants.
fn trials() -> Garden {
    garden(&[
        ("beds.csv", "bed,kind,length_m,width_m\na,ground,4,1\nb,ground,4,1\n"),
        (
            "plantings.csv",
            "bed,section,crop,variety,rootstock,method,planted,removed,area_m2\n\
             a,n,tomato,red,,transplanted,2022-05-01,2022-10-01,2\n\
             a,s,tomato,Gold,,transplanted,2022-05-10,2022-10-08,2\n\
             b,n,tomato,red,,transplanted,2023-05-01,2023-10-01,2\n\
             b,s,tomato,gold,,transplanted,2023-05-01,2023-10-01,2\n\
             a,n,tomato,red,,transplanted,2024-05-01,2024-10-01,2\n\
             a,s,tomato,gold,,transplanted,2024-05-01,2024-10-01,2\n\
             b,n,tomato,red,some hybrid,transplanted,2025-05-01,2025-10-01,2\n\
             b,s,tomato,red,,transplanted,2025-05-01,2025-07-01,2\n\
             b,s,tomato,gold,,transplanted,2025-08-15,2025-10-01,2\n",
        ),
        (
            "harvests.csv",
            "bed,section,date,crop,mass_kg\n\
             a,n,2022-08-01,tomato,4\na,s,2022-08-01,tomato,8\n\
             b,n,2023-08-01,tomato,4\nb,s,2023-08-01,tomato,8\n\
             a,n,2024-08-01,tomato,4\na,s,2024-08-01,tomato,8.4\n\
             b,n,2025-06-20,tomato,3\nb,n,2025-08-20,tomato,9\nb,s,2025-06-20,tomato,2\n",
        ),
        (
            "observations.csv",
            "bed,section,date,crop,cause,extent,certainty\n\
             b,n,2025-06-25,tomato,healthy,,field_check\n\
             b,s,2025-06-25,tomato,meloidogyne_incognita,severe,field_check\n",
        ),
    ])
}

#[test]
fn varieties_meet_in_the_seasons_that_both_saw_and_at_the_same_age() {
    let garden = trials();
    let told = years(&garden, "2026-01-01");
    let names: Vec<(&Sides, usize)> =
        told.contests.iter().map(|one| (&one.sides, one.matches.len())).collect();
    // Names are told apart without regard to capitals; gold of August meets nobody.
    let varieties = Sides::Varieties("Gold".into(), "red".into());
    assert_eq!(names, [(&Sides::Grafted, 1), (&varieties, 3)]);
    let ratio = told.contests[1].ratio().expect("three seasons");
    assert!(ratio.brackets(2.0) && ratio.low > 1.5 && ratio.high < 2.7, "{ratio:?}");
}

#[test]
fn a_longer_life_does_not_count_for_the_graft() {
    let garden = trials();
    let told = years(&garden, "2026-01-01");
    let season = &told.contests[0].matches[0];
    assert_eq!((season.year, season.age_days, season.same_bed), (2025, 61, true));
    // By 61 days: 3 kg on 2 m2 against 2 kg on 2 m2; the 9 kg of August came later.
    assert!((season.ratio().expect("both weighed") - 1.5).abs() < 1e-12);
    assert!(season.one.looked_at && season.one.sick.is_none());
    assert!(season.other.sick.is_some());
    assert_eq!(told.contests[0].sick(), ((0, 1), (1, 1)));
    assert!(told.contests[0].ratio().is_none(), "one season has no interval");
}

#[test]
fn the_years_of_the_demo_garden_compare_graft_and_own_roots() {
    let folder = tempfile::tempdir().expect("a folder");
    let ask = |arguments: &[&str]| {
        let mut all = vec!["-g", "g.breakcrop", "--today", "2026-10-12"];
        all.extend(arguments);
        let ran = run(Path::new(folder.path()), &all);
        assert_eq!(ran.code, 0, "{}", ran.stderr);
        ran.stdout
    };
    let _ = ask(&["import", &garden_folder("gullcombe_terrace").display().to_string()]);
    let text = ask(&["trend"]);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "tomato: grafted against the same variety on its own roots",
        "2025, in one bed: 9.2 against 4.2 kg/m2",
        "root-knot nematode, 15 % of plants against root-knot nematode, severe",
        "[plantings.csv:72, plantings.csv:73, observations.csv:37, observations.csv:38]",
        "a single season cannot tell the plants from their place",
    ] {
        assert!(flat.contains(told), "{told}\n{text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let json: serde_json::Value = serde_json::from_str(&ask(&["--json", "trend"])).expect("JSON");
    assert_eq!(json["contests"][0]["kind"], "grafted");
    assert!(json["contests"][0]["seasons"][0]["ratio"].as_f64().expect("a ratio") > 2.0);
}
