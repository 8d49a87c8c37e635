//! Further worked examples, written down before the program was asked
//! (`fixtures/published/arithmetic_more.csv`): conversions, plants, fertiliser, manure and compost.

use breakcrop::climate::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use breakcrop::estimate::Estimate;
use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::records::Place;
use breakcrop::season::iso_day;
use breakcrop::spacing::Spacing;
use breakcrop::state::nutrients::{
    Ledger, amount_for, makeup, nitrogen_in, plant_available, share_available,
};
use breakcrop::units::{Dimension, Grams, GramsPerSquareMetre, K_IN_K2O, P_IN_P2O5, SquareMetres};

use super::support::{Row, garden_of};
use super::{
    Check, booked, check, inches, numbers, pan_pounds, pounds, pounds_an_acre, square_feet, unit,
};

/// Square feet of an acre, and of a square rod.
const ACRE: f64 = 43_560.0;
const ROD: f64 = 272.25;

/// The checks of a row by its id; `None` if it is not run.
pub(super) fn row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    plants(row.get("id"), row.get("inputs"), &given, &want)
        .or_else(|| conversions(row.get("id"), &given, &want))
        .or_else(|| products(knowledge, row.get("id"), &given, &want))
        .or_else(|| soil(knowledge, row.get("id"), &given, &want))
}

/// Pairs of distances in a text, as plants on a ground of square feet.
fn on(ground: f64, text: &str) -> Vec<f64> {
    numbers(text)
        .chunks_exact(2)
        .map(|pair| {
            Spacing::in_rows(inches(pair[0]), inches(pair[1])).plants_on(square_feet(ground))
        })
        .collect()
}

/// Plants of a row so many feet long: the row is a strip as wide as the plants stand apart.
fn in_row(feet: f64, apart: f64) -> f64 {
    Spacing::square(inches(apart)).plants_on(square_feet(feet * apart / 12.0))
}

fn plants(id: &str, text: &str, given: &[f64], want: &[f64]) -> Option<Vec<Check>> {
    let each = |got: Vec<f64>, within: f64| -> Vec<Check> {
        assert_eq!(got.len(), want.len());
        got.into_iter().zip(want).map(|(got, want)| check(got, *want, within)).collect()
    };
    Some(match id {
        // A foot of row is a plant a foot apart.
        "M05" => each(on(ACRE, &format!("{}x12", given[0])), 1e-6),
        "M06" => {
            let got = on(ACRE, &format!("{}x{}", given[0], 12.0 / given[1]));
            vec![check(got[0], want[0], 500.0)]
        }
        // The table of the rod is cut, not rounded.
        "M07" => each(on(ROD, text), 1.0),
        "M08" => each(on(ACRE, text), 1.0),
        "M09" => each(on(ACRE, text), 0.5),
        "M11" => vec![check(on(given[1], &format!("{0}x{0}", given[0]))[0], want[0], 1e-9)],
        "M12" => each(given.iter().map(|apart| in_row(100.0, *apart)).collect(), 1.0),
        "M13" => {
            let got = [given[1], given[0]].map(|apart| in_row(100.0, apart));
            each(got.into(), 0.5)
        }
        "M38" => {
            let pieces = in_row(given[0], given[1]);
            let seed = Grams(unit(Dimension::Mass, "oz") * 1000.0) * given[2] * pieces;
            vec![check(seed.0 / 1000.0 / unit(Dimension::Mass, "lb"), want[0], 0.05)]
        }
        _ => return None,
    })
}

fn conversions(id: &str, given: &[f64], want: &[f64]) -> Option<Vec<Check>> {
    // Pounds an acre on so many square feet, in pounds.
    let on = |rate: f64, feet: f64| {
        let grams: Grams = GramsPerSquareMetre(pounds_an_acre(rate)).over(square_feet(feet));
        grams.0 / 1000.0 / unit(Dimension::Mass, "lb")
    };
    let simple = |base: f64, high: f64, low: f64| {
        let model = HeatModel { curve: Curve::Average, base, cutoff: Cutoff::None };
        model.degree_days(DayTemperature { tmin: low, tmax: high }, None)
    };
    Some(match id {
        "M01" => {
            let rate = pounds(given[0]).spread_over(square_feet(given[1]));
            vec![check(rate.0 / pounds_an_acre(1.0), want[0], 0.5)]
        }
        // Printed for the spoon: to the half ounce, once a whole one.
        "M14" => given
            .iter()
            .zip(want)
            .map(|(rate, want)| check(on(*rate, 100.0) * 16.0, *want, 0.35))
            .collect(),
        "M15" => given
            .iter()
            .zip(want)
            .map(|(rate, want)| check(on(*rate, 1000.0), *want, 0.05))
            .collect(),
        "M30" => vec![check(simple(50.0, given[0], given[1]), want[0], 1e-9)],
        "M31" => given
            .chunks_exact(2)
            .zip(want)
            .map(|(day, want)| check(simple(day[1], day[0], day[0]), *want, 1e-9))
            .collect(),
        "M34" => {
            let rate = pounds(given[0]).spread_over(square_feet(1.0));
            vec![check(rate.0 / 1000.0, want[0], 0.005)]
        }
        "M37" => vec![check(on(given[0], given[1]) * 16.0, want[0], 0.05)],
        _ => return None,
    })
}

/// Fertilisers, manures and composts by their content.
fn products(knowledge: &Knowledge, id: &str, given: &[f64], want: &[f64]) -> Option<Vec<Check>> {
    let pound = unit(Dimension::Mass, "lb") * 1000.0;
    let brought = |mass: f64, grade: [f64; 3]| {
        let ground = SquareMetres(10.0);
        let npk = [grade[0], grade[1] * P_IN_P2O5, grade[2] * K_IN_K2O];
        let load = booked(knowledge, mass, ground, npk);
        let oxide = [1.0, P_IN_P2O5, K_IN_K2O];
        [0, 1, 2].map(|at| load.grams[at].likely * ground.0 / pound / oxide[at])
    };
    let of = |wanted: f64, percent: f64| {
        amount_for(wanted, Estimate::exact(percent / 100.0)).map(|amount| amount.likely)
    };
    // Short tons of a material of which a ton brings so many pounds.
    let tons = |wanted: f64, pounds: f64| of(wanted, pounds / 20.0).map(|pounds| pounds / 2000.0);
    Some(match id {
        "M04" => {
            let live = given[1] * given[2] / 100.0;
            vec![check(live, want[0], 1e-9), check(of(given[0], live)?, want[1], 0.5)]
        }
        "M18" => vec![check(brought(given[0], [given[1], given[2], given[3]])[0], want[0], 1e-6)],
        "M19" => {
            let got = brought(given[0], [given[1], given[2], given[3]]);
            vec![
                check(got[0], want[0], 1e-6),
                check(got[1], want[1], 1e-6),
                check(got[2], want[4], 1e-6),
            ]
        }
        "M20" => {
            let percents = [given[1], given[2], given[6]];
            let each = percents.into_iter().zip(want);
            each.map(|(percent, want)| Some(check(of(1.0, percent)?, *want, 0.25)))
                .collect::<Option<_>>()?
        }
        "M21" => vec![check(of(1.0, given[1])?, want[3], 0.005)],
        "M24" => vec![check(tons(given[0], given[1])?, want[0], 0.05)],
        "M25" => vec![
            check(tons(given[0], given[1])?, want[0], 0.05),
            check(tons(given[2], given[3])?, want[1], 0.05),
        ],
        "M27" => {
            let mass = of(given[0], given[1])?;
            let got = brought(mass, [given[1], given[2], given[5]]);
            vec![
                check(mass, want[0], 1e-6),
                check(tons(given[0], given[1] * 20.0)?, want[1], 1e-9),
                check(got[1], want[2], 0.5),
                check(got[2], want[3], 0.5),
            ]
        }
        "M39" => {
            vec![check(of(1.0, given[0])?, want[0], 1e-9), check(of(1.0, given[1])?, want[2], 1e-9)]
        }
        "M22" => {
            let (years, _) = knowledge.nutrients().manure_series("cattle", true)?;
            vec![check(given[2] * years[0], want[0], 1e-9)]
        }
        // Ours counts the ammonium in the range of raw manure: the printed share lies in it.
        "M23" => {
            let share = makeup(knowledge, &Policy::default(), "dairy_manure")?;
            let first = share.series.year1.range();
            let (middle, half) =
                (f64::midpoint(first.low, first.high) * 100.0, (first.high - first.low) * 50.0);
            vec![check(middle, want[0], half)]
        }
        _ => return None,
    })
}

/// Nitrogen of covers, parts per million of a test, parts of a mixture.
fn soil(knowledge: &Knowledge, id: &str, given: &[f64], want: &[f64]) -> Option<Vec<Check>> {
    let line = knowledge.nutrients().pan_line();
    Some(match id {
        "M02" => vec![check(nitrogen_in(given[0], given[1]), want[0], 0.5)],
        // Half by the rule of thumb; the line gives what it gives at that percent.
        "M03" => {
            let share = share_available(line, given[1]);
            let printed = want[0] / given[0];
            let free = plant_available(line, given[1]).likely * 2.0;
            vec![check(share.likely, printed, 0.05), check(free, pan_pounds(line, given[1]), 1e-9)]
        }
        // Six inches of the soil that a test stands for. The rule of thumb takes a field's soil of 1.3
        // to 1.5 kg a litre; a bed is lighter as likely as not, so the printed figure lies in the range.
        "M28" => {
            let layer = 6.0 * unit(Dimension::ShortLength, "in") / 20.0;
            let soil = Policy::default().tested_soil_kg_m2.map(|kg| kg * layer);
            let of = |kg: f64| {
                grams_in(knowledge, kg, given[0]).map(|grams| grams / pounds_an_acre(1.0))
            };
            let (low, high) = (of(soil.low)?, of(soil.high)?);
            vec![check(f64::midpoint(low, high), want[0], (high - low) / 2.0)]
        }
        "M29" => {
            let soil = pounds_an_acre(given[1]) / 1000.0;
            let grams = grams_in(knowledge, soil, want[0])?;
            vec![check(grams / pounds_an_acre(1.0), given[0], 0.05)]
        }
        _ => return None,
    })
}

/// What a soil test of so many parts per million is in so much soil, g/m2, by the books.
fn grams_in(knowledge: &Knowledge, soil_kg_m2: f64, ppm: f64) -> Option<f64> {
    let policy = Policy { tested_soil_kg_m2: Estimate::exact(soil_kg_m2), ..Policy::default() };
    let files = [
        ("beds.csv", "bed,kind,length_m,width_m\nb,ground,10,1\n".to_owned()),
        ("soil_tests.csv", format!("bed,date,nitrate_n_ppm\nb,2024-03-01,{ppm}\n")),
    ];
    let garden = garden_of(knowledge, files, "a soil test");
    let on = iso_day("2024-04-01").expect("a day");
    let books = Ledger::at(&garden, knowledge, &policy, &Place::whole("b"), None, on);
    books.checks.first().map(|check| check.tested.likely)
}
