//! Grammar and figures in words: the one place for plurals, ranges and lists.

use crate::estimate::Estimate;
use crate::records::Started;
use crate::season::Date;

/// `1 day`, `2 days`.
///
/// ```
/// use breakcrop::view::words::count;
/// assert_eq!(count(1, "bed"), "1 bed");
/// assert_eq!(count(12, "bed"), "12 beds");
/// ```
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {noun}{ending}")
}

/// `1 day`, `-3 days`.
#[must_use]
pub fn days(number: i64) -> String {
    if number == 1 { "1 day".to_owned() } else { format!("{number} days") }
}

/// How a crop was started: `sown`, `set out`, `planted as cloves`.
#[must_use]
pub fn started(started: Started) -> String {
    match started {
        Started::Sown => "sown".to_owned(),
        Started::SetOut => "set out".to_owned(),
        Started::Planted(piece) => format!("planted as {}", piece.word()),
    }
}

/// Years to the tenth, whole where they are whole; a span of less than two months in days.
///
/// ```
/// use breakcrop::view::words::years;
/// assert_eq!(years(1.0), "1 year");
/// assert_eq!(years(2.5), "2.5 years");
/// assert_eq!(years(0.04), "15 days");
/// ```
#[must_use]
pub fn years(years: f64) -> String {
    if years > 0.0 && years < 0.17 {
        let number = format!("{:.0}", years * crate::season::DAYS_PER_YEAR);
        return if number == "1" { "1 day".to_owned() } else { format!("{number} days") };
    }
    let number = number(years);
    if number == "1" { "1 year".to_owned() } else { format!("{number} years") }
}

/// At most one decimal, none if it is zero.
#[must_use]
pub fn number(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// `3 years`, `3 to 4 years`, `at least 3 years`.
#[must_use]
pub fn years_range(min: Option<f64>, max: Option<f64>, at_least: bool) -> String {
    match (min, max) {
        (Some(min), Some(max)) if (max - min).abs() > 0.01 => {
            format!("{} to {} years", number(min), number(max))
        }
        (Some(only), _) | (None, Some(only)) => {
            if at_least {
                format!("at least {}", years(only))
            } else {
                years(only)
            }
        }
        (None, None) => "no number of years".to_owned(),
    }
}

/// `45 to 80 %`, whole percents; one figure if both ends round alike.
#[must_use]
pub fn percent_range(share: Estimate) -> String {
    let (low, high) = (format!("{:.0}", share.low * 100.0), format!("{:.0}", share.high * 100.0));
    if low == high { format!("{low} %") } else { format!("{low} to {high} %") }
}

/// `45 %`; what rounds to nothing and is more, `under 1 %`.
#[must_use]
pub fn chance(share: f64) -> String {
    if share > 0.0 && share < 0.005 {
        "under 1 %".to_owned()
    } else {
        format!("{:.0} %", (share * 100.0).abs())
    }
}

/// `45-80 %`, for tables.
#[must_use]
pub fn percent_short(share: Estimate) -> String {
    let (low, high) = (format!("{:.0}", share.low * 100.0), format!("{:.0}", share.high * 100.0));
    if low == high { format!("{low} %") } else { format!("{low}-{high} %") }
}

/// `20 to 40`, whole numbers from ten up.
#[must_use]
pub fn range(low: f64, high: f64) -> String {
    let figure = |value: f64| {
        if value >= 10.0 { format!("{value:.0}") } else { number(value) }
    };
    let (low, high) = (figure(low), figure(high));
    if low == high { low } else { format!("{low} to {high}") }
}

/// A likely figure with its range in brackets: `12 (8 to 20)`.
#[must_use]
pub fn with_range(value: Estimate) -> String {
    let likely = rounded(value.likely);
    let (low, high) = (rounded(value.low), rounded(value.high));
    if low == high { likely } else { format!("{likely} ({low} to {high})") }
}

/// Whole from ten up, else one decimal; never `-0`.
#[must_use]
pub fn rounded(value: f64) -> String {
    let text = if value.abs() >= 9.95 { format!("{value:.0}") } else { number(value) };
    if text == "-0" || text == "-0.0" { "0".to_owned() } else { text }
}

/// A day or `never`.
#[must_use]
pub fn day_or_never(day: Option<Date>) -> String {
    day.map_or_else(|| "never by waiting".to_owned(), |day| day.to_string())
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// First letter large.
#[must_use]
pub fn sentence(text: &str) -> String {
    let mut characters = text.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().collect::<String>() + characters.as_str()
    })
}
