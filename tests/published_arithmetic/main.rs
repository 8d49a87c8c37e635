//! Printed worked examples of garden arithmetic, each computed by the program's own functions. Tables
//! and their sources: `fixtures/published/crop_arithmetic.csv`, `cover_arithmetic.csv` and, written down
//! before the program was asked, `arithmetic_more.csv`; inputs and expected figures are read from the
//! rows by their id.
//!
//! Every printed row is run here, run by another test ([`ELSEWHERE`]), or has its reason
//! ([`NOT_RUN`]); `every_printed_row_is_run_or_has_its_reason` counts them. Rows that are not printed
//! but made from printed ones are run where a function of the program computes them.

mod covers;
mod credits;
mod more;
mod plants;
mod season;
#[path = "../support/mod.rs"]
mod support;
mod waits;

use breakcrop::estimate::Estimate;
use breakcrop::knowledge::{Knowledge, PanLine};
use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::season::iso_day;
use breakcrop::state::nutrients::{
    Ledger, Load, Nutrient, amount_for, nitrogen_in, plant_available, removal, removed_per_kg,
};
use breakcrop::units::{
    Centimetres, Dimension, K_IN_K2O, Kilograms, Litres, P_IN_P2O5, SquareMetres,
};
use support::{Row, garden_of, published};

/// Numbers of a printed text in their order; a comma within a number is no border.
fn numbers(text: &str) -> Vec<f64> {
    text.split(|sign: char| !(sign.is_ascii_digit() || sign == '.'))
        .filter_map(|word| word.trim_end_matches('.').parse().ok())
        .collect()
}

/// One kept unit in the unit of a suffix.
fn unit(dimension: Dimension, suffix: &str) -> f64 {
    let (_, conversion) = dimension
        .suffixes()
        .iter()
        .find(|(name, _)| *name == suffix)
        .expect("a suffix of the record files");
    conversion.apply(1.0)
}

fn square_feet(area: f64) -> SquareMetres {
    SquareMetres(area * unit(Dimension::Area, "ft2"))
}

fn inches(depth: f64) -> Centimetres {
    Centimetres(depth * unit(Dimension::ShortLength, "in"))
}

fn cubic_yards(volume: Litres) -> f64 {
    volume.0 / unit(Dimension::Volume, "yd3")
}

fn pounds(mass: f64) -> Kilograms {
    Kilograms(mass * unit(Dimension::Mass, "lb"))
}

/// Grams a square metre of a pound an acre (43 560 square feet).
fn pounds_an_acre(mass: f64) -> f64 {
    pounds(mass).spread_over(square_feet(43_560.0)).0
}

/// What an amendment of an analysis brings, through the record files and the books, g/m2.
fn booked(knowledge: &Knowledge, mass_lb: f64, area: SquareMetres, npk: [f64; 3]) -> Load {
    let width = area.0 / 10.0;
    let files = [
        ("beds.csv", format!("bed,kind,length_m,width_m\nb,ground,10,{width}\n")),
        (
            "amendments.csv",
            format!(
                "bed,date,material,mass_lb,n_percent,p_percent,k_percent\n\
                 b,2024-03-01,feather_meal,{mass_lb},{},{},{}\n",
                npk[0], npk[1], npk[2]
            ),
        ),
    ];
    let garden = garden_of(knowledge, files, "feather meal");
    let on = iso_day("2024-04-01").expect("a day");
    let ledger = Ledger::at(&garden, knowledge, &Policy::default(), &Place::whole("b"), None, on);
    ledger.booked.first().expect("booked").load.clone()
}

/// One figure: what the program gives, what is printed, how far apart they may lie (the digits
/// printed, or what the row itself allows).
struct Check {
    got: f64,
    want: f64,
    within: f64,
}

fn check(got: f64, want: f64, within: f64) -> Check {
    Check { got, want, within }
}

/// The checks of a row by its id; `None` if it is not run here.
fn crop_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    volume_row(row)
        .or_else(|| product_row(knowledge, row))
        .or_else(|| removal_row(knowledge, row))
        .or_else(|| plants::row(row))
        .or_else(|| season::row(knowledge, row))
        .or_else(|| waits::row(knowledge, row))
}

/// Volumes of compost.
fn volume_row(row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    let compost = |area: f64, depth: f64| cubic_yards(inches(depth).over(square_feet(area)));
    let covered = |depth: f64| {
        let yard = Litres(unit(Dimension::Volume, "yd3"));
        yard.covers(inches(depth)).0 / unit(Dimension::Area, "ft2")
    };
    // The printed factor 0.0031 stands for 1/324 and is half a percent high.
    let factor = |want: f64| 0.006 * want;
    Some(match row.get("id") {
        "C01" => vec![check(compost(given[2], given[3]), want[1], 0.06)],
        "C02" => vec![check(compost(given[2], given[3]), want[0], factor(want[0]))],
        "C03" => vec![check(compost(given[0], given[1]), want[1], factor(want[1]))],
        "C04" => vec![check(covered(given[0]), want[0], 1.0)],
        "C05" => given.iter().zip(&want).map(|(d, want)| check(covered(*d), *want, 0.5)).collect(),
        // The table misprints 135; the true figure stands behind it.
        "C06" => vec![check(covered(given[0]), want[3], 0.05)],
        "C07" => vec![check(compost(given[0], given[1]), want[0], 0.05)],
        "C09" => {
            let bed = square_feet(given[0] * given[1]);
            let layer = inches(given[2]).over(bed);
            vec![
                check(cubic_yards(layer), want[2], 0.00005),
                check(layer.0 / unit(Dimension::Volume, "ft3"), want[3], 0.005),
                check(layer.0, want[4], 0.05),
            ]
        }
        "C08" => {
            let yard = unit(Dimension::Volume, "yd3");
            vec![
                check(yard / unit(Dimension::Volume, "ft3"), want[0], 1e-9),
                check(yard / unit(Dimension::Volume, "gal"), want[1], 0.5),
            ]
        }
        _ => return None,
    })
}

/// Amounts of products and what they bring.
fn product_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    Some(match row.get("id") {
        "C10" => {
            let share = Estimate::exact(given[3] / 100.0);
            vec![check(amount_for(given[0], share)?.likely, want[0], 1e-9)]
        }
        "C11" => {
            let per_area = amount_for(given[0], Estimate::exact(given[2] / 100.0))?.likely;
            vec![check(per_area, want[0], 0.01), check(per_area * 5.0, want[2], 0.02)]
        }
        "C12" => {
            let first = amount_for(given[2], Estimate::exact(0.55))?.likely;
            let nitrogen = first * 0.11;
            let rest = given[1] - nitrogen;
            let second = amount_for(rest, Estimate::exact(0.21))?.likely;
            vec![
                check(first, want[0], 0.05),
                check(nitrogen, want[4], 0.05),
                check(rest, want[5], 0.05),
                check(second, want[6], 0.05),
            ]
        }
        "C13" => {
            let ground = SquareMetres(10.0);
            let total = |load: &Load, at: usize| {
                load.grams[at].likely * ground.0 / 1000.0 / unit(Dimension::Mass, "lb")
            };
            let fish = booked(knowledge, given[0], ground, [given[1], given[2], 0.0]);
            let bone = booked(knowledge, given[3], ground, [given[4], given[5], 0.0]);
            vec![
                check(total(&fish, 0), want[0], 0.05),
                check(total(&fish, 1), want[1], 0.05),
                check(total(&bone, 0), want[2], 0.05),
                check(total(&bone, 1), want[3], 0.05),
                check(total(&fish, 0) + total(&bone, 0), want[4], 0.05),
                check(total(&fish, 1) + total(&bone, 1), want[5], 0.05),
            ]
        }
        "C14" => {
            let ground = square_feet(given[4]);
            let analysis = [given[1], given[2] * P_IN_P2O5, given[3] * K_IN_K2O];
            let load = booked(knowledge, given[0], ground, analysis);
            let printed = [want[0], want[1] * P_IN_P2O5, want[4] * K_IN_K2O];
            let pounds = unit(Dimension::Mass, "lb") * 1000.0;
            (0..3)
                .map(|at| check(load.grams[at].likely * ground.0 / pounds, printed[at], 1e-6))
                .collect()
        }
        "C16" => {
            let mass_lb = given[6] / 10_000.0 * 10.0 / unit(Dimension::Mass, "lb");
            let load = booked(knowledge, mass_lb, SquareMetres(10.0), [20.0, 10.0, 10.0]);
            let kg_ha = load.grams.map(|grams| grams.likely * 10.0);
            vec![
                check(kg_ha[0], want[0], 1e-6),
                check(kg_ha[1], want[1], 1e-6),
                check(kg_ha[2], want[2], 1e-6),
                check(kg_ha[1] - given[1], want[3], 1e-6),
                check(given[4] - kg_ha[2], want[6], 1e-6),
            ]
        }
        _ => return None,
    })
}

/// What crops take, oxides, the line of plant-available nitrogen, yields by area.
fn removal_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let line = knowledge.nutrients().pan_line();
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    Some(match row.get("id") {
        // What leaves with the crop is its dry matter times the percent in it.
        "C17" => {
            let dry = given[0] * 2000.0 * given[1] / 100.0;
            let oxide = nitrogen_in(dry, given[2]);
            vec![check(oxide, want[3], 0.05), check(oxide / given[0], want[4], 0.015)]
        }
        "C28" => {
            let acre = pan_pounds(line, given[0]) * given[1];
            vec![check(pan_pounds(line, given[0]), want[0], 1e-9), check(acre, want[2], 1e-9)]
        }
        "C18" => (0..3)
            .map(|at| {
                let taken = removal(given[0] / 10.0, Estimate::exact(given[at + 1])).likely;
                check(taken * 10.0, want[at], 1e-9)
            })
            .collect(),
        "C19" | "C20" => {
            // A printed removal and yield against the printed kilograms a tonne.
            let tonnes_m2 = pounds_an_acre(given[0] * 2000.0) / 1000.0;
            let per_t = if row.get("id") == "C19" {
                [want[1], want[2], want[3]]
            } else {
                [want[0], want[1], want[2]]
            };
            (0..3)
                .map(|at| {
                    let taken = removal(tonnes_m2, Estimate::exact(per_t[at])).likely;
                    let printed = pounds_an_acre(given[at + 1]);
                    check(taken, printed, 0.012 * printed)
                })
                .collect()
        }
        "C21" => vec![
            check(given[0] * P_IN_P2O5, want[0], 0.0005),
            check(given[3] * K_IN_K2O, want[1], 0.0005),
        ],
        // The ordinance rounds the factor to 0.44.
        "C22" | "C23" => {
            let oxide = given.iter().copied().find(|value| *value > 9.0)?;
            vec![check(oxide * P_IN_P2O5, want[0], 0.01 * want[0])]
        }
        "C27" => vec![
            check(pan_pounds(line, given[0]), 0.0, 1e-9),
            check(pan_pounds(line, given[1]), want[1], 1e-9),
        ],
        "C30" => {
            let yields = pounds(given[0]).spread_over(square_feet(1.0)).0 / 1000.0;
            vec![check(yields, want[0], 0.005)]
        }
        "C31" => {
            let per_foot = |mass: f64| pounds(mass).spread_over(square_feet(1.0)).0 / 1000.0;
            vec![
                check(given[0] / given[1], want[0], 0.005),
                check(per_foot(given[2]), want[1], 0.005),
                check(per_foot(given[3]), want[2], 0.005),
            ]
        }
        "C65" => {
            let broccoli = knowledge.crops.find("broccoli")?;
            let ours = removed_per_kg(knowledge, broccoli, Nutrient::Nitrogen)?.likely;
            vec![check(ours, want[0], 1e-9), check(ours, want[3], 0.02)]
        }
        "C66" => {
            let carrot = knowledge.crops.find("carrot")?;
            let ours = removed_per_kg(knowledge, carrot, Nutrient::Phosphorus)?.likely;
            // Three sources, 0.305 to 0.352: the table's must be one of them.
            vec![check(ours, 0.352, 0.047)]
        }
        _ => return None,
    })
}

/// Plant-available nitrogen, pounds a short ton of dry matter.
fn pan_pounds(line: &PanLine, n_percent: f64) -> f64 {
    plant_available(line, n_percent).likely * 2.0
}

#[expect(clippy::print_stdout, reason = "a published check prints a line a row")]
fn run(name: &str, row_checks: impl Fn(&Row) -> Option<Vec<Check>>, least: usize) {
    let (rows, is_own) = published(&format!("{name}.csv"));
    let (mut agree, mut run, mut missed) = (0, 0, Vec::new());
    for row in &rows {
        let Some(checks) = row_checks(row) else { continue };
        run += 1;
        let sound = checks.iter().all(|check| (check.got - check.want).abs() <= check.within);
        let told: Vec<String> =
            checks.iter().map(|check| format!("{:.3} ({:.3})", check.got, check.want)).collect();
        println!(
            "{} {} {}: {}",
            row.get("id"),
            if sound { "agrees" } else { "DIFFERS" },
            row.get("source").split(',').next().unwrap_or_default(),
            told.join(", ")
        );
        agree += usize::from(sound);
        if DIFFERS.iter().any(|(id, _)| *id == row.get("id")) {
            assert!(!is_own || !sound, "{} agrees now: strike it out of the list", row.get("id"));
        } else if !sound {
            missed.push(row.get("id").to_owned());
        }
    }
    println!("{name}: {agree}/{run}");
    if is_own {
        assert!(missed.is_empty(), "{missed:?}");
        assert!(run >= least, "only {run} rows were run");
    }
}

#[test]
fn crop_arithmetic() {
    let knowledge = Knowledge::embedded();
    run("crop_arithmetic", |row| crop_row(&knowledge, row), 56);
}

#[test]
fn cover_arithmetic() {
    let knowledge = Knowledge::embedded();
    run("cover_arithmetic", |row| covers::row(&knowledge, row), 35);
}

#[test]
fn arithmetic_more() {
    let knowledge = Knowledge::embedded();
    run("arithmetic_more", |row| more::row(&knowledge, row), 31);
}

/// Printed rows that another test runs.
const ELSEWHERE: [(&str, &str); 5] = [
    ("C48", "published_days_to_maturity"),
    ("C49", "published_days_to_maturity"),
    ("C50", "published_days_to_maturity"),
    ("C51", "published_days_to_maturity"),
    ("C52", "published_days_to_maturity"),
];

/// Printed rows that do not bear on the tool, and why.
const NOT_RUN: [(&str, &str); 8] = [
    (
        "C25",
        "a step of an ordinance: its need of 260 rises by a fixed 40 for a fifth more yield; the books \
         take what the weighed harvest took, in proportion",
    ),
    (
        "C29",
        "what a trial's crop took up more after a cover, divided by its authors; the books free what \
         a cover holds and have no second plot without it to take off",
    ),
    ("C40", "heat for a generation of a fly; the tool keeps the printed weeks to wait, no insects"),
    ("c36", "prices of seed and meal: no record holds a price"),
    ("c41", "two shares of labelled nitrogen added up by the authors: no label is in a garden"),
    (
        "M26",
        "an amount of lime; the tool keeps lime as a treatment and leaves its dose to the soil laboratory",
    ),
    ("M32", "parts of a mixture by weight; the tool's mixtures are parts of each cover's own rate"),
    (
        "M36",
        "carbon to nitrogen of a heap; the tool follows what is put on beds and builds no heaps",
    ),
];

/// Printed rows that the program answers otherwise, and why. They must go on differing.
const DIFFERS: [(&str, &str); 1] = [(
    "C26",
    "an ordinance lets at most two thirds of a residue's credit be counted as come free four weeks on; \
     the books let green residue go sooner, as the bulletin they follow says (PNW 636: most of it in \
     four to six weeks)",
)];

/// Whether a row is printed in its source, and not made from one that is.
fn is_printed(table: &str, row: &Row) -> bool {
    if table == "cover_arithmetic.csv" {
        row.get("kind") == "printed"
    } else {
        row.get("how") == "read"
    }
}

#[test]
fn every_printed_row_is_run_or_has_its_reason() {
    let knowledge = Knowledge::embedded();
    for table in ["crop_arithmetic.csv", "cover_arithmetic.csv", "arithmetic_more.csv"] {
        let (rows, is_own) = published(table);
        let [mut printed, mut run, mut elsewhere, mut reasons, mut derived, mut differ] = [0; 6];
        for row in &rows {
            let id = row.get("id");
            let checks = match table {
                "cover_arithmetic.csv" => covers::row(&knowledge, row),
                "arithmetic_more.csv" => more::row(&knowledge, row),
                _ => crop_row(&knowledge, row),
            };
            let is_run = checks.is_some_and(|checks| !checks.is_empty());
            let test = ELSEWHERE.iter().find(|(other, _)| *other == id);
            let reason = NOT_RUN.iter().find(|(other, _)| *other == id);
            if let Some((id, why)) = DIFFERS.iter().find(|(other, _)| *other == id) {
                println!("{id} run and differs: {why}");
                differ += 1;
            }
            if !is_printed(table, row) {
                derived += usize::from(is_run);
                continue;
            }
            printed += 1;
            run += usize::from(is_run);
            elsewhere += usize::from(test.is_some());
            reasons += usize::from(reason.is_some());
            let ways = [is_run, test.is_some(), reason.is_some()];
            let ways = ways.into_iter().filter(|way| *way).count();
            assert!(!is_own || ways == 1, "{id} is accounted for {ways} times");
            if let Some((id, why)) = reason {
                println!("{id} not run: {why}");
            }
        }
        println!(
            "{table}: {printed} printed rows, {run} run ({differ} of them differs), {elsewhere} run by \
             another test, {reasons} with a reason; {derived} derived rows run beside them"
        );
        assert!(!is_own || run + elsewhere + reasons == printed);
    }
}

/// The line of plant-available nitrogen against every row of the table that gives a point of it.
#[test]
fn pan_line_against_its_rows() {
    let knowledge = Knowledge::embedded();
    let line = knowledge.nutrients().pan_line();
    let (mut agree, mut total) = (0, 0);
    for row in knowledge.availability_points() {
        let point = (row.input_value.parse::<f64>(), row.printed.parse::<f64>());
        let ("pnw636", "cover_n_percent_dm", (Ok(percent), Ok(pounds))) =
            (&*row.model, &*row.input, point)
        else {
            continue;
        };
        let ours = pan_pounds(line, percent);
        total += 1;
        agree += usize::from((ours - pounds).abs() <= 0.006);
        println!("{percent} % N: {ours:.2} lb a ton, printed or on the printed line {pounds:.2}");
    }
    println!("pan_line: {agree}/{total}");
    assert!(total >= 10);
    assert_eq!(agree, total);
}
