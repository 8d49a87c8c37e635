//! Plants on the ground and seed by the piece.

use breakcrop::spacing::Spacing;
use breakcrop::units::{Dimension, Grams};

use super::support::Row;
use super::{Check, check, inches, numbers, square_feet, unit};

/// Square feet of an acre.
const ACRE: f64 = 43_560.0;

/// Pairs of a text: `36x12; 38x14`.
fn pairs(text: &str) -> Vec<Spacing> {
    numbers(text)
        .chunks_exact(2)
        .map(|pair| Spacing::in_rows(inches(pair[0]), inches(pair[1])))
        .collect()
}

pub(super) fn row(row: &Row) -> Option<Vec<Check>> {
    let given = numbers(row.get("inputs"));
    let want = numbers(row.get("expected_outputs"));
    let acre = |spacing: Spacing| spacing.plants_on(square_feet(ACRE));
    Some(match row.get("id") {
        "C41" => {
            let feet = Spacing::in_rows(inches(given[0] * 12.0), inches(given[1] * 12.0));
            vec![check(acre(feet), want[2], 1e-6)]
        }
        "C42" | "C43" => {
            let spacings = pairs(row.get("inputs"));
            assert_eq!(spacings.len(), want.len());
            spacings.into_iter().zip(want).map(|(one, want)| check(acre(one), want, 0.5)).collect()
        }
        // Pieces of two ounces, in hundredweights of a hundred pounds.
        "C44" => {
            let plants = acre(Spacing::in_rows(inches(given[0]), inches(given[1])));
            let ounce = Grams(unit(Dimension::Mass, "oz") * 1000.0);
            let seed = ounce * given[2] * plants;
            let hundredweight = unit(Dimension::Mass, "lb") * 1000.0 * 100.0;
            vec![check(seed.0 / hundredweight, want[0], 0.05)]
        }
        // The row prints the geometry, and a rule of thumb for a bed with its edges below it.
        "C45" => {
            let more = acre(Spacing::staggered(inches(12.0))) / acre(Spacing::square(inches(12.0)));
            vec![check(more, want[1], 0.00005), check(more, want[0], 0.025)]
        }
        "C46" => given
            .iter()
            .zip(&want)
            .map(|(apart, want)| {
                check(Spacing::square(inches(*apart)).plants_on(square_feet(1.0)), *want, 1e-9)
            })
            .collect(),
        "C47" => {
            let bed = square_feet(given[0] * given[1]);
            let of = |apart: f64| Spacing::square(inches(apart)).plants_on(bed);
            vec![check(of(given[2]), want[0], 1e-9), check(of(given[3]), want[1], 1e-9)]
        }
        _ => return None,
    })
}
