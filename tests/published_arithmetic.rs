//! Printed worked examples of fertiliser, compost, residue and cover arithmetic, each computed by the
//! program's own functions. Tables and their sources: `fixtures/published/crop_arithmetic.csv` and
//! `cover_arithmetic.csv`; inputs and expected figures are read from the rows by their id.
//!
//! Rows of the tables that are not run here, and why:
//!
//! - `C38` to `C40`: heat sums of one variety, one sowing and an insect; the tables hold the first as a
//!   need, the others are no crop's. `C48` to `C52`: `published_days_to_maturity`; `C53` to `C58`:
//!   `published_emergence`; `C59` to `C61`: percentages and optima of germination, asked by nothing.
//!   `C63`, `C64`: waiting days of the verdict (`situations`). `C41` to `C47`: plants by spacing.
//! - `C09`, `C15`, `C24`, `C28`, `C46`, `C47`, and the cover rows called constructed: not printed, made
//!   from printed ones that are run.
//! - `C17`: silage by dry matter; no crop of a garden is weighed so. `c39`: slurry by the hectare.
//! - `C25`, `C26`: adjustments of the ordinance's own procedure (steps by fifths of yield, two thirds
//!   off a credit by the date of sampling); the ledger scales and resets without steps.
//! - `C29`, `c41`: shares found in trials, divided by their authors; nothing here computes them.
//! - `c36`: prices. `c01`, `c04`, `c05`, `c24`, `c26` and other derived rows: products of figures that
//!   the rows before them test.

mod support;

use std::fmt::Write as _;

use breakcrop::climate::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use breakcrop::climate::sun::daylength;
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::{Knowledge, PanLine};
use breakcrop::policy::Policy;
use breakcrop::records::{Place, RecordKind};
use breakcrop::season::iso_day;
use breakcrop::state::nutrients::{
    Flow, Ledger, Load, Nutrient, amount_for, humus_phosphorus, nitrogen_in, organic_nitrogen,
    plant_available, removal, removed_per_kg, share_available, typical_yield,
};
use breakcrop::units::{
    Centimetres, Dimension, Grams, GramsPerSquareMetre, K_IN_K2O, Kilograms, Litres, P_IN_P2O5,
    SquareMetres,
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

/// Degree-days of single days, Fahrenheit as printed, and the length of a day.
#[test]
fn printed_heat_and_light_of_single_days() {
    let (rows, _) = published("crop_arithmetic.csv");
    let row = |id: &str| rows.iter().find(|row| row.get("id") == id).expect("the row");
    let given = |id: &str| numbers(row(id).get("inputs"));
    let want = |id: &str| numbers(row(id).get("expected_outputs"));
    let limited =
        HeatModel { curve: Curve::ModifiedAverage, base: 50.0, cutoff: Cutoff::Horizontal(86.0) };
    let simple = HeatModel { curve: Curve::Average, base: 50.0, cutoff: Cutoff::None };
    let of = |model: HeatModel, a: f64, b: f64| {
        model.degree_days(DayTemperature { tmin: a.min(b), tmax: a.max(b) }, None)
    };
    let mut checks: Vec<(&str, f64, f64)> = Vec::new();
    let days = given("C32");
    let mut total = 0.0;
    for (pair, want) in days.chunks_exact(2).zip(want("C32")) {
        let got = of(limited, pair[0], pair[1]);
        total += got;
        checks.push(("C32", got, want));
    }
    checks.push(("C32", total, want("C32")[3]));
    checks.push(("C33", of(limited, given("C33")[0], given("C33")[1]), want("C33")[0]));
    checks.push(("C34", of(limited, given("C34")[0], given("C34")[0]), want("C34")[0]));
    checks.push(("C35", of(simple, given("C35")[0], given("C35")[1]), want("C35")[0]));
    let (low, high) = (given("C36")[0], given("C36")[1]);
    checks.push(("C36", of(simple, low, high), want("C36")[4]));
    checks.push(("C36", of(limited, low, high), want("C36")[9]));
    checks.push(("C37", of(simple, 38.0, 52.0), want("C37")[0]));
    for (id, got, want) in &checks {
        println!("{id} expected={want} got={got}");
    }
    assert!(checks.iter().all(|(_, got, want)| (got - want).abs() < 1e-9));
    assert_eq!(checks.len(), 10);
    // Sonoma County, the day after 18 November.
    let hours = daylength(38.3, -122.7, iso_day("2025-11-19").expect("a day")).0;
    println!("C62 expected=<{} got={hours:.2}", want("C62")[0]);
    assert!(hours < want("C62")[0] && hours > want("C62")[0] - 0.2, "{hours}");
}

/// The checks of a row by its id; `None` if it is not run here.
fn crop_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    volume_row(row).or_else(|| product_row(knowledge, row)).or_else(|| removal_row(knowledge, row))
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
            check(pan_pounds(&line, given[0]), 0.0, 1e-9),
            check(pan_pounds(&line, given[1]), want[1], 1e-9),
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

fn cover_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let line = knowledge.nutrients().pan_line();
    let given = numbers(row.get("input"));
    let want = numbers(row.get("output"));
    let gram_a_foot =
        |grams: f64| GramsPerSquareMetre(grams / square_feet(1.0).0).0 / pounds_an_acre(1.0);
    Some(match row.get("id") {
        "c02" => vec![check(gram_a_foot(given[0]), want[1], 1.0)],
        "c06" => vec![check(gram_a_foot(given[0]), want[0], 0.01)],
        "c03" | "c07" => vec![check(nitrogen_in(given[0], given[1]), want[0], 1e-9)],
        "c08" => vec![
            check(pan_pounds(&line, given[1]), want[0], 1e-9),
            check(nitrogen_in(2000.0, given[1]), want[1], 1e-9),
            check(share_available(&line, given[1]).likely * 100.0, want[2], 1e-9),
        ],
        // Little or none, or tie-up: the whole range lies at nil or below.
        "c11" => {
            let pan = plant_available(&line, given[1]);
            vec![check(pan.high.max(0.0), 0.0, 1e-12), check(pan.likely.max(0.0), 0.0, 1e-12)]
        }
        // Three quarters of a cereal in bloom, a quarter of vetch: near nil, held to be within a
        // sixth of the most that the line gives.
        "c12" => {
            let percent = |key: &str| {
                let crop = knowledge.crops.find(key).expect("a cover");
                let figure = knowledge.cover_figures(crop, "n_percent_bloom").first();
                figure.and_then(|figure| figure.range).expect("a percent").likely
            };
            let mix = 0.75 * pan_pounds(&line, percent("cereal_rye"))
                + 0.25 * pan_pounds(&line, percent("hairy_vetch"));
            vec![check(mix, 0.0, 35.0 / 6.0)]
        }
        "c13" => {
            let (years, _) = knowledge.nutrients().manure_series("cattle", false)?;
            let organic = given[0] * given[2];
            vec![
                check(organic * years[0], want[1], 1e-9),
                check(organic * years[1], want[2], 1e-9),
                check(organic * years[2], want[3], 1e-9),
                check(organic * years.iter().sum::<f64>(), want[4], 1e-9),
            ]
        }
        "c16" => {
            let ground = square_feet(43_560.0);
            let npk = [given[1] / 20.0, given[2] * P_IN_P2O5 / 20.0, given[3] * K_IN_K2O / 20.0];
            let load = booked(knowledge, given[0] * 2000.0, ground, npk);
            let printed = [want[0], want[1] * P_IN_P2O5, want[4] * K_IN_K2O];
            (0..3)
                .map(|at| {
                    let acre = load.grams[at].likely / pounds_an_acre(1.0);
                    check(acre, printed[at], 0.6)
                })
                .collect()
        }
        "c18" | "c19" => {
            let release = knowledge.nutrients().humus_release()?.value.likely;
            vec![check(given[0] * release / pounds_an_acre(1.0), want[0], 0.01)]
        }
        "c20" => {
            let soil = given[0] * given[2] * 10.0;
            let nitrogen = organic_nitrogen(soil, given[3]);
            let freed = nitrogen * 0.02;
            vec![
                check(soil * given[3] / 10.0, want[0], 0.05),
                check(nitrogen / 100.0, want[1], 0.005),
                check(freed * 10.0, want[3], 0.05),
                check(humus_phosphorus(freed) * 10.0, want[4], 0.005),
            ]
        }
        "c21" => vec![check(nitrogen_in(given[0], given[2]), want[0], 1e-9)],
        "c22" => {
            let yard = Litres(unit(Dimension::Volume, "yd3"));
            [(1.0, want[0]), (2.0, want[3]), (3.0, want[5])]
                .map(|(depth, want)| {
                    let feet = yard.covers(inches(depth)).0 / unit(Dimension::Area, "ft2");
                    check(feet, want, 1e-6)
                })
                .into()
        }
        "c25" => {
            let seed: Grams = GramsPerSquareMetre(given[2]).over(SquareMetres(given[0] * given[1]));
            vec![check(seed.0, want[0], 1e-9)]
        }
        "c27" | "c28" | "c29" => {
            vec![check(nitrogen_in(given[0], want[0]), given[1], 0.003 * given[1])]
        }
        "c45" => vec![check(given[0] * P_IN_P2O5, want[0], 0.05)],
        "c46" => vec![check(9.0 * K_IN_K2O, want[0], 0.05)],
        _ => return None,
    })
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
        if !sound {
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
    run("crop_arithmetic", |row| crop_row(&knowledge, row), 25);
}

#[test]
fn cover_arithmetic() {
    let knowledge = Knowledge::embedded();
    run("cover_arithmetic", |row| cover_row(&knowledge, row), 19);
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
        let ours = pan_pounds(&line, percent);
        total += 1;
        agree += usize::from((ours - pounds).abs() <= 0.006);
        println!("{percent} % N: {ours:.2} lb a ton, printed or on the printed line {pounds:.2}");
    }
    println!("pan_line: {agree}/{total}");
    assert!(total >= 10);
    assert_eq!(agree, total);
}

/// Months of a wet temperate year, such as most credits are from.
const CLIMATE: &str = "month,tmin_c,tmax_c,rain_mm\n1,0,8,90\n2,1,10,80\n3,3,13,70\n4,5,16,60\n\
5,8,20,60\n6,12,25,60\n7,15,28,60\n8,14,28,60\n9,11,24,60\n10,7,18,80\n11,3,12,90\n12,1,8,90\n";

/// What the books say a stand dug in gives to the crops of the year after, g/m2: freed from its
/// residue less what it tied up.
fn credit(knowledge: &Knowledge, crop: &str, cover: bool) -> Option<Estimate> {
    let summer = knowledge.crops.find(crop).is_some_and(|crop| {
        knowledge.cover_figures(crop, "season").first().is_some_and(|row| &*row.text == "warm")
    });
    let (from, to, until) = if cover && !summer {
        ("2023-09-01", "2024-05-20", "2025-05-20")
    } else if cover {
        ("2024-05-15", "2024-08-15", "2025-08-15")
    } else {
        ("2024-04-15", "2024-08-15", "2025-08-15")
    };
    // A vegetable is picked at its typical yield, to which the credits are printed.
    let mut harvest = String::from("bed,date,crop,mass_kg\n");
    if !cover && let Some(kg) = typical_yield(knowledge, knowledge.crops.find(crop)?) {
        writeln!(harvest, "b,2024-08-14,{crop},{}", kg.likely * 10.0).ok()?;
    }
    let texts = [
        (RecordKind::Site, "name,latitude,longitude\nx,44,-80\n".to_owned()),
        (RecordKind::Climate, CLIMATE.to_owned()),
        (RecordKind::Beds, "bed,kind,length_m,width_m\nb,ground,10,1\n".to_owned()),
        (
            RecordKind::Plantings,
            format!("bed,crop,planted,removed,residue\nb,{crop},{from},{to},dug_in\n"),
        ),
        // Enough in the soil that the stand is not starved.
        (
            RecordKind::SoilTests,
            format!("bed,date,organic_matter_percent,nitrate_n_ppm\nb,{from},3.5,150\n"),
        ),
        (RecordKind::Harvests, harvest),
    ];
    let garden = garden_of(
        knowledge,
        texts.iter().map(|(kind, text)| (format!("{}.csv", kind.word()), text)),
        crop,
    );
    let on = iso_day(until)?;
    let books = Ledger::at(&garden, knowledge, &Policy::default(), &Place::whole("b"), None, on);
    let freed = books.months.iter().map(|month| {
        let account = month.account(Nutrient::Nitrogen);
        account.moved(Flow::FixedReleased) + account.moved(Flow::ResidueReleased)
            - account.moved(Flow::TiedUp)
    });
    Some(freed.sum::<breakcrop::state::nutrients::Spread>().range())
}

/// Printed nitrogen credits against what the books free. Covers are a test: their credits are used
/// nowhere. Vegetables are a round trip: their residue credits are an input of the books.
#[test]
fn printed_credits_against_the_books() {
    let knowledge = Knowledge::embedded();
    let mut shares = Vec::new();
    for (label, measures, cover) in [
        ("covers", &["first_year_credit", "plant_available", "fertiliser_value"][..], true),
        ("vegetables", &["residue_credit"][..], false),
    ] {
        let (mut overlap, mut total) = (0, 0);
        for row in knowledge.nitrogen_credits() {
            let (Some(crop), Some(printed)) = (row.crop.one(), row.grams_m2()) else { continue };
            let key = &knowledge.crops[crop].key;
            let is_cover = !knowledge.cover_figures(crop, "n_percent_bloom").is_empty();
            if !measures.contains(&&*row.measure) || is_cover != cover {
                continue;
            }
            let Some(ours) = credit(&knowledge, key, cover) else { continue };
            // Figures are compared to the tenth of a gram that a printed kilogram a hectare is.
            let meets = ours.low <= printed.high + 0.05 && printed.low <= ours.high + 0.05;
            total += 1;
            overlap += usize::from(meets);
            println!(
                "{label} {} ({}): printed {:.1} to {:.1}, books {:.1} to {:.1} g/m2{}",
                key,
                row.condition,
                printed.low,
                printed.high,
                ours.low,
                ours.high,
                if meets { "" } else { "   <-- apart" }
            );
        }
        println!("n_credits {label}: {overlap}/{total}");
        shares.push((overlap, total));
    }
    // Alfalfa and the clovers of the cool North are apart for a reason: their credits are of sods of
    // two years and more, the books grow one for a winter.
    assert!(shares[0].0 * 10 >= shares[0].1 * 7, "{shares:?}");
    assert!(shares[1].0 * 10 >= shares[1].1 * 9, "{shares:?}");
}
