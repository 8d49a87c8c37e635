//! Values as short text: figures to four digits, ranges in one word, ids as keys.

use std::fmt::{Debug, Write};

use breakcrop::assess::{Assessment, Reason};
use breakcrop::estimate::Estimate;
use breakcrop::state::nutrients::Spread;

use crate::knowledge;

/// A figure to four significant digits.
pub(crate) fn figure(value: f64) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    if value.abs() < 1e-6 {
        return "0".to_owned();
    }
    let rounded: f64 = format!("{value:.3e}").parse().expect("a number");
    rounded.to_string()
}

pub(crate) fn range(range: Estimate) -> String {
    [range.low, range.likely, range.high].map(figure).join("..")
}

pub(crate) fn columns(spread: Spread) -> String {
    [spread.lean, spread.likely, spread.rich].map(figure).join("/")
}

/// What `Debug` prints, shortened.
pub(crate) fn short(value: &impl Debug) -> String {
    let text = format!("{value:?}");
    let mut out = String::with_capacity(text.len());
    let mut rest = text.as_str();
    while let Some(first) = rest.chars().next() {
        if let Some((id, after)) = id(rest) {
            out.push_str(id);
            rest = after;
        } else if let Some((written, after)) = shortened(rest) {
            out.push_str(&written);
            rest = after;
        } else if first.is_ascii_digit() && !out.ends_with(|last: char| last.is_alphanumeric()) {
            let number = number(rest);
            match number.parse::<f64>() {
                Ok(value) if number.contains(['.', 'e']) => out.push_str(&figure(value)),
                _ => out.push_str(number),
            }
            rest = &rest[number.len()..];
        } else {
            out.push(first);
            rest = &rest[first.len_utf8()..];
        }
    }
    out.replace("Estimate { low: ", "{").replace("Spread { lean: ", "{")
}

/// The number at the start of a text, with its exponent if it has one.
fn number(text: &str) -> &str {
    let of_digits =
        |text: &str| text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let end = of_digits(text);
    let whole = match text[end..].strip_prefix("e-") {
        Some(after) => end + 2 + of_digits(after),
        None => end,
    };
    text[..whole].trim_end_matches('.')
}

/// A crop or pathogen by its key.
fn id(text: &str) -> Option<(&'static str, &str)> {
    let (crop, inner) = if let Some(inner) = text.strip_prefix("CropId(") {
        (true, inner)
    } else {
        (false, text.strip_prefix("PathogenId(")?)
    };
    let (number, after) = inner.split_once(')')?;
    let number: usize = number.parse().ok()?;
    let key: &str = if crop {
        let (_, row) = knowledge().crops.iter().find(|(id, _)| id.index() == number)?;
        &row.key
    } else {
        let (_, row) = knowledge().pathogens.iter().find(|(id, _)| id.index() == number)?;
        &row.key
    };
    Some((key, after))
}

/// Words that say little by being there.
fn shortened(text: &str) -> Option<(String, &str)> {
    for (long, brief) in [
        ("Some(", "("),
        ("likely: ", ""),
        ("high: ", ""),
        ("rich: ", ""),
        ("locator: \"\", ", ""),
        (", own: None", ""),
    ] {
        if let Some(after) = text.strip_prefix(long) {
            return Some((brief.to_owned(), after));
        }
    }
    // Where in a source a fact stands is the table's business.
    if let Some(after) = text.strip_prefix("locator: \"") {
        let end = after.find("\", ")?;
        return Some((String::new(), &after[end + 3..]));
    }
    None
}

/// A judgment with its reasons, and what those rest on of which it is asked.
pub(crate) fn judgment(judged: &Assessment, rests_on: impl Fn(&Reason) -> bool) -> String {
    let mut text = format!(
        "{:?} from {} ({}), yield {}, {:?}\n",
        judged.verdict,
        short(&judged.earliest),
        judged.clears_by_waiting,
        range(judged.expected_yield),
        judged.confidence,
    );
    for reason in &judged.reasons {
        let _ = writeln!(
            text,
            "  {:?} {}: {} {:?} {}",
            reason.rule,
            short(&reason.effect),
            range(reason.yield_fraction),
            reason.certainty,
            short(&reason.claim),
        );
        for leaf in reason.evidence.iter().filter(|_| rests_on(reason)) {
            let _ = writeln!(text, "    {}", short(leaf));
        }
    }
    text
}
