//! Covers, manures and composts by weight, and their nitrogen.

use breakcrop::knowledge::Knowledge;
use breakcrop::state::nutrients::{
    humus_phosphorus, nitrogen_in, organic_nitrogen, plant_available, share_available,
};
use breakcrop::units::{
    Centimetres, Dimension, Grams, GramsPerSquareMetre, K_IN_K2O, Litres, P_IN_P2O5, SquareMetres,
};

use super::support::Row;
use super::{
    Check, booked, check, inches, numbers, pan_pounds, pounds, pounds_an_acre, square_feet, unit,
};

pub(super) fn row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let line = knowledge.nutrients().pan_line();
    let given = numbers(row.get("input"));
    let want = numbers(row.get("output"));
    let gram_a_foot =
        |grams: f64| GramsPerSquareMetre(grams / square_feet(1.0).0).0 / pounds_an_acre(1.0);
    Some(match row.get("id") {
        "c02" => vec![check(gram_a_foot(given[0]), want[1], 1.0)],
        "c06" => vec![check(gram_a_foot(given[0]), want[0], 0.01)],
        "c03" | "c07" | "c17" => vec![check(nitrogen_in(given[0], given[1]), want[0], 1e-9)],
        "c08" => vec![
            check(pan_pounds(line, given[1]), want[0], 1e-9),
            check(nitrogen_in(2000.0, given[1]), want[1], 1e-9),
            check(share_available(line, given[1]).likely * 100.0, want[2], 1e-9),
        ],
        // Little or none, or tie-up: the whole range lies at nil or below.
        "c11" => {
            let pan = plant_available(line, given[1]);
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
            let mix = 0.75 * pan_pounds(line, percent("cereal_rye"))
                + 0.25 * pan_pounds(line, percent("hairy_vetch"));
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
        // So many cubic metres a hectare are so many tenths of a millimetre.
        "c39" => {
            let spread = Centimetres(given[1] / 100.0).over(SquareMetres(given[0] * 10_000.0));
            vec![check(spread.0 / unit(Dimension::Volume, "m3"), want[0], 1e-9)]
        }
        _ => return derived_row(knowledge, row),
    })
}

/// Rows made from printed ones.
fn derived_row(knowledge: &Knowledge, row: &Row) -> Option<Vec<Check>> {
    let line = knowledge.nutrients().pan_line();
    let given = numbers(row.get("input"));
    let want = numbers(row.get("output"));
    Some(match row.get("id") {
        "c09" => vec![check(pan_pounds(line, given[1]), want[0], 1e-9)],
        "c10" => {
            let acre = pan_pounds(line, given[1]) * given[0];
            let kg_ha = pounds_an_acre(acre) * 10.0;
            vec![check(acre, want[0], 1e-9), check(kg_ha, want[1], 0.05)]
        }
        "c14" | "c15" => {
            let horse = row.get("id") == "c14";
            let (animal, organic) = if horse { ("horse", given[2]) } else { ("poultry", given[1]) };
            let (years, _) = knowledge.nutrients().manure_series(animal, true)?;
            vec![check(given[0] * organic * years[0], want[0], 1e-9)]
        }
        // Printed in tons an acre, and in tonnes or kilograms a hectare.
        "c30" | "c31" | "c34" | "c35" => {
            let percent = want[0];
            let nitrogen = nitrogen_in(given[0] * 2000.0, percent);
            vec![check(nitrogen, given[1], 0.003 * given[1])]
        }
        "c32" | "c33" => vec![check(nitrogen_in(given[0] * 1000.0, given[1]), want[0], 0.5)],
        "c37" => {
            let rate = pounds(given[0]).spread_over(square_feet(given[1]));
            let seed = rate.over(square_feet(given[3])).0;
            vec![check(seed, want[1], 0.5)]
        }
        "c38" => {
            let rate = pounds(given[0]).spread_over(square_feet(given[1]));
            vec![check(rate.over(SquareMetres(given[3])).0, want[0], 0.5)]
        }
        "k02" => {
            vec![check(GramsPerSquareMetre(given[2]).over(SquareMetres(given[0])).0, want[0], 1e-9)]
        }
        _ => return None,
    })
}
