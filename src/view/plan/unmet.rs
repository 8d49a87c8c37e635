//! Why a wish is not met, in the grower's words.

use super::super::phrase::Phrases;
use super::super::words;
use crate::plan::{Unmet, Waiting};
use crate::records::Place;
use crate::season::month_name;
use crate::units::SquareMetres;

/// Names that a sentence holds before it counts the rest.
const NAMED: usize = 3;

/// Why a wish is not met, in one sentence.
#[must_use]
pub fn unmet_words(phrases: Phrases<'_>, unmet: &Unmet) -> String {
    match unmet {
        Unmet::NoYield => "no yield of this crop is known, so a mass tells no area: wish for an \
                           area instead"
            .to_owned(),
        Unmet::NoWindow { ready } if ready.is_empty() => {
            "at no time of the year does the season let it be started here".to_owned()
        }
        Unmet::NoWindow { ready } => format!(
            "whenever it is started here, it is picked in {}: wish for it then, and store what \
             keeps",
            months(ready)
        ),
        Unmet::TooLate { last } => last.map_or_else(
            || "it would have had to be started before this plan begins".to_owned(),
            |last| {
                format!(
                    "too late: to be picked then it had to be started by {last}, before this plan"
                )
            },
        ),
        Unmet::EveryPlaceWaits { places, .. } => {
            let waits: Vec<String> =
                places.iter().take(NAMED).map(|waiting| waits(phrases, waiting)).collect();
            format!(
                "every place that is free in time waits: {}{}",
                waits.join("; "),
                and_more(places.len())
            )
        }
        Unmet::NoPlaceFree { last, first } => {
            let first = first.as_ref().map_or_else(String::new, |(place, day, crop)| {
                let until = crop.map_or_else(String::new, |crop| {
                    format!(", when {} is cleared", phrases.crop(crop))
                });
                format!("; the first free is {place}, on {day}{until}")
            });
            format!("no place is free in time: it must be started by {last}{first}")
        }
        Unmet::NotEnoughArea { short, needs, could, instead } => {
            let instead: Vec<String> =
                instead.iter().take(NAMED).map(|crop| phrases.crop(*crop).to_owned()).collect();
            let why = if instead.is_empty() {
                "no more is left of it there by soil, season and return times".to_owned()
            } else {
                format!("the plan has {} there, worth more", words::list(&instead))
            };
            format!(
                "not enough area: it needs {} {} of a full crop and lacks {}; {}; {why}",
                words::rounded(phrases.units.area(needs.0)),
                phrases.units.area_sign(),
                words::rounded(phrases.units.area(short.0)),
                could_bear(phrases, could),
            )
        }
    }
}

fn could_bear(phrases: Phrases<'_>, could: &[(Place, SquareMetres)]) -> String {
    let sum: f64 = could.iter().map(|(_, area)| area.0).sum();
    let names: Vec<String> = could.iter().take(NAMED).map(|(place, _)| place.to_string()).collect();
    let names = if could.len() > NAMED {
        format!("{}{}", names.join(", "), and_more(could.len()))
    } else {
        words::list(&names)
    };
    format!(
        "{names} could bear it in time ({} {})",
        words::rounded(phrases.units.area(sum)),
        phrases.units.area_sign()
    )
}

fn and_more(count: usize) -> String {
    if count > NAMED { format!(" and {} more", count - NAMED) } else { String::new() }
}

fn waits(phrases: Phrases<'_>, waiting: &Waiting) -> String {
    let why = waiting.disease.map_or("a relative stood there", |disease| phrases.disease(disease));
    match waiting.until {
        Some(until) => format!("{} until {until} ({why})", waiting.place),
        None => format!("{}, where waiting will not clear it ({why})", waiting.place),
    }
}

/// `Apr`, `Oct to Jan`, `May, Jul and Aug`: runs of months, over the turn of the year too.
fn months(ready: &[u32]) -> String {
    if ready.len() == 12 {
        return "every month".to_owned();
    }
    let is_ready = |month: u32| ready.contains(&month);
    let before = |month: u32| if month == 1 { 12 } else { month - 1 };
    let after = |month: u32| month % 12 + 1;
    let runs: Vec<String> = ready
        .iter()
        .filter(|month| !is_ready(before(**month)))
        .map(|first| {
            let mut last = *first;
            while is_ready(after(last)) {
                last = after(last);
            }
            if last == *first {
                month_name(*first).to_owned()
            } else {
                format!("{} to {}", month_name(*first), month_name(last))
            }
        })
        .collect();
    words::list(&runs)
}

#[cfg(test)]
mod tests {
    use super::months;

    #[test]
    fn months_run_over_the_turn_of_the_year() {
        assert_eq!(months(&[4]), "Apr");
        assert_eq!(months(&[1, 2, 11, 12]), "Nov to Feb");
        assert_eq!(months(&[5, 7, 8]), "May and Jul to Aug");
        assert_eq!(months(&[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]), "every month");
    }
}
