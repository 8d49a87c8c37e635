//! Published decay of inoculum against the half-lives the program uses, point by point.
//!
//! The model can express what happens to inoculum while no host stands: the share left after a
//! time, a yearly decline, a half-life, that something is still there or gone. It prints for each
//! point the observed share and the modelled one, low, likely and high, and for the other rows why
//! it cannot express them. The table and its sources: `fixtures/published/disease_curves.csv`.

mod support;

use breakcrop::knowledge::Knowledge;
use breakcrop::policy::Policy;
use breakcrop::state::half_life;
use support::{Row, published};

/// Shares below this are taken for none: most counts cannot see less.
const DETECTABLE: f64 = 0.05;
/// A share that is still seen is at least this.
const SEEN: f64 = 0.001;

/// What a row says of inoculum without a host.
enum Point {
    /// The share left after years.
    Left { years: f64, share: f64 },
    /// Something was still there after years.
    StillThere { years: f64 },
    /// A half-life in years.
    HalfLife(f64),
}

const UNDER_A_CROP: [&str; 10] = [
    "consecutive",
    "continuous",
    "green manure",
    "previous",
    "rotation",
    "crops",
    "roguing",
    "susceptible",
    "storage",
    "at 4",
];

const HOSTLESS: [&str; 14] = [
    "without",
    "nonhost",
    "non-host",
    "fallow",
    "buried",
    "in soil",
    "in_soil",
    "in field",
    "in dry soil",
    "in moist soil",
    "soil surface",
    "cm depth",
    "to april",
    "to may",
];

/// A row as a point of decay, or why it is none.
fn point(row: &Row) -> Result<Point, &'static str> {
    let (x_name, y_name) = (row.get("x_name").to_lowercase(), row.get("y_name").to_lowercase());
    let unit = row.get("unit").to_lowercase();
    let y = row.number("y_value");
    if y_name == "half_life" {
        return y.filter(|_| unit.contains("year")).map(Point::HalfLife).ok_or("no figure");
    }
    let has = |text: &str, words: &[&str]| words.iter().any(|word| text.contains(word));
    if has(&x_name, &["hours", "°c", "temperature"]) {
        return Err("a treatment or temperature");
    }
    if has(&x_name, &UNDER_A_CROP) || !(has(&x_name, &HOSTLESS) || x_name.contains("to march")) {
        return Err("not a time without a host");
    }
    let x = row.number("x_value").ok_or("no figure for the time")?;
    let years = if x_name.contains("month") {
        x / 12.0
    } else if x_name.contains("week") {
        x * 7.0 / 365.25
    } else if x_name.contains("day") {
        x / 365.25
    } else {
        x
    };
    if years <= 0.0 {
        return Err("time zero");
    }
    let y = y.ok_or("no figure")?;
    if unit.contains("flag") || unit.contains("yes") {
        return if y > 0.0 && has(&y_name, &["viable", "present", "infective", "detect"]) {
            Ok(Point::StillThere { years })
        } else {
            Err("a flag of another kind")
        };
    }
    if !unit.starts_with("percent") || unit.contains("not significant") {
        return Err("not a share");
    }
    if has(&y_name, &["conidia", "wilt", "disease", "incidence", "yield"]) {
        return Err("not the structure that survives, or disease in place of inoculum");
    }
    let share = y / 100.0;
    if has(&y_name, &["decline", "lost", "dead", "decayed", "reduction"]) {
        Ok(Point::Left { years, share: 1.0 - share })
    } else if has(
        &y_name,
        &["viable", "survival", "left", "still", "recover", "remain", "share_of"],
    ) {
        Ok(Point::Left { years, share })
    } else {
        Err("not a share of inoculum")
    }
}

fn left(years: f64, half_life: f64) -> f64 {
    (-years / half_life).exp2()
}

#[test]
fn published_disease_curves() {
    let (rows, is_own) = published("disease_curves.csv");
    let knowledge = Knowledge::embedded();
    let policy = Policy::default();
    let (mut inside, mut expressible, mut width) = (0_u32, 0_u32, 0.0);
    for row in &rows {
        let name = format!(
            "{} {} {} {} -> {}",
            row.get("study"),
            row.get("pathogen"),
            row.get("x_name"),
            row.get("x_value"),
            row.get("y_name")
        );
        let pathogen =
            knowledge.names.pathogen(&knowledge.pathogens, None, row.get("pathogen")).ok();
        let point =
            pathogen.ok_or("pathogen unknown").and_then(|pathogen| Ok((pathogen, point(row)?)));
        let (pathogen, point) = match point {
            Ok(found) => found,
            Err(why) => {
                println!("{name}: not expressed ({why})");
                continue;
            }
        };
        let half = half_life(&knowledge.pathogens[pathogen], &policy).years();
        expressible += 1;
        let (observed, low, likely, high) = match point {
            Point::Left { years, share } => {
                (share, left(years, half.low), left(years, half.likely), left(years, half.high))
            }
            Point::StillThere { years } => (
                SEEN,
                SEEN.min(left(years, half.low)),
                left(years, half.likely),
                left(years, half.high),
            ),
            Point::HalfLife(years) => (years, half.low, half.likely, half.high),
        };
        let low_enough = low <= observed + 0.005 || (observed < DETECTABLE && low <= DETECTABLE);
        let ok = low_enough && observed <= high + 0.005;
        inside += u32::from(ok);
        width += high - low;
        let implied = match point {
            Point::Left { years, share } if share > 0.0 && share < 1.0 => {
                format!(" implies {:.3} y", years / -share.log2())
            }
            _ => String::new(),
        };
        println!(
            "{name}: observed={observed:.3} modelled={low:.3}..{likely:.3}..{high:.3} (half-life {:.2}..{:.2}){implied}{}",
            half.low,
            half.high,
            if ok { "" } else { "   <-- outside" }
        );
    }
    println!("mean width {:.3}", width / f64::from(expressible.max(1)));
    println!("disease_curves: {inside}/{expressible}");
    if is_own {
        assert!(f64::from(inside) >= 0.8 * f64::from(expressible), "{inside} of {expressible}");
    }
}
