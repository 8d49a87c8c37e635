//! The linear part of an instance as text that any linear solver reads (the LP format), so that a
//! plan and its bound can be checked by others. What sequences and neighbours do is left out.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::instance::{Choice, Instance, NO_FAMILY};

/// The instance as a mixed-integer problem: one binary a choice, one choice at a time in a place,
/// relatives apart, wishes met up to what is wanted and beyond.
#[must_use]
pub fn export_lp(instance: &Instance) -> String {
    let mut objective = Vec::new();
    let mut rows = Vec::new();
    let mut binaries = Vec::new();
    let mut served: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for (at, place) in instance.places.iter().enumerate() {
        for (choice, name) in named(at, &place.choices) {
            objective.push(format!("{:+.9} {name}", choice.own));
            for (wish, amount) in &choice.amounts {
                served.entry(*wish).or_default().push(format!("{amount:+.9} {name}"));
            }
            if choice.fixed {
                rows.push(format!("{name} = 1"));
            }
            binaries.push(name);
        }
        rows.extend(at_once(instance.slots, at, &place.choices));
        rows.extend(relatives(at, &place.choices));
    }
    for (wish, at) in instance.wishes.iter().zip(0_u32..) {
        objective.push(format!("{:+.9} met_{at}", wish.worth));
        objective.push(format!("{:+.9} beyond_{at}", wish.worth * wish.beyond));
        let amounts = served.remove(&at).unwrap_or_default().join(" ");
        rows.push(format!("{amounts} - met_{at} - beyond_{at} >= 0"));
        rows.push(format!("met_{at} <= {:.9}", wish.wanted));
    }
    let mut text = String::from("Maximize\n obj:");
    for term in objective {
        let _ = write!(text, "\n  {term}");
    }
    text.push_str("\nSubject To\n");
    for (at, row) in rows.iter().enumerate() {
        let _ = writeln!(text, " r{at}: {row}");
    }
    text.push_str("Binaries\n");
    for name in binaries {
        let _ = writeln!(text, " {name}");
    }
    text.push_str("End\n");
    text
}

fn named(place: usize, choices: &[Choice]) -> impl Iterator<Item = (&Choice, String)> {
    choices.iter().enumerate().map(move |(at, choice)| (choice, format!("x_{place}_{at}")))
}

fn sum(names: &[String]) -> String {
    names.iter().map(|name| format!("+ {name}")).collect::<Vec<_>>().join(" ")
}

/// In each slot at most one choice stands.
fn at_once(slots: u8, place: usize, choices: &[Choice]) -> Vec<String> {
    (0..slots)
        .filter_map(|slot| {
            let standing: Vec<String> = named(place, choices)
                .filter(|(choice, _)| choice.start <= slot && slot < choice.end)
                .map(|(_, name)| name)
                .collect();
            (standing.len() > 1).then(|| format!("{} <= 1", sum(&standing)))
        })
        .collect()
}

/// Of a family at most one stands or is waited for in each slot, by the shortest wait of the family;
/// longer waits of single crops pair by pair.
fn relatives(place: usize, choices: &[Choice]) -> Vec<String> {
    let mut families: BTreeMap<u8, Vec<(&Choice, String)>> = BTreeMap::new();
    for (choice, name) in named(place, choices) {
        if choice.family != NO_FAMILY {
            families.entry(choice.family).or_default().push((choice, name));
        }
    }
    let mut rows = Vec::new();
    for members in families.values() {
        let shortest = members.iter().map(|(choice, _)| choice.free_slots).min().unwrap_or(0);
        let last = members.iter().map(|(choice, _)| choice.start).max().unwrap_or(0);
        for slot in 0..=last {
            let held: Vec<String> = members
                .iter()
                .filter(|(choice, _)| {
                    choice.start <= slot && slot < choice.end.saturating_add(shortest)
                })
                .map(|(_, name)| name.clone())
                .collect();
            if held.len() > 1 {
                rows.push(format!("{} <= 1", sum(&held)));
            }
        }
        for (later, name) in members {
            let barred: Vec<String> = members
                .iter()
                .filter(|(earlier, _)| {
                    earlier.end <= later.start
                        && later.start >= earlier.end.saturating_add(shortest)
                        && later.start < earlier.end.saturating_add(later.free_slots)
                })
                .map(|(_, earlier)| earlier.clone())
                .collect();
            if !barred.is_empty() {
                let count = barred.len();
                rows.push(format!("{} + {count} {name} <= {count}", sum(&barred)));
            }
        }
    }
    rows
}
