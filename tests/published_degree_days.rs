//! Degree-days of single days against closed forms checked by numerical integration, and against
//! worked examples of extension texts: `fixtures/published/gdd_checks.csv`.

mod support;

use breakcrop::climate::degree_days::{Curve, Cutoff, DayTemperature, HeatModel};
use support::{Row, published};

const TOLERANCE: f64 = 1e-6;

fn model(row: &Row) -> HeatModel {
    let curve = match row.get("method") {
        "average" => Curve::Average,
        "modified_average" => Curve::ModifiedAverage,
        "single_sine" => Curve::SingleSine,
        "double_sine" => Curve::DoubleSine,
        "single_triangle" => Curve::SingleTriangle,
        "double_triangle" => Curve::DoubleTriangle,
        other => panic!("unknown method {other}"),
    };
    let upper = row.number("upper");
    let cutoff = match (row.get("cutoff"), upper) {
        (_, None) => Cutoff::None,
        ("horizontal" | "clamp_both", Some(upper)) => Cutoff::Horizontal(upper),
        ("intermediate", Some(upper)) => Cutoff::Intermediate(upper),
        ("vertical", Some(upper)) => Cutoff::Vertical(upper),
        (other, Some(_)) => panic!("unknown cut-off {other}"),
    };
    HeatModel { curve, base: row.number("base").expect("a base"), cutoff }
}

#[test]
fn published_degree_days() {
    let (rows, is_own) = published("gdd_checks.csv");
    let mut agree = 0;
    for row in &rows {
        let day = DayTemperature {
            tmin: row.number("tmin").expect("a minimum"),
            tmax: row.number("tmax").expect("a maximum"),
        };
        let expected = row.number("gdd").expect("degree-days");
        let ours = model(row).degree_days(day, row.number("tmin_next"));
        let close = (ours - expected).abs() <= TOLERANCE;
        agree += usize::from(close);
        println!(
            "{} {} {:?} {:?} expected={expected} ours={ours:.9}{}",
            row.get("method"),
            row.get("cutoff"),
            day,
            row.number("upper"),
            if close { "" } else { "   <-- differs" }
        );
    }
    println!("published_degree_days: {agree}/{}", rows.len());
    if is_own {
        assert_eq!(agree, rows.len());
    }
}
